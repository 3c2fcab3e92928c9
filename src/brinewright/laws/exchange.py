"""Heat exchangers by effectiveness and number of transfer units."""

import math

from brinewright.jit import compiled
from brinewright.laws.effectiveness import (
    counterflow,
    cross_larger_mixed,
    cross_smaller_mixed,
    cross_unmixed,
    one_shell,
    one_side_constant,
    parallel_flow,
)

COUNTERFLOW = 0
PARALLEL = 1
CROSS_UNMIXED = 2
CROSS_LARGER_MIXED = 3
CROSS_SMALLER_MIXED = 4
ONE_SHELL = 5
ONE_SIDE_CONSTANT = 6
ARRANGEMENTS = {"counterflow": COUNTERFLOW, "parallel flow": PARALLEL, "crossflow": CROSS_UNMIXED}
"""Arrangements by the words of the trade."""


@compiled
def effectiveness(arrangement: int, units: float, ratio: float) -> float:
    """Effectiveness of any arrangement, [-].

    Parameters
    ----------
    arrangement : one of the constants of this module, `COUNTERFLOW` to `ONE_SIDE_CONSTANT` [-]
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    `ONE_SIDE_CONSTANT` ignores the ratio.

    Example
    -------
    >>> round(effectiveness(PARALLEL, 1.0, 0.5), 4)
    0.5179

    References
    ----------
    Those of the single functions.
    """
    if arrangement == COUNTERFLOW:
        return counterflow(units, ratio)
    if arrangement == PARALLEL:
        return parallel_flow(units, ratio)
    if arrangement == CROSS_UNMIXED:
        return cross_unmixed(units, ratio)
    if arrangement == CROSS_LARGER_MIXED:
        return cross_larger_mixed(units, ratio)
    if arrangement == CROSS_SMALLER_MIXED:
        return cross_smaller_mixed(units, ratio)
    if arrangement == ONE_SHELL:
        return one_shell(units, ratio)
    return one_side_constant(units)


@compiled
def transfer_units(arrangement: int, wanted: float, ratio: float) -> float:
    """Transfer units that an effectiveness takes, [-].

    Parameters
    ----------
    arrangement : one of the constants of this module [-]
    wanted : effectiveness, 0 to 1 [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    Bisection on a function that rises with N (cross flow with C_min mixed and one shell level
    off). Infinite where 100 transfer units don't reach it.

    Example
    -------
    >>> round(transfer_units(COUNTERFLOW, 0.75, 0.6), 4)
    1.9711
    >>> transfer_units(PARALLEL, 0.9, 0.5)
    inf

    References
    ----------
    The inverse of `effectiveness`.
    """
    low, high = 0.0, 100.0
    if effectiveness(arrangement, high, ratio) < wanted:
        return math.inf
    for _ in range(60):
        middle = 0.5 * (low + high)
        if effectiveness(arrangement, middle, ratio) < wanted:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@compiled
def exchanged_heat(
    arrangement: int,
    conductance: float,
    first_capacity_flow: float,
    second_capacity_flow: float,
    first: float,
    second: float,
) -> float:
    """Heat that passes from the first stream to the second, [W].

    Phi = eps C_min (T_1 - T_2)

    Parameters
    ----------
    arrangement : one of the constants of this module [-]
    conductance : UA [W/K]
    first_capacity_flow : q c of the first stream [W/K]
    second_capacity_flow : q c of the second stream, infinite for a constant temperature [W/K]
    first : inlet temperature [K]
    second : inlet temperature [K]

    Notes
    -----
    Either sign. Zero where one stream stands. For `CROSS_LARGER_MIXED` and its twin it is the
    heat capacity flow, not the order, that says which stream mixes.

    Example
    -------
    >>> round(exchanged_heat(COUNTERFLOW, 1000.0, 1000.0, 2000.0, 360.0, 300.0))
    33884

    References
    ----------
    Definition of effectiveness.
    """
    least = min(first_capacity_flow, second_capacity_flow)
    if least <= 0.0:
        return 0.0
    ratio = least / max(first_capacity_flow, second_capacity_flow)
    return effectiveness(arrangement, conductance / least, ratio) * least * (first - second)
