"""Whether chillers that switches start and stop do so too often, and whether their tank evens it out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from brinewright.checks.chilling import chillers, full_cooling, movers_behind
from brinewright.checks.decisions import sensed_tag, targets
from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.numbers import known, lasting, watts
from brinewright.checks.timeline import DAY
from brinewright.laws import tank
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.loop import Switch
from brinewright.model.part_view import PartView


@dataclass(frozen=True)
class Staged:
    """Chillers that one switch starts and stops."""

    switch: Switch
    views: tuple[PartView, ...]

    @property
    def tags(self) -> tuple[str, ...]:
        """Return the tags of the chillers."""
        return tuple(view.tag for view in self.views)


def staged(case: Case) -> Sequence[Staged]:
    """Return the chillers that switches start and stop, by themselves or by their movers."""
    found = []
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        driven = targets(case, switch)
        views = tuple(
            view
            for view in chillers(case)
            if view.tag in driven or ((behind := movers_behind(case, view.tag)) and behind <= driven)
        )
        if views:
            found.append(Staged(switch, views))
    return found


def short_cycles(case: Case) -> Iterable[Measure]:
    """Hold the mean time between starts in the shared run against the shortest allowed."""
    for group in staged(case):
        starts = case.changes(group.switch.tag) // 2
        period = DAY / starts if starts > 0.0 else float("inf")
        often = f"every {lasting(period)}" if starts else "no second time"
        yield Measure(
            subject=(*group.tags, group.switch.tag),
            value=period,
            limit=case.margin("start_period"),
            quantity="time",
            bound="at least",
            text=f"In the shared day {group.switch.tag} starts {group.tags[0]} {often}.",
            numbers=(
                known("n", float(starts), "number", "starts within the day"),
                known("d", group.switch.differential, "temperature difference", "of the switch"),
            ),
        )


@dataclass(frozen=True)
class Stage:
    """One step of cooling, and the store that evens it out."""

    group: Staged
    step: float
    """Cooling that the switch adds [W]."""
    volume: float
    """Of liquid in the store [m3]."""
    content: float
    """Heat capacity of a cubic metre of it [J/(m3 K)]."""
    least: float
    """Least load of the loop [W]."""


def stages(case: Case) -> Sequence[Stage]:
    """Return the stages whose switch senses a store, with that store."""
    found = []
    for group in staged(case):
        store = case.views.get(sensed_tag(group.switch))
        if store is None or store not in case.playing("store") or group.switch.differential <= 0.0:
            continue
        level = case.seen(store.tag, "level")
        volume = store.number("volume") * (level.mean if level else store.start("level"))
        step = sum(full_cooling(case, view) for view in group.views)
        found.append(Stage(group, step, volume, store.density * store.heat_capacity, _least_load(case)))
    return found


def _least_load(case: Case) -> float:
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        return declared.least
    seen = [case.seen(view.tag, "cooling") for view in case.playing("consumer") if view.connected("in")]
    return sum(max(each.min, 0.0) for each in seen if each)


def no_turn_down(case: Case) -> Iterable[Measure]:
    """Hold the store against the volume that lets the smallest step run long enough at the least load."""
    run = case.margin("shortest_run")
    for stage in stages(case):
        differential = stage.group.switch.differential
        excess = max(stage.step - stage.least, 0.0)
        needed = tank.volume_for_run_time(excess, run, differential, stage.content)
        yield Measure(
            subject=(*stage.group.tags, sensed_tag(stage.group.switch)),
            value=stage.volume,
            limit=needed,
            quantity="volume",
            bound="at least",
            text=f"The least load is {watts(stage.least)} and {stage.group.tags[0]} comes in a step of "
            f"{watts(stage.step)}; {stage.volume:.3g} m3 even it out.",
            numbers=(
                known("Phi_st", stage.step, "power", "of the step"),
                known("Phi_min", stage.least, "power", "least load"),
                known("t_on", run, "time", "it must run once started"),
                known("d", differential, "temperature difference", "of its switch"),
                known("V_min", needed, "volume"),
            ),
        )


def small_store(case: Case) -> Iterable[Measure]:
    """Hold the store against the volume that keeps starts apart in the worst case."""
    period = case.margin("start_period")
    for stage in stages(case):
        differential = stage.group.switch.differential
        needed = tank.volume_for_starts(stage.step, 1.0 / period, differential, stage.content)
        yield Measure(
            subject=(sensed_tag(stage.group.switch), *stage.group.tags),
            value=stage.volume,
            limit=needed,
            quantity="volume",
            bound="at least",
            text=f"{sensed_tag(stage.group.switch)} holds {stage.volume:.3g} m3; at half the load of "
            f"{stage.group.tags[0]} it takes {needed:.3g} m3 to keep starts {lasting(period)} apart.",
            numbers=(
                known("Phi_st", stage.step, "power", "of the step"),
                known("d", differential, "temperature difference", "of its switch"),
                known("t", period, "time", "from start to start"),
                known("V_min", needed, "volume"),
            ),
        )


def narrow_stages(case: Case) -> Iterable[Measure]:
    """Hold the differential of each stage that senses flowing liquid against what the stage changes it by."""
    wet = {line.tag for line in case.lines}
    for group in staged(case):
        sensed = sensed_tag(group.switch)
        if sensed not in wet or group.switch.quantity != "temperature":
            continue
        flow = case.seen(sensed, "flow")
        carried = (flow.mean if flow else 0.0) * case.views[sensed].heat_capacity
        if carried <= 0.0:
            continue
        change = sum(full_cooling(case, view) for view in group.views) / carried
        yield Measure(
            subject=(group.switch.tag, *group.tags),
            value=group.switch.differential,
            limit=change,
            quantity="temperature difference",
            bound="at least",
            text=f"{group.switch.tag} senses {sensed}, which its stage changes by {change:.3g} K; its "
            f"differential is {group.switch.differential:.3g} K.",
            numbers=(
                known("Phi_st", change * carried, "power", "of the stage"),
                known("q c", carried, "conductance", "heat capacity flow that the switch senses"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F36",
        title="Chiller starts too often",
        severity="W",
        method="run",
        judge=short_cycles,
        formula="86400 s / n < shortest time from start to start",
        consequence="Motor and compressor wear out by starting.",
        remedy="Widen the differential, enlarge the tank, or take smaller units.",
        lesson="Starting is the hardest work that a motor does.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F37",
        title="No turn-down",
        severity="W",
        method="closed form",
        judge=no_turn_down,
        formula="Phi_min < Phi_st and V < V_min = (Phi_st - Phi_min) t_on / (rho c d)",
        consequence="At the least load the smallest step is too much and runs too short.",
        remedy="Add a small unit or a larger tank, or widen the differential.",
        lesson="The quiet night is as much a design case as the hot noon.",
        source="closed form: balance of a mixed tank",
    ),
    Criterion(
        code="BW-F43",
        title="Stage narrower than its own effect",
        severity="W",
        method="closed form",
        judge=narrow_stages,
        formula="d < Phi_st / (q c)",
        consequence="Each stage undoes the reason for which it was started, and hunts.",
        remedy="Make the differential 1.2 times what one stage changes.",
        lesson="If starting the machine answers the question, it will be stopped at once.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F91",
        title="Tank too small for its stages",
        severity="W",
        method="closed form",
        judge=small_store,
        formula="V < Phi_st t / (4 rho c d)",
        consequence="At half load chillers start more often than they stand.",
        remedy="Enlarge the tank, or widen the differential.",
        lesson="Worst is not full load but half: the machine runs as long as it rests.",
        source="closed form: cycle of a mixed tank, worst at half load",
    ),
)
