"""`check`: hold a loop against every criterion that can apply to it."""

import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from brinewright.checks.case import LoopCase
from brinewright.checks.catalogue import CRITERIA
from brinewright.checks.finding import Finding
from brinewright.checks.headroom import headroom
from brinewright.checks.report import Report
from brinewright.checks.signatures import with_signatures
from brinewright.checks.waivers import with_waivers
from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.criterion import Criterion
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.results import Result

RANK = "SCWA"


def check(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    codes: Iterable[str] | None = None,
    day: Result | None = None,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Report:
    """Hold a loop against the faults of the trade and return what was found, with every margin.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names, among those that ship
    codes : judge only these, such as {"BW-F01"}; by default all
    day : a run of a day from the loop's own start, if there is one already
    folder : where a weather file that the site names is looked for
    progress : called with simulated and total time [s] of the shared run

    Raises
    ------
    InputError
        If the loop does not make a plant.
    RunError
        If the shared run could not be finished.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> bw.check(loop, codes={"BW-F84"}).findings
    ()
    """
    began = time.perf_counter()
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    case = LoopCase(loop, rules, folder=folder, day=day, progress=progress)
    wanted = None if codes is None else set(codes)
    judged: list[Finding] = []
    questions: list[Finding] = []
    absent: dict[str, list[Criterion]] = {"laws": [], "parts": []}
    for criterion in CRITERIA:
        if wanted is not None and criterion.code not in wanted:
            continue
        if criterion.world not in ("both", rules.world):
            absent["laws"].append(criterion)
            continue
        measures = [Finding(criterion, measure) for measure in criterion.judge(case)]
        if not measures:
            absent["parts"].append(criterion)
        (questions if criterion.method == "question" else judged).extend(measures)
    broken = [finding for finding in judged if finding.measure.is_broken]
    return Report(
        name=loop.name,
        world=rules.world,
        findings=with_waivers(sorted(broken, key=_by_weight), loop.waivers),
        kept=tuple(_nearest(judged)),
        questions=with_signatures(questions, loop.signatures),
        judged=tuple(sorted(judged, key=lambda finding: (finding.code, finding.relative_margin))),
        absent={why: tuple(them) for why, them in absent.items()},
        wall_s=time.perf_counter() - began,
        rooms=(lambda: headroom(case)) if wanted is None else tuple,
    )


def _by_weight(finding: Finding) -> tuple[int, str, float, tuple[str, ...]]:
    return RANK.index(finding.severity), finding.code, finding.relative_margin, finding.subject


def _nearest(judged: Sequence[Finding]) -> list[Finding]:
    """Return the kept judgement nearest to its limit, of each criterion that is nowhere broken."""
    nearest: dict[str, Finding] = {}
    for finding in judged:
        other = nearest.get(finding.code)
        if other is None or finding.relative_margin < other.relative_margin:
            nearest[finding.code] = finding
    return [finding for finding in nearest.values() if not finding.measure.is_broken]
