"""Whether there is power: on the mean, at every moment, and for the first start."""

from collections.abc import Iterable, Sequence

import numpy as np

from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.equilibrium import rest
from brinewright.checks.finding import shown
from brinewright.checks.loads import auxiliary_power
from brinewright.checks.numbers import known, lasting, watts
from brinewright.checks.real_machines import Chiller, Turbine
from brinewright.checks.steam import all_vessels
from brinewright.checks.timeline import Timeline
from brinewright.checks.vessels import Vessel
from brinewright.laws import threshold
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView

SETTLED = 3600.0
"""The first hour of the shared run belongs to how it was started [s]."""
NEARLY = 0.9
"""Gain of the bus from which chillers and turbines live on each other; common practice, no source [-]."""
STEPS = 60


def buses(case: Case) -> Sequence[PartView]:
    """Return the buses of a loop."""
    return [view for view in case.parts if view.declares("when_short")]


def on_bus(case: Case, bus: PartView, parameter: str) -> Sequence[PartView]:
    """Return the parts that declare a parameter and stand on a bus: it is named, or the only one."""
    return [
        view
        for view in case.parts
        if view.declares(parameter) and (bus.tag in view.refers("bus") or not view.refers("bus"))
    ]


def imported(case: Case, bus: PartView) -> float:
    """Return what grids can give to a bus [W]."""
    return sum(view.number("import_limit") for view in on_bus(case, bus, "import_limit"))


def usable(case: Case, bus: PartView) -> float:
    """Return what full batteries of a bus can give [J]."""
    total = 0.0
    for view in on_bus(case, bus, "discharge_efficiency"):
        lowest = view.number("lowest_charge") if view.declares("lowest_charge") else 0.0
        total += view.number("energy") * (1.0 - lowest) * view.number("discharge_efficiency")
    return total


def deepest_fall(times: Sequence[float], power: Sequence[float]) -> float:
    """Return what a store must hold for a net power over time: the deepest fall of its sum from a peak [J].

    Example
    -------
    >>> round(deepest_fall([0.0, 10.0, 20.0, 30.0], [5.0, -3.0, -3.0, 9.0]))
    60
    """
    steps = np.diff(np.asarray(times, dtype=float), append=times[-1])
    energy = np.cumsum(np.asarray(power, dtype=float) * steps)
    above = np.maximum.accumulate(np.maximum(energy, 0.0))
    return float((above - energy).max())


def deficit(case: Case) -> Iterable[Measure]:
    """Hold power on each bus: its mean, its store in the worst dip, and what it could not give."""
    for bus in buses(case):
        if case.seen(bus.tag, "balance") is None:
            continue
        yield from _mean(case, bus)
        yield from _dips(case, bus)
        short = case.seen(bus.tag, "short")
        if short is not None:
            times, values = case.trace(bus.tag, "short")
            first = lasting(float(times[(values > 1.0).argmax()])) if (values > 1.0).any() else ""
            yield Measure(
                subject=(bus.tag,),
                value=short.max,
                limit=0.0,
                quantity="power",
                bound="at most",
                text=f"{bus.tag} could not give up to {watts(short.max)}, first after {first}."
                if first
                else f"{bus.tag} could not give {watts(short.max)} at one moment."
                if short.max > 0.0
                else f"{bus.tag} gave all that was asked for.",
                numbers=(known("P_short", short.max, "power", "most that was asked for and not given"),),
            )


def _mean(case: Case, bus: PartView) -> Iterable[Measure]:
    times, values = case.trace(bus.tag, "balance")
    mean = float(values[times >= min(SETTLED, 0.5 * times[-1])].mean())
    declared = case.once(declared_plant)
    numbers = [known("P_run", mean, "power", "mean balance of the shared run, its first hour left out")]
    how = "in the shared run"
    if isinstance(declared, Declared):
        result = declared.closed_form()
        numbers += [
            known("P_t", result.turbines_power, "power", "of the turbines, mean"),
            known("P_ch", result.chillers_power, "power", "of the chillers, mean"),
            known("P_aux", declared.plant.auxiliaries, "power", "of pumps and all else"),
            known("COP", result.performance, "number", "of the chillers"),
            known("COP_0", result.break_even_performance, "number", "at which turbines just feed chillers"),
        ]
        mean, how = result.net_power, "in the long run"
    more = imported(case, bus)
    yield Measure(
        subject=(bus.tag,),
        value=mean + more,
        limit=0.0,
        quantity="power",
        bound="at least",
        text=f"{bus.tag} makes {watts(mean)} more than it draws {how}"
        f"{f', and can import {watts(more)}' if more > 0.0 else ''}."
        if mean >= 0.0
        else f"{bus.tag} draws {watts(-mean)} more than it makes {how}"
        f"{f', and can import {watts(more)}' if more > 0.0 else ''}.",
        numbers=(*numbers, known("P_imp", more, "power", "that can be imported")),
    )


def _dips(case: Case, bus: PartView) -> Iterable[Measure]:
    times, values = case.trace(bus.tag, "balance")
    settled = times >= min(SETTLED, 0.5 * times[-1])
    more = imported(case, bus)
    net = values[settled] + more
    need, lowest = deepest_fall(times[settled], net), float(values[settled].min())
    held = usable(case, bus)
    yield Measure(
        subject=(bus.tag, *(view.tag for view in on_bus(case, bus, "discharge_efficiency"))),
        value=held,
        limit=need,
        quantity="energy",
        bound="at least",
        text=f"{bus.tag} dips to {watts(lowest)} while the plant swings; the longest dip takes "
        f"{shown(need, 'energy', digits=3)} from a store, and {shown(held, 'energy', digits=3)} can be had.",
        numbers=(
            known("P_dip", lowest, "power", "lowest balance, first hour left out"),
            known("E_need", need, "energy", "deepest fall of the summed balance, import counted"),
            known("E_usable", held, "energy", "in full batteries"),
        ),
    )


def black_start(case: Case) -> Iterable[Measure]:
    """Hold what can be given without turbines against what a start from cold takes."""
    for bus in buses(case):
        for vessel in all_vessels(case):
            if not vessel.turbines:
                continue
            plan = StartPlan(case, vessel)
            more, held = imported(case, bus), usable(case, bus)
            time, needed, most, total = plan.needs(more)
            yield Measure(
                subject=(bus.tag, vessel.tag, *(v.tag for v in on_bus(case, bus, "discharge_efficiency"))),
                value=held,
                limit=total,
                quantity="energy",
                bound="at least",
                text=f"From cold to its own power {bus.tag} needs {shown(total, 'energy', digits=4)} "
                f"over {lasting(time)}{plan.by}; it has {shown(held, 'energy', digits=4)}"
                f"{f' and can import {watts(more)}' if more > 0.0 else ''}.",
                numbers=(
                    known("t_thr", time, "time", "until the first turbine starts"),
                    known("E_thr", needed, "energy", "drawn until then, import taken off"),
                    known("P_draw", most, "power", "drawn on the way"),
                    known("E_start", total, "energy", "until turbines give what is drawn, import taken off"),
                    known("E_usable", held, "energy", "in full batteries"),
                ),
            )


class StartPlan:
    """The warm-up of a cold vessel at the mean load, with what it draws and gives on the way."""

    def __init__(self, case: Case, vessel: Vessel) -> None:
        self.case = case
        self.vessel = vessel
        alone = rest(vessel, 0, chillers="none")
        self.by_sources = alone.temperature > vessel.threshold
        self.by = f", warmed by {vessel.sources[0].tag}" if self.by_sources else ""
        self.auxiliaries = auxiliary_power(case, Timeline(case.loop))
        if vessel.is_real:
            seen = [case.seen(bus.tag, "drawn") for bus in buses(case)]
            chillers = [case.seen(view.tag, "power") for view in vessel.chillers]
            drawn = sum(each.mean for each in seen if each)
            self.auxiliaries = drawn - sum(each.mean for each in chillers if each)

    def _heat(self, temperature: float) -> float:
        given = 0.0 if self.by_sources else self.vessel.chillers_mean(temperature, 0)
        return given + self.vessel.others(temperature) - self.vessel.loss(temperature)

    def _drawn(self, temperature: float) -> float:
        if self.by_sources:
            return self.auxiliaries
        if self.vessel.declared is not None:
            return self.vessel.declared.closed_form().chillers_power + self.auxiliaries
        if self.vessel.is_real:
            machines = [Chiller(self.case, view) for view in self.vessel.chillers]
            at_full = sum(machine.draws(temperature) for machine in machines)
            cooled = sum(machine.full(temperature)[0] for machine in machines)
            share = sum(machine.cooling for machine in machines) / cooled if cooled > 0.0 else 0.0
            return at_full * share + self.auxiliaries
        seen = [self.case.seen(view.tag, "power") for view in self.vessel.chillers]
        return sum(each.mean for each in seen if each) + self.auxiliaries

    def _made(self, temperature: float) -> float:
        if temperature < self.vessel.threshold:
            return 0.0
        if self.vessel.is_real:
            machines = [Turbine(self.case, view) for view in self.vessel.turbines]
            return sum(machine.makes(temperature) * machine.view.count for machine in machines)
        total = 0.0
        latent = self.vessel.view.number("latent_heat") if self.vessel.view.declares("latent_heat") else 0.0
        for view in self.vessel.turbines:
            heat = threshold.heat_taken(
                view.number("steam_flow"),
                self.vessel.view.number("water_heat_capacity"),
                temperature,
                view.number("condensate_temperature"),
                latent,
            )
            total += view.count * threshold.shaft_power(
                heat, view.number("efficiency"), view.number("highest_power")
            )
        return total

    def needs(self, more: float) -> tuple[float, float, float, float]:
        """Return time and energy to the threshold, power drawn, and energy until turbines give enough.

        Parameters
        ----------
        more : that can be imported [W]
        """
        vessel, cold = self.vessel, self.vessel.surroundings
        starts = vessel.threshold
        width = (starts - cold) / STEPS
        time = needed = most = 0.0
        for k in range(STEPS):
            at = cold + (k + 0.5) * width
            net = self._heat(at)
            if net <= 0.0:
                return float("inf"), float("inf"), self._drawn(at), float("inf")
            step = vessel.stored(at - 0.5 * width, at + 0.5 * width) / net
            most = max(most, self._drawn(at))
            time += step
            needed += max(self._drawn(at) - more, 0.0) * step
        total = needed
        at, width = starts, 0.25
        for _ in range(400):
            short = self._drawn(at) - self._made(at) - more
            net = self._heat(at) - vessel.taken(at, vessel.count)
            if short <= 0.0 or net <= 0.0:
                break
            total += short * vessel.stored(at, at + width) / net
            at += width
        return time, needed, most, total


def spiral(case: Case) -> Iterable[Measure]:
    """Look for chillers and turbines that live on each other with nothing behind them."""
    for bus in buses(case):
        for vessel in all_vessels(case):
            gain = _gain(case, vessel)
            if gain is None:
                continue
            backed = usable(case, bus) > 0.0 or imported(case, bus) > 0.0
            falls = gain > NEARLY and not backed
            yield Measure(
                subject=(bus.tag, vessel.tag),
                value=float(falls),
                limit=0.0,
                quantity="count",
                bound="at most",
                text=f"Each kilowatt less for the chillers costs {bus.tag} {gain:.3g} kW of turbine power; "
                f"{'a store or a grid stands behind it' if backed else 'nothing stands behind it'}.",
                numbers=(known("G", gain, "ratio", "turbine power by chiller power"),),
            )


def _gain(case: Case, vessel: Vessel) -> float | None:
    if vessel.declared is not None:
        return vessel.declared.closed_form().bus_gain
    made = [case.seen(view.tag, "generated") for view in vessel.turbines]
    taken = [case.seen(view.tag, "heat taken") for view in vessel.turbines]
    given = [case.seen(view.tag, "reject") for view in vessel.chillers]
    drawn = [case.seen(view.tag, "power") for view in vessel.chillers]
    sums = [sum(each.mean for each in them if each) for them in (made, taken, given, drawn)]
    if sums[1] <= 0.0 or sums[3] <= 0.0:
        return None
    return sums[0] / sums[1] * sums[2] / sums[3]


def electrical_heat(case: Case) -> Iterable[Measure]:
    """Hold the losses of electrical parts that stand in no cooled space against the load."""
    rooms = {view.tag for view in case.playing("consumer")}
    outside = []
    for view in case.parts:
        electrical = any(view.declares(name) for name in ("winding_loss", "standing_loss", "conductor_area"))
        seen = case.seen(view.tag, "loss") if electrical else None
        if seen is not None and view.inside not in rooms:
            outside.append((seen.mean, view.tag))
    load = sum(seen.mean for view in case.playing("cooler") if (seen := case.seen(view.tag, "cooling")))
    if not outside or load <= 0.0:
        return
    lost = sum(mean for mean, _ in outside)
    yield Measure(
        subject=tuple(tag for _, tag in sorted(outside, reverse=True)),
        value=lost,
        limit=case.margin("heat_leak") * load,
        quantity="power",
        bound="at most",
        text=f"Electrical parts lose {watts(lost)} outside cooled spaces; the load is {watts(load)}.",
        numbers=(
            known("P_loss", lost, "power", "mean of the shared run"),
            known("Phi_loop", load, "power", "taken by chillers, mean"),
        ),
    )


CRITERIA = (
    Criterion(
        code="BW-F116",
        title="Too little power",
        severity="C",
        method="run",
        judge=deficit,
        formula="mean of P_made - P_drawn < 0, E_usable < E_need, or power asked for and not given",
        consequence="The lights go out, and the chillers with them.",
        remedy="Shed load, import, or enlarge the battery for the deepest dip.",
        lesson="A balance that is right on the mean can still fail at ten past three.",
        source="closed form: balance of the bus; run",
    ),
    Criterion(
        code="BW-F117",
        title="No start from cold",
        severity="C",
        method="closed form",
        judge=black_start,
        formula="E_usable < E_start = sum of (P_drawn - P_made) dt from cold until P_made >= P_drawn",
        consequence="Once everything is cold and dark, it stays so.",
        remedy="Enlarge the battery, charge less water, warm the vessel otherwise, or start in stages.",
        lesson="The plant that feeds itself must first be fed.",
        source="closed form: balances of vessel and bus",
    ),
    Criterion(
        code="BW-F118",
        title="Brown-out that feeds on itself",
        severity="C",
        method="structure",
        judge=spiral,
        formula="G > 0.9, and neither battery nor grid",
        consequence="A dip stops a chiller, the vessel cools, turbines give less, and the dip deepens.",
        remedy="Put a battery behind the bus, and shed in an order that keeps pumps and controls.",
        lesson="Two that lean on each other need a wall behind one of them.",
        source="closed form: gain of the bus",
    ),
    Criterion(
        code="BW-F125",
        title="Electrical heat forgotten",
        severity="W",
        method="run",
        judge=electrical_heat,
        world="real",
        formula="P_loss outside cooled spaces > share of the load",
        consequence="Switch rooms get hot, and their heat is in nobody's sum.",
        remedy="Site them in a cooled space, or give their room cooling of its own.",
        lesson="Every loss of a wire is a heater somewhere.",
        source="closed form: first law",
    ),
)
