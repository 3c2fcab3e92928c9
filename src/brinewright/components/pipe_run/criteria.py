"""The faults that only a pipe run can have."""

import math
from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

SMALL = 0.055
"""Bore up to which the lower limit of speed holds [m]."""
FASTEST_SMALL, FASTEST = 1.2, 3.0
"""[m/s]"""
STEEPEST = 400.0
"""Friction of the straight run [Pa/m]."""
SLOWEST = 0.3
"""Below it air and dirt stay behind [m/s]."""


def too_fast(case: Case) -> Iterable[Measure]:
    """Hold speed and friction in each run against what wears it out."""
    from brinewright.laws.pipe_flow import pipe_loss

    for view, flow, speed in _runs(case):
        bore = view.number("bore")
        limit = FASTEST_SMALL if bore <= SMALL else FASTEST
        numbers = _numbers(view, flow, speed)
        yield Measure(
            subject=(view.tag,),
            value=speed,
            limit=limit,
            quantity="speed",
            bound="at most",
            text=f"The liquid runs at up to {speed:.2f} m/s through {view.tag} "
            f"({show(bore, 'length', 'mm', digits=3)}).",
            numbers=numbers,
        )
        loss = float(pipe_loss(flow / view.density, 1.0, bore, view.number("roughness"), 0.0, view.density,
                               view.viscosity)[0])  # fmt: skip
        yield Measure(
            subject=(view.tag,),
            value=loss,
            limit=STEEPEST,
            quantity="pressure gradient",
            bound="at most",
            text=f"Each straight metre of {view.tag} costs {loss:.0f} Pa at {speed:.2f} m/s.",
            numbers=(*numbers, Number(symbol="dp/L", value=loss, quantity="pressure gradient", text="Darcy")),
        )


def too_slow(case: Case) -> Iterable[Measure]:
    """Hold the highest speed in each run against what carries air and dirt along."""
    for view, flow, speed in _runs(case):
        if flow > 0.0:
            yield Measure(
                subject=(view.tag,),
                value=speed,
                limit=SLOWEST,
                quantity="speed",
                bound="at least",
                text=f"The liquid never runs faster than {speed:.2f} m/s through {view.tag}.",
                numbers=_numbers(view, flow, speed),
            )


def _runs(case: Case) -> Iterable[tuple[PartView, float, float]]:
    """Yield each run whose flow follows pressures, with its largest flow [kg/s] and speed [m/s]."""
    for line in case.lines:
        view = case.views[line.tag]
        seen = case.seen(line.tag, "flow")
        if seen is None or not view.declares("roughness"):
            continue
        flow = max(seen.max, -seen.min)
        yield view, flow, flow / (view.density * math.pi / 4.0 * view.number("bore") ** 2)


def _numbers(view: PartView, flow: float, speed: float) -> tuple[Number, ...]:
    return (
        Number(symbol="q_m", value=flow, quantity="mass flow", text="largest of the run"),
        Number(symbol="rho", value=view.density, quantity="density", text="at the circuit's working mean"),
        Number(symbol="D", value=view.number("bore"), quantity="length", text=f"bore of {view.tag}"),
        Number(symbol="v", value=speed, quantity="speed", text="4 q_m / (rho pi D2)"),
    )


CRITERIA = (
    Criterion(
        code="BW-F104",
        title="Liquid too fast",
        severity="W",
        method="run",
        world="real",
        judge=too_fast,
        formula="v > 1.2 m/s up to 55 mm bore, v > 3 m/s above it, or dp/L > 400 Pa/m",
        consequence="Noise, worn bends, and a pump that pays for it day and night.",
        remedy="Take the next larger bore.",
        lesson="Half the bore takes four times the speed and some thirty times the pressure.",
        source="ASHRAE Handbook Fundamentals, pipe sizing (from memory, verify)",
    ),
    Criterion(
        code="BW-F105",
        title="Liquid too slow",
        severity="A",
        method="run",
        world="real",
        judge=too_slow,
        formula="v < 0.3 m/s at the largest flow",
        consequence="Air gathers at the top and dirt at the bottom, and neither is carried away.",
        remedy="Take the next smaller bore, or flush it from time to time.",
        lesson="Liquid that creeps leaves its air and its dirt where they are.",
        source="common practice, no source",
    ),
)
