"""Whether tanks hold what waits, and how long they and what they cool last without chillers."""

from collections.abc import Iterable, Sequence

from brinewright.checks.chilling import loop_load
from brinewright.checks.cold import SETTLED, consumers
from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.numbers import degrees, known, lasting
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView

FULL = 1e-3
"""A tank within this of its highest level takes nothing more [-]."""


def return_stores(case: Case) -> Sequence[PartView]:
    """Return the tanks into which consumers' liquid comes without passing another tank."""
    return _next_stores(case, [view.tag for view in consumers(case)], forwards=True)


def supply_stores(case: Case) -> Sequence[PartView]:
    """Return the tanks from which consumers' liquid comes without passing another tank."""
    return _next_stores(case, [view.tag for view in consumers(case)], forwards=False)


def _next_stores(case: Case, tags: Sequence[str], *, forwards: bool) -> Sequence[PartView]:
    stores = {view.tag: view for view in case.playing("store")}
    found: set[str] = set()
    seen, waiting = set(tags), list(tags)
    while waiting:
        tag = waiting.pop()
        for line in case.out_of(tag) if forwards else case.into(tag):
            after = (line.end if forwards else line.start).partition(".")[0]
            if after in stores:
                found.add(after)
            elif after not in seen:
                seen.add(after)
                waiting.append(after)
    return [stores[tag] for tag in sorted(found)]


def backing_up(case: Case) -> Iterable[Measure]:
    """Hold the level of each tank that takes the consumers' liquid back against where it takes no more."""
    for view in return_stores(case):
        if case.seen(view.tag, "level") is None:
            continue
        times, values = case.trace(view.tag, "level")
        settled = values >= view.number("highest_level") - FULL
        first = float(times[settled.argmax()]) if settled.any() else float("inf")
        highest = float(values[times >= min(SETTLED, 0.5 * times[-1])].max())
        limit = view.number("highest_level") - FULL
        when = f" first after {lasting(first)}" if settled.any() else ""
        yield Measure(
            subject=(view.tag,),
            value=highest,
            limit=limit,
            quantity="ratio",
            bound="at most",
            strict=True,
            text=f"{view.tag}, which takes the consumers' liquid back, rises to {highest:.1%}{when}; at "
            f"{view.number('highest_level'):.0%} it takes no more.",
            numbers=(
                known("V", view.number("volume"), "volume"),
                known("h_max", highest, "ratio", "of the shared run, its first hour left out"),
            ),
        )


def restart_time(case: Case) -> tuple[float, str]:
    """Return how long chillers are away after their power was lost for a moment, and what makes it so [s]."""
    found = [(0.0, "")]
    for view in case.parts:
        for name in ("shortest_rest", "restores_after", "recloses_after"):
            if view.declares(name) and view.has(name):
                found.append((view.number(name), view.tag))
    return max(found)


def short_ride(case: Case) -> Iterable[Measure]:
    """Hold the time that each consumer lasts without chillers against the time until they are back."""
    away, by = restart_time(case)
    stores = supply_stores(case)
    load = case.once(loop_load)
    if load <= 0.0 or away <= 0.0:
        return
    declared = case.once(declared_plant)
    for view in consumers(case):
        stood, cooling = case.seen(view.tag, "temperature"), case.seen(view.tag, "cooling")
        if stood is None or cooling is None or cooling.mean <= 0.0:
            continue
        warmest = _warmest_supply(case, declared)
        cold = 0.0
        for store in stores:
            mass, begin = case.seen(store.tag, "mass"), case.seen(store.tag, "temperature")
            if mass and begin:
                cold += mass.mean * store.heat_capacity * max(warmest - begin.mean, 0.0)
        limit = view.number("highest_temperature")
        own = _own_capacity(view) * max(limit - stood.mean, 0.0)
        time = cold / load + own / cooling.mean
        yield Measure(
            subject=(view.tag, *(store.tag for store in stores)),
            value=time,
            limit=away,
            quantity="time",
            bound="at least",
            text=f"Without chillers {view.tag} stays below {degrees(limit)} for {lasting(time)}; {by} has "
            f"them back after {lasting(away)}.",
            numbers=(
                known("t_tank", cold / load, "time", "that cold tanks last at the whole load"),
                known("t_own", own / cooling.mean, "time", "that the consumer's own heat capacity lasts"),
                known("T_sup", warmest, "temperature", "warmest supply that still counts as cold"),
                known("Phi_loop", load, "power", "mean"),
            ),
        )


def _warmest_supply(case: Case, declared: object) -> float:
    if isinstance(declared, Declared):
        return max(each.setting + each.differential for each in declared.decisions)
    seen = [case.seen(store.tag, "temperature") for store in supply_stores(case)]
    return max((each.max for each in seen if each), default=0.0)


def _own_capacity(view: PartView) -> float:
    """Return the heat capacity of a consumer that follows its own heat [J/K]."""
    for name in ("heat_capacity", "air_heat_capacity"):
        if view.declares(name):
            return view.number(name)
    return 0.0


CRITERIA = (
    Criterion(
        code="BW-F90",
        title="Return tank backs up",
        severity="C",
        method="run",
        judge=backing_up,
        formula="level of the return tank >= its highest level",
        consequence="The return is blocked, and consumers stop.",
        remedy="Take a larger tank, add chilling, or lead an overflow to the cold tank.",
        lesson="While liquid goes round again, what comes back must wait somewhere.",
        source="run",
    ),
    Criterion(
        code="BW-F92",
        title="Too little cold in store",
        severity="W",
        method="closed form",
        judge=short_ride,
        formula="M c (T_sup - T) / Phi_loop + C (T_lim - T_c) / Phi_c < time until the chillers are back",
        consequence="A short loss of power is already felt by what is cooled.",
        remedy="Enlarge the cold tank, shed load, or bring the chillers back sooner.",
        lesson="A tank of cold is time, and its minutes can be counted beforehand.",
        source="closed form: balance of a mixed tank",
    ),
)
