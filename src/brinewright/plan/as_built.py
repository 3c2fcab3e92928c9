"""What was built against what was drawn: every number that differs, and whether it matters."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from brinewright.checks.case import DAY, LoopCase
from brinewright.errors import BrinewrightError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.files.document import Document
from brinewright.files.loop import loop_of
from brinewright.files.tables import Problems
from brinewright.files.write import loop_document, stated_values
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.plan.compare import compare_designs
from brinewright.plan.comparison import Comparison
from brinewright.plan.differences import NAMED, Difference, differences
from brinewright.plan.standing import Standing, standing
from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/as-built/1"
MOST = 60
"""Differences that are run one by one."""


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """One difference between the design and what was built, and what it does by itself."""

    subject: str
    parameter: str
    design: str
    """As the design's file states it; "" where it does not."""
    built: str
    matters: bool
    effect: str
    """What it changes, in a sentence."""
    score: float
    """How large that is, for the order: 1 is what matters just so."""
    alone: bool
    """Whether it could be run by itself; else it is judged with all others together."""


@dataclass(frozen=True, kw_only=True)
class AsBuilt:
    """The difference list, those with the gravest consequence first."""

    name: str
    world: str
    deviations: tuple[Deviation, ...]
    effect: str
    """What all of them do together."""
    matters: bool
    comparison: Comparison
    """Design and as-built side by side."""

    @property
    def serious(self) -> bool:
        """Return whether what was built has a serious finding or upset that the design has not."""
        told = self.comparison
        return told.senseless(1) or told.serious[1] > told.serious[0]

    def as_dict(self) -> dict[str, Any]:
        """Return the list as it stands in JSON; the shape is `data/schema/as-built.json`."""
        made: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "caution": caution(self.world),
                "name": self.name,
                "world": self.world,
                "deviations": [asdict(one) for one in self.deviations],
                "effect": self.effect,
                "matters": self.matters,
                "comparison": self.comparison.as_dict(),
            }
        )
        return made


def as_built(
    design: Loop,
    built: Loop,
    rulebook: Rulebook | None = None,
    *,
    duration: float = DAY,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> AsBuilt:
    """Return how a loop that was built differs from its design, and which difference matters.

    Each difference is put into the design by itself and run; parts that only one of them has
    are judged in the run of all of them together.

    Parameters
    ----------
    design, built : the two loops
    rulebook : the place; by default the one that the design names, among those that ship
    duration : how long each is run [s]
    folder : where a weather file that the site names is looked for
    progress : called with simulated and total time of all runs [s]

    Example
    -------
    >>> import brinewright as bw
    >>> kettle = bw.read_rulebook("kettle")
    >>> design = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> built = bw.with_value(design, kettle, "CH-201.count", "3")
    >>> found = bw.as_built(design, built)
    >>> [(one.subject, one.parameter, one.design, one.built, one.matters) for one in found.deviations]
    [('CH-201', 'count', '5', '3', True)]
    """
    rules = rulebook or read_rulebook(find_rulebook(design.rulebook, folder or Path.cwd()))
    rows = differences([design, built])
    runs = min(len(rows), MOST) + 3

    def told(number: int) -> None:
        if progress:
            progress(number * duration, runs * duration)

    before = standing(LoopCase(design, rules, folder=folder), duration=duration)
    found = []
    for number, row in enumerate(rows):
        told(number)
        after = None
        if row.parameter and number < MOST:
            after = _with_one(design, built, row, rules, duration, folder)
        values = tuple(_shown(loop, rules, row, index) for index, loop in enumerate((design, built)))
        found.append(_deviation(row, values, before, after))
    both = compare_designs([(design, rules, folder), (built, rules, folder)], duration=duration)
    together = standing(LoopCase(built, rules, folder=folder), duration=duration)
    told(runs)
    gap = before.gap(together)
    return AsBuilt(
        name=built.name,
        world=rules.world,
        deviations=tuple(sorted(found, key=lambda one: (-one.score, one.subject, one.parameter))),
        effect=gap.text,
        matters=gap.matters,
        comparison=both,
    )


def _deviation(
    row: Difference, values: tuple[str, ...], before: Standing, after: Standing | None
) -> Deviation:
    text, matters, score = "Judged together with all others.", False, 0.5 if not row.parameter else 0.0
    if after is not None:
        gap = before.gap(after)
        text, matters, score = gap.text, gap.matters, gap.score
    return Deviation(
        subject=row.subject,
        parameter=row.parameter,
        design=values[0],
        built=values[1],
        matters=matters,
        effect=text,
        score=score,
        alone=after is not None,
    )


def _shown(loop: Loop, rules: Rulebook, row: Difference, index: int) -> str:
    """Return the value of a difference in one loop; what its file leaves to the rulebook, from there."""
    value = row.values[index]
    if value or not row.parameter:
        return value
    if row.parameter == "count":
        return "1"
    uses = {part.tag: part.use for part in loop.parts} | {line.tag: line.use for line in loop.lines}
    use = uses.get(row.subject, "")
    entry = rules.entry(use) if use else None
    stated = stated_values(use, entry.values) if entry else {}
    return f"{stated[row.parameter]} (rulebook)" if row.parameter in stated else ""


def _with_one(
    design: Loop, built: Loop, row: Difference, rules: Rulebook, duration: float, folder: Path | None
) -> Standing | None:
    """Return how the design stands with one difference put in; None where it makes no plant by itself."""
    document = loop_document(design)
    _put(document, loop_document(built), row)
    try:
        problems = Problems(Document(document, "", row.name))
        loop = loop_of(document, rules, problems, foreign=True)
        return standing(LoopCase(loop, rules, folder=folder), duration=duration)
    except BrinewrightError:
        return None


def _put(target: dict[str, Any], source: dict[str, Any], row: Difference) -> None:
    """Copy what one difference is about from one loop's plain values into another's."""
    key = row.parameter.split(".")[0]
    first, second = (_table(document, row.subject) for document in (target, source))
    if first is None or second is None:
        return
    if key in second:
        first[key] = second[key]
    else:
        first.pop(key, None)


def _table(document: dict[str, Any], subject: str) -> dict[str, Any] | None:
    for table in NAMED:
        for row in document.get(table, ()):
            if row.get("tag", row.get("name")) == subject:
                found: dict[str, Any] = row
                return found
    head, _, rest = subject.replace("schedule ", "schedule.", 1).partition(".")
    if head in ("liquid", "temperature"):
        return document
    inner: dict[str, Any] = document.setdefault(head, {})
    if not rest:
        return inner
    deeper: dict[str, Any] = inner.setdefault(rest, {})
    return deeper
