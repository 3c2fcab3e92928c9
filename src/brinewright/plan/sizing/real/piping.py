"""Bores of pipes and the pressure that pumps must give."""

import math
from dataclasses import dataclass

from brinewright.laws import pipe_flow
from brinewright.plan.sizing.real.coolant import Coolant

BORES = (
    (25, 0.0285), (32, 0.0372), (40, 0.0431), (50, 0.0545), (65, 0.0703), (80, 0.0825),
    (100, 0.1071), (125, 0.1325), (150, 0.1603), (200, 0.2101), (250, 0.2630), (300, 0.3127),
)  # fmt: skip
"""Nominal size [mm] and bore [m] of light steel tubes to EN 10220, from memory."""
ROUGHNESS = 4.5e-5
"""Of steel [m]; handbook value, from memory."""
STEEPEST = 150.0
"""Pressure loss per metre that a line of the loop may have [Pa/m]; 100 to 400 is common practice."""
FASTEST_SMALL, FASTEST = 1.2, 2.4
"""Velocity that lines up to DN 50, and larger ones, may have [m/s], common practice."""
FITTINGS, FEW_FITTINGS = 0.40, 0.10
"""Loss of bends, tees and valves as a share of that of straight pipe: in a building, in long straight
lines; common practice."""


@dataclass(frozen=True)
class Size:
    """A nominal size and what flows in it."""

    nominal: int
    """[mm]"""
    bore: float
    """[m]"""
    velocity: float
    """[m/s]"""
    gradient: float
    """Pressure loss per metre of straight pipe [Pa/m]."""


def gradient(flow: float, bore: float, coolant: Coolant) -> float:
    """Return the pressure loss per metre of straight pipe, [Pa/m]; `flow` in kg/s, `bore` in m."""
    return pipe_flow.pipe_loss(
        flow / coolant.density, 1.0, bore, ROUGHNESS, 0.0, coolant.density, coolant.viscosity
    )[0]


def sizes(flow: float, coolant: Coolant) -> tuple[Size, ...]:
    """Return every nominal size with what this flow [kg/s] does in it."""
    return tuple(
        Size(
            nominal,
            bore,
            pipe_flow.velocity(flow / coolant.density, bore),
            gradient(flow, bore, coolant),
        )
        for nominal, bore in BORES
    )


def size_for(flow: float, coolant: Coolant) -> Size:
    """Return the smallest nominal size whose velocity and loss are within the limits."""
    found = sizes(flow, coolant)
    for size in found:
        fastest = FASTEST_SMALL if size.nominal <= 50 else FASTEST
        if size.velocity <= fastest and size.gradient <= STEEPEST:
            return size
    return found[-1]


def line_loss(flow: float, length: float, bore: float, coolant: Coolant, fittings: float = FITTINGS) -> float:
    """Return the pressure lost in a line with its fittings, as a share of what it loses itself, [Pa]."""
    return gradient(flow, bore, coolant) * length * (1.0 + fittings)


def lifted(pressure: float, flow: float, coolant: Coolant, efficiency: float) -> float:
    """Return the shaft power of a pump, [W].

    P = dp q_V / eta
    """
    return pressure * flow / coolant.density / efficiency


def rounded_up(value: float, step: float) -> float:
    """Return a value rounded up to whole steps.

    >>> rounded_up(4.1, 0.5)
    4.5
    """
    return math.ceil(value / step - 1e-9) * step
