"""Whether cables carry what hangs on them."""

from collections.abc import Iterable

from brinewright.components.feeder.lower import RESISTIVITY
from brinewright.laws.electric import (
    starting_dip,
    three_phase_current,
    voltage_drop,
    warm_resistance,
)
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

DEEPEST_DIP = 0.15
"""Voltage lost while a motor starts; common practice."""
HOT_CONDUCTOR = 363.15
"""What insulation of cables allows [K]."""
METAL_COEFFICIENT = 3.93e-3
"""Of copper, and near enough of aluminium [1/K]."""
STARTING_FACTOR = 0.85
"""Power factor by which running power becomes apparent power."""


def loads_of(case: Case, tag: str) -> list[tuple[str, float]]:
    """Return what hangs on a feeder, bus or transformer, each with its own peak of the run [W]."""
    found = []
    for view in sorted(case.views.values(), key=lambda view: view.tag):
        seen = case.seen(view.tag, "power") if view.feeder == tag else None
        if seen is not None:
            found.append((view.tag, seen.max))
    return found


def overloaded(case: Case) -> Iterable[Measure]:
    """Hold each feeder and transformer against all of its loads at once."""
    for view in case.views.values():
        name = next((n for n in ("limit", "rating") if view.declares(n) and view.declares("when_over")), "")
        loads = loads_of(case, view.tag) if name else []
        if not loads:
            continue
        total = sum(power for _, power in loads)
        told = ", ".join(f"{tag} {show(power, 'power', digits=3)}" for tag, power in loads)
        yield Measure(
            subject=(view.tag, *(tag for tag, _ in loads)),
            value=total,
            limit=view.number(name),
            quantity="power",
            bound="at most",
            text=f"All that hangs on {view.tag} draws {show(total, 'power', digits=3)} at once ({told}); it "
            f"carries {show(view.number(name), 'power', digits=3)}.",
            numbers=(
                *(
                    Number(symbol=f"P {tag}", value=power, quantity="power", text="largest of the run")
                    for tag, power in loads
                ),
                Number(
                    symbol="P_max", value=view.number(name), quantity="power", text=f"{name} of {view.tag}"
                ),
            ),
        )


def voltage_lost(case: Case) -> Iterable[Measure]:
    """Hold the voltage that each feeder loses, and that a start costs, against what loads bear."""
    for view in case.of_kind("feeder"):
        if not view.declares("route_length"):
            continue
        loads = loads_of(case, view.tag)
        bus = _bus(case, view)
        if not loads or bus is None:
            continue
        total = sum(power for _, power in loads)
        voltage = bus.number("voltage")
        drop = lost_share(view, total, voltage)
        yield Measure(
            subject=(view.tag,),
            value=drop,
            limit=view.number("highest_drop"),
            quantity="ratio",
            bound="at most",
            text=f"{view.tag} loses {show(drop, 'ratio', digits=3)} of "
            f"{show(voltage, 'voltage', digits=3)} on its way at "
            f"{show(total, 'power', digits=3)}.",
            numbers=(
                Number(symbol="P", value=total, quantity="power", text="all its loads at once"),
                Number(symbol="U", value=voltage, quantity="voltage", text=f"of {bus.tag}"),
                Number(symbol="L", value=view.number("route_length"), quantity="length", text="one way"),
                Number(
                    symbol="A",
                    value=view.number("conductor_area"),
                    quantity="area",
                    text=f"of each of {view.number('cables'):.0f} cables of {view.word('conductor')}",
                ),
                Number(
                    symbol="T_c",
                    value=HOT_CONDUCTOR,
                    quantity="temperature",
                    text="conductors at their hottest",
                ),
                Number(
                    symbol="cos phi", value=view.number("power_factor"), quantity="ratio", text="power_factor"
                ),
            ),
        )
        yield from _dip(case, bus, loads)


def lost_share(feeder: PartView, power: float, voltage: float) -> float:
    """Return the share of the voltage that a feeder loses, its conductors as hot as they may get."""
    cables = feeder.number("cables")
    cold = RESISTIVITY[feeder.word("conductor")] / (feeder.number("conductor_area") * cables)
    warm = warm_resistance(cold, HOT_CONDUCTOR, METAL_COEFFICIENT)
    factor = feeder.number("power_factor")
    current = three_phase_current(power, voltage, factor)
    reactance = feeder.number("reactance") / cables
    return float(voltage_drop(current, feeder.number("route_length"), warm, reactance, factor)) / voltage


def _dip(case: Case, bus: PartView, loads: list[tuple[str, float]]) -> Iterable[Measure]:
    starting = [
        (power / case.views[tag].count * case.views[tag].number("starting_multiple") / STARTING_FACTOR, tag)
        for tag, power in loads
        if case.views[tag].declares("starting_multiple")
    ]
    if not starting:
        return
    apparent, tag = max(starting)
    dip = float(starting_dip(apparent, bus.number("short_circuit_power")))
    yield Measure(
        subject=(tag, bus.tag),
        value=dip,
        limit=DEEPEST_DIP,
        quantity="ratio",
        bound="at most",
        text=f"When {tag} starts it draws {apparent / 1e3:.0f} kVA, and {bus.tag} loses "
        f"{show(dip, 'ratio', digits=3)} of its "
        "voltage meanwhile.",
        numbers=(
            Number(
                symbol="S_start", value=apparent, quantity="apparent power", text="starting_multiple P / 0.85"
            ),
            Number(
                symbol="S_k",
                value=bus.number("short_circuit_power"),
                quantity="apparent power",
                text=f"short_circuit_power of {bus.tag}",
            ),
        ),
        remedy="Start it softly or by a converter, or a stiffer supply.",
    )


def _bus(case: Case, feeder: PartView) -> PartView | None:
    named = feeder.refers("bus") or tuple(view.tag for view in case.of_kind("bus"))
    view = case.views.get(named[0]) if len(named) == 1 else None
    return view if view is not None and view.declares("voltage") else None


CRITERIA = (
    Criterion(
        code="BW-F119",
        title="Feeder carries too much",
        severity="C",
        method="run",
        judge=overloaded,
        formula="sum of P > P_max",
        consequence="It opens and all that hangs on it stops together, or it burns.",
        remedy="A larger feeder, or share its loads between two.",
        lesson="Size the cable for the minute in which everything runs, not for the average day.",
        source="IEC 60364-4-43 (from memory, verify)",
    ),
    Criterion(
        code="BW-F120",
        title="Too little voltage at the end of the cable",
        severity="W",
        method="run",
        world="real",
        judge=voltage_lost,
        formula="dU/U > highest_drop, or S_start / (S_k + S_start) > 15 %",
        consequence="Motors run hot, and contactors drop out when one starts.",
        remedy="A thicker or shorter cable; a soft starter.",
        lesson="A long thin cable eats the voltage before the motor gets it.",
        source="IEC 60364-5-52 (from memory, verify); closed form: resistance and reactance of the cable",
    ),
)
