"""Valves that stroke: where they go, and how their flow coefficient follows."""

import math

from brinewright.jit import compiled, inner
from brinewright.laws.state import stroke
from brinewright.laws.valve_flow import mass_flow_resistance

LINEAR = 0
EQUAL_PERCENTAGE = 1
QUICK_OPENING = 2
CHARACTERISTICS = {
    "linear": LINEAR,
    "equal percentage": EQUAL_PERCENTAGE,
    "quick opening": QUICK_OPENING,
}
RANGEABILITY = 50.0
"""Largest over least controllable Kv of an equal-percentage trim; common practice, no source [-]."""
NO_LIMIT = 1e6
"""Capacity of a valve that has no limit of its own [kg/s]."""


@compiled
def opening(position: float, characteristic: int, leak: float) -> float:
    """Share of the full flow coefficient at a stroke, [-].

    phi = s, R^(s - 1) or sqrt(s), at least the leak

    Parameters
    ----------
    position : s, 0 shut to 1 open [-]
    characteristic : `LINEAR`, `EQUAL_PERCENTAGE` or `QUICK_OPENING` [-]
    leak : least share, that of the shut valve [-]

    Notes
    -----
    At stroke 0 only the leak passes, also with an equal-percentage trim.

    Example
    -------
    >>> opening(0.25, QUICK_OPENING, 0.0), opening(0.0, EQUAL_PERCENTAGE, 0.0)
    (0.5, 0.0)

    References
    ----------
    IEC 60534-2-4, inherent characteristics; from memory.
    """
    if position <= 0.0:
        return leak
    share = position
    if characteristic == EQUAL_PERCENTAGE:
        share = math.pow(RANGEABILITY, position - 1.0)
    elif characteristic == QUICK_OPENING:
        share = math.sqrt(position)
    return max(share, leak)


@inner
def moved(X, F, command, powered, place, rate, fail, dt):
    """Stroke towards the command, without power to the fail position (below 0: stay); return the position."""
    target = X[command]
    if X[powered] == 0.0:
        target = fail if fail >= 0.0 else X[place]
    return stroke(X, F, place, target, rate * dt)


@inner
def resist(X, quadratic, capacity, coefficient, share, density):
    """Set the resistance of a way at a share of its flow coefficient; at share 0 it is shut."""
    if share <= 0.0:
        X[capacity] = 0.0
    else:
        X[capacity] = NO_LIMIT
        X[quadratic] = mass_flow_resistance(coefficient * share, density)
