"""Whether a plant carries more, and what must grow if it does not."""

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from brinewright.catalogue import kind_named
from brinewright.checks.case import DAY, LoopCase
from brinewright.checks.declared import Declared, declared_plant
from brinewright.compile.view import View
from brinewright.errors import InputError, Problem, UnknownNameError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.files.document import Document
from brinewright.files.loop import loop_of
from brinewright.files.tables import Problems
from brinewright.files.write import loop_document
from brinewright.laws import stylised
from brinewright.model.loop import Loop, Part, Schedule
from brinewright.model.rulebook import Rulebook
from brinewright.plan.compare import compare_designs
from brinewright.plan.comparison import Comparison
from brinewright.plan.differences import NAMED
from brinewright.plan.growth import Growth, grown
from brinewright.plan.standing import standing
from brinewright.results.caution import caution
from brinewright.results.summary import plain
from brinewright.units import parse

FORMAT = "brinewright/extension/1"


@dataclass(frozen=True, kw_only=True)
class Need:
    """What the closed form asks for, before and after."""

    what: str
    unit: str
    now: float
    then: float
    has: float | None
    """What the plant has of it; None where that is no number."""
    holds: bool


@dataclass(frozen=True, kw_only=True)
class Extension:
    """Whether the plant carries the extension, what the closed form asks for, what must grow."""

    name: str
    world: str
    added: tuple[str, ...]
    """What was added, in words."""
    carries: bool
    """Whether everything stays within its limits, by a run."""
    carried_before: bool
    needs: tuple[Need, ...]
    """By the closed form; empty where the loop has none."""
    no_closed_form: str
    """Why not, if so."""
    growth: tuple[Growth, ...]
    """Steps that make it carry, each with the margin it brings; empty where it carries as it is."""
    carries_grown: bool
    comparison: Comparison
    """The plant before and after, side by side; grown too, where something must grow."""

    @property
    def serious(self) -> bool:
        """Return whether the plant does not carry the extension as it is."""
        return not self.carries

    def as_dict(self) -> dict[str, Any]:
        """Return the answer as it stands in JSON; the shape is `data/schema/extension.json`."""
        made: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "caution": caution(self.world),
                "name": self.name,
                "world": self.world,
                "added": list(self.added),
                "carries": self.carries,
                "carried_before": self.carried_before,
                "needs": [asdict(need) for need in self.needs],
                "no_closed_form": self.no_closed_form,
                "growth": [asdict(step) for step in self.growth],
                "carries_grown": self.carries_grown,
                "comparison": self.comparison.as_dict(),
            }
        )
        return made


def extend(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    addition: str = "",
    more_load: Mapping[str, str] | None = None,
    duration: float = DAY,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Extension:
    """Return whether a plant carries more parts or more load, and what must grow if it does not.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names, among those that ship
    addition : parts, lines and switches to add, as a loop file would state them; one whose tag is
        there already stands in place of it
    more_load : load to add to a consumer by tag, "+80 kW" or "+20 %"
    duration : how long each is run [s]
    folder : where a weather file that the site names is looked for
    progress : called with the simulated and the total time so far [s]

    Raises
    ------
    InputError
        If the addition does not make a loop, or a load can't be added.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> told = bw.extend(loop, more_load={"MC-604": "+5 kW"})
    >>> told.carries, told.growth
    (True, ())
    """
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    wider, added = loop, []
    if addition.strip():
        wider, tags = with_addition(loop, rules, addition)
        added.append(f"{', '.join(tags)} added")
    for tag, text in (more_load or {}).items():
        wider = with_more_load(wider, rules, tag, text)
        added.append(f"{tag} {text}")
    if not added:
        raise InputError("Nothing was added: state an addition or more load.")
    wider = replace(wider, name=f"{loop.name} extended")
    cases = [LoopCase(one, rules, folder=folder) for one in (loop, wider)]
    before, after = (standing(case, duration=duration) for case in cases)
    steps: tuple[Growth, ...] = ()
    best, best_case = after, cases[1]
    if not after.holds:
        steps, best_case, best = grown(cases[1], after, duration=duration, progress=progress)
    designs = [(case.loop, rules, folder) for case in cases]
    if steps:
        designs.append((replace(best_case.loop, name=f"{loop.name} grown"), rules, folder))
    needs, reason = _needs(*cases)
    return Extension(
        name=loop.name,
        world=rules.world,
        added=tuple(added),
        carries=after.holds,
        carried_before=before.holds,
        needs=needs,
        no_closed_form=reason,
        growth=steps,
        carries_grown=best.holds,
        comparison=compare_designs(designs, duration=duration),
    )


def with_addition(loop: Loop, rules: Rulebook, text: str) -> tuple[Loop, tuple[str, ...]]:
    """Return a loop with what a text adds, as its file would state it, and the tags that came."""
    try:
        more = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([Problem(f"The addition is no TOML: {error}.")]) from error
    document = loop_document(loop)
    tags: list[str] = []
    for table in NAMED:
        for row in more.pop(table, ()):
            name = str(row.get("tag", row.get("name", "")))
            rows = [old for old in document.get(table, ()) if old.get("tag", old.get("name")) != name]
            document[table] = [*rows, row]
            tags.append(name)
    for table in ("schedule", "start"):
        inner = more.pop(table, {})
        if inner and isinstance(document.get(table, {}), dict):
            document[table] = {**document.get(table, {}), **inner}
    strange = sorted(set(more) - {"format", "name", "rulebook"})
    if strange:
        said = (
            f"The addition states {', '.join(strange)}; it may state parts, lines, switches, schedules "
            "and starts."
        )
        raise InputError([Problem(said)])
    problems = Problems(Document(document, "", "the addition"))
    return loop_of(document, rules, problems, foreign=True), tuple(tags)


def with_more_load(loop: Loop, rules: Rulebook, tag: str, text: str) -> Loop:
    """Return a loop in which one consumer has more load: "+80 kW" more at every hour, or "+20 %"."""
    case = LoopCase(loop, rules)
    consumers = {view.tag: view for view in case.playing("consumer")}
    if tag not in consumers:
        raise UnknownNameError(tag, consumers, "consumer")
    view = consumers[tag]
    assert isinstance(view, View)
    name = _load_of(view)
    raw = view.raw(name)
    change = _changed(text)
    if not isinstance(raw, str):
        return _with_part(loop, tag, name, change(float(raw or 0.0)))
    schedule = next(one for one in loop.schedules if one.name == raw)
    more = Schedule(
        name=f"{raw} of {tag} with more",
        quantity=schedule.quantity,
        times=schedule.times,
        values=tuple(change(value) for value in schedule.values),
        repeats=schedule.repeats,
        ramps=schedule.ramps,
    )
    wider = replace(loop, schedules=(*(one for one in loop.schedules if one.name != more.name), more))
    return _with_part(wider, tag, name, more.name)


def _load_of(view: View) -> str:
    """Return the parameter that states a consumer's heat."""
    kind = kind_named(view.kind)
    for parameter in (*kind.law(view.law).parameters, *kind.parameters):
        if parameter.schedule_of == "power":
            return parameter.name
    raise InputError(f"{view.tag}, a {view.kind}, states no heat that could be added to.")


def _changed(text: str) -> Callable[[float], float]:
    stated = text.strip().removeprefix("=").strip()
    if stated.startswith("-"):
        raise InputError([Problem(f'"{text}" is less load.', 'Write for example "+80 kW" or "+20 %".')])
    amount = stated.removeprefix("+").strip()
    if amount.endswith("%"):
        share = parse(amount, "ratio")
        return lambda value: value * (1.0 + share)
    watts = parse(amount, "power")
    return lambda value: value + watts


def _with_part(loop: Loop, tag: str, name: str, value: float | str) -> Loop:
    def put(part: Part) -> Part:
        return replace(part, values={**part.values, name: value}) if part.tag == tag else part

    return replace(loop, parts=tuple(map(put, loop.parts)))


def _needs(now: LoopCase, then: LoopCase) -> tuple[tuple[Need, ...], str]:
    """Return what the closed form asks for before and after, or why there is none."""
    plants = [declared_plant(case) for case in (now, then)]
    for plant in plants:
        if not isinstance(plant, Declared):
            return (), plant.reason
    first, last = (plant for plant in plants if isinstance(plant, Declared))
    forms = [plant.closed_form() for plant in (first, last)]
    carried = stylised.load_carried(last.effective(last.turbines), last.chillers, last.turbines)
    vessel = next(view for view in then.parts if view.tag == last.vessel)
    limit = vessel.material.limit if vessel.material else None
    net = [form.net_power / 1000.0 for form in forms]
    rows = [
        Need(what="mean load", unit="kW", now=first.plant.load / 1e3, then=last.plant.load / 1e3,
             has=carried / 1e3, holds=last.plant.load <= carried),
        Need(what="load at its peak", unit="kW", now=first.peak / 1e3, then=last.peak / 1e3,
             has=carried / 1e3, holds=last.peak <= carried),
        Need(what="mean passes", unit="", now=forms[0].mean_passes, then=forms[1].mean_passes,
             has=None, holds=True),
        Need(what="chillers", unit="", now=forms[0].chillers, then=forms[1].chillers,
             has=float(last.chillers), holds=forms[1].chillers <= last.chillers),
        Need(what="vessel at its warmest", unit="degC", now=forms[0].peak_temperature - 273.15,
             then=forms[1].peak_temperature - 273.15, has=None if limit is None else limit - 273.15,
             holds=limit is None or forms[1].peak_temperature <= limit),
        Need(what="net power, mean", unit="kW", now=net[0], then=net[1], has=None, holds=net[1] >= 0.0),
        Need(what="mean supply", unit="degC", now=forms[0].mean_supply - 273.15,
             then=forms[1].mean_supply - 273.15, has=None, holds=True),
    ]  # fmt: skip
    return tuple(rows), ""
