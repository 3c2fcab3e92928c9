"""What must grow so that a plant carries its load again: each step is tried by a run, the best is taken."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from brinewright.checks.case import LoopCase
from brinewright.checks.decisions import pass_decisions
from brinewright.compile.view import View
from brinewright.model.loop import Loop, Part
from brinewright.model.part_view import PartView
from brinewright.plan.standing import Standing, standing
from brinewright.units import show

STEPS = 6
"""Most steps that are taken one after the other."""
FACTOR = 1.25
"""By which a capacity grows in one step."""
ENOUGH = 0.02
"""Gain of a step below which it is not worth taking [K]."""
LOWER = 1.0
"""By which set points are lowered in one step [K]."""
GROWS = ("capacity", "coil_conductance", "conductance")
"""What of a consumer can grow: the flow that it takes, and the surface that gives its heat to it."""


@dataclass(frozen=True, kw_only=True)
class Growth:
    """One step: what grows, from what to what, and the margin that the plant then has."""

    subject: str
    parameter: str
    now: str
    then: str
    worst_margin: float
    """Least margin of all consumers after this step [K]."""
    holds: bool


@dataclass(frozen=True)
class _Try:
    loop: Loop
    subject: str
    parameter: str
    now: str
    then: str


def grown(
    case: LoopCase,
    stands: Standing,
    *,
    duration: float,
    progress: Callable[[float, float], None] | None = None,
) -> tuple[tuple[Growth, ...], LoopCase, Standing]:
    """Return the steps that bring a plant back within its limits, the plant after them, how it stands.

    At each step everything that can grow is tried by itself, and what brings most is taken.

    Parameters
    ----------
    case : the plant that does not hold
    stands : how it stands
    duration : of each run [s]
    progress : called with the simulated and the total time so far [s]
    """
    steps: list[Growth] = []
    runs = 0
    while not stands.holds and len(steps) < STEPS:
        best: tuple[float, _Try, Standing] | None = None
        for trial in _tries(case, stands):
            found = standing(LoopCase(trial.loop, case.rules, folder=case.folder), duration=duration)
            runs += 1
            if progress:
                progress(runs * duration, (runs + 10) * duration)
            if best is None or found.distance < best[0]:
                best = (found.distance, trial, found)
        if best is None or best[0] > stands.distance - ENOUGH:
            break
        _, trial, stands = best
        case = LoopCase(trial.loop, case.rules, folder=case.folder)
        steps.append(
            Growth(
                subject=trial.subject,
                parameter=trial.parameter,
                now=trial.now,
                then=trial.then,
                worst_margin=stands.worst,
                holds=stands.holds,
            )
        )
    return tuple(steps), case, stands


def _tries(case: LoopCase, stands: Standing) -> Iterator[_Try]:
    """Return everything that can grow by one step, alone and together with what it needs beside it."""
    short = [tag for tag, margin in stands.margins.items() if margin < 0.0]
    views = list(case.parts)
    coolers = [view for view in views if view.declared.role == "cooler"]
    for view in views:
        if view in coolers or view.gives("generated"):
            yield _more(case.loop, view)
        elif view.declared.role == "mover" and view.has("capacity"):
            yield _larger(case.loop, view, "capacity")
        elif view.declares("discharge_power") and view.has("energy"):
            yield _larger(case.loop, view, "energy")
    for tag in short:
        view = next(one for one in views if one.tag == tag)
        for name in GROWS:
            if view.declares(name) and view.has(name):
                yield _larger(case.loop, view, name)
    yield from _wider(case, coolers, short)
    yield from _colder(case, coolers)


def _wider(case: LoopCase, coolers: Sequence[View], short: Sequence[str]) -> Iterator[_Try]:
    """Return more flow everywhere: pumps and lines, with them the warm consumers, or a chiller more."""
    loop = case.loop
    pumps = [view.tag for view in case.playing("mover") if view.has("capacity")]
    if case.rules.world != "stylised" or not pumps:
        return
    for tag in [*pumps, *(line.tag for line in case.lines if case.views[line.tag].declares("capacity"))]:
        loop = _grown(loop, case.views[tag], "capacity")
    label = ", ".join(pumps)
    yield _Try(loop, label, "capacity, and that of the lines", "as it is", f"{FACTOR:g} times")
    with_them = loop
    for tag in short:
        if case.views[tag].has("capacity"):
            with_them = _grown(with_them, case.views[tag], "capacity")
    if with_them is not loop:
        who = ", ".join((*pumps, *short))
        yield _Try(with_them, who, "capacity, and that of the lines", "as it is", f"{FACTOR:g} times")
    for view in coolers:
        more = _more(loop, view)
        yield replace(
            more, subject=f"{view.tag}, {label}", parameter=("count, and capacity of pumps and lines")
        )


def _colder(case: LoopCase, coolers: Sequence[View]) -> Iterator[_Try]:
    """Return set points that stand a kelvin lower, all that decide on a pass together."""
    decisions = pass_decisions(case, coolers) if coolers else ()
    moved = {one.tag for one in decisions}
    if not moved:
        return
    settings = sorted({one.setting for one in decisions})
    told = [", ".join(show(one - shift, "temperature") for one in settings) for shift in (0.0, LOWER)]
    switches = tuple(
        replace(one, setting=one.setting - LOWER) if one.tag in moved else one for one in case.loop.switches
    )
    yield _Try(replace(case.loop, switches=switches), ", ".join(sorted(moved)), "set", *told)


def _grown(loop: Loop, view: PartView, name: str) -> Loop:
    """Return a loop in which one number of a part or line is larger by a step."""
    value = view.number(name) * FACTOR
    parts = _changed(loop, view.tag, lambda part: replace(part, values={**part.values, name: value}))
    lines = tuple(
        replace(line, values={**line.values, name: value}) if line.tag == view.tag else line
        for line in loop.lines
    )
    return replace(parts, lines=lines)


def _more(loop: Loop, view: View) -> _Try:
    return _Try(
        _changed(loop, view.tag, lambda part: replace(part, count=part.count + 1)),
        view.tag,
        "count",
        f"{view.count}",
        f"{view.count + 1}",
    )


def _larger(loop: Loop, view: View, name: str) -> _Try:
    parameter = next(
        one
        for one in (*view.declared.law(view.law).parameters, *view.declared.parameters)
        if one.name == name
    )
    now = view.number(name)
    told = tuple(show(value, parameter.quantity, digits=4) for value in (now, now * FACTOR))
    return _Try(_grown(loop, view, name), view.tag, name, told[0], told[1])


def _changed(loop: Loop, tag: str, change: Callable[[Part], Part]) -> Loop:
    return replace(loop, parts=tuple(change(part) if part.tag == tag else part for part in loop.parts))
