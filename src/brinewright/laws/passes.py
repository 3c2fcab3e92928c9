"""How often liquid passes chillers that take a fixed number of kelvin off every kilogram.

All of it is counting: a declared law, not physics.
"""

import math

from brinewright.jit import compiled

ROUNDING = 1e-9
"""Passes; absorbs the last digits that the difference of two kelvin values loses."""


@compiled
def passes(temperature: float, set_point: float, drop: float) -> int:
    """Passes that a parcel makes when only liquid strictly above the set point is sent, [-].

    n = max(0, ceil((T - T_s) / drop))

    Parameters
    ----------
    temperature : of the parcel before its first pass [K]
    set_point : at or below it the parcel is let go [K]
    drop : taken off at each pass, > 0 [K]

    Notes
    -----
    A parcel exactly at the set point makes no pass. The last parcel leaves in (T_s - drop, T_s].

    Example
    -------
    >>> passes(309.15, 295.15, 14.0), passes(309.151, 295.15, 14.0), passes(295.15, 295.15, 14.0)
    (1, 2, 0)

    References
    ----------
    Closed form: counting.
    """
    return max(0, int(math.ceil((temperature - set_point) / drop - ROUNDING)))


@compiled
def passes_inclusive(temperature: float, set_point: float, drop: float) -> int:
    """Passes that a parcel makes when liquid at or above the set point is sent, [-].

    n = max(0, floor((T - T_s) / drop) + 1)

    Parameters
    ----------
    temperature : of the parcel before its first pass [K]
    set_point : only below it the parcel is let go [K]
    drop : taken off at each pass, > 0 [K]

    Notes
    -----
    Differs from `passes` only where (T - T_s) / drop is a whole number.

    Example
    -------
    >>> passes_inclusive(309.15, 295.15, 14.0), passes_inclusive(295.15, 295.15, 14.0)
    (2, 1)

    References
    ----------
    Closed form: counting.
    """
    return max(0, int(math.floor((temperature - set_point) / drop + ROUNDING)) + 1)


@compiled
def temperature_after(temperature: float, set_point: float, drop: float) -> float:
    """Temperature with which a parcel leaves a ring that sends what is above the set point, [K].

    T_out = T - n drop

    Parameters
    ----------
    temperature : of the parcel before its first pass [K]
    set_point : at or below it the parcel is let go [K]
    drop : taken off at each pass, > 0 [K]

    Notes
    -----
    In (set_point - drop, set_point] for anything that came in above the set point.

    Example
    -------
    >>> round(temperature_after(310.15, 295.15, 14.0), 6)
    282.15

    References
    ----------
    Closed form: counting.
    """
    return temperature - passes(temperature, set_point, drop) * drop


@compiled
def coldest_parcel(set_point: float, drop: float, late_passes: int) -> float:
    """Lower bound of what the chillers can send out, [K].

    T_cold = T_s - (1 + n_late) drop

    Parameters
    ----------
    set_point : of the switch that decides on a pass [K]
    drop : taken off at each pass [K]
    late_passes : further passes sent by a sensor that still reads warm: 0 ideal, 1 with lag [-]

    Notes
    -----
    A bound, not reached: liquid a hair above the set point comes out a hair above it.

    Example
    -------
    >>> coldest_parcel(295.0, 14.0, 0), coldest_parcel(295.0, 14.0, 1)
    (281.0, 267.0)

    References
    ----------
    Closed form: counting.
    """
    return set_point - (1 + late_passes) * drop


@compiled
def mean_passes(load: float, flow: float, heat_capacity: float, drop: float) -> float:
    """Passes per kilogram that carry a load in the long run, [-].

    n = Phi / (q c drop)

    Parameters
    ----------
    load : heat that the loop takes up [W]
    flow : through the consumers, > 0 [kg/s]
    heat_capacity : of the liquid [J/(kg K)]
    drop : taken off at each pass, > 0 [K]

    Notes
    -----
    Holds for any layout whose chillers all see the same liquid; not a whole number in general.

    Example
    -------
    >>> round(mean_passes(672e3, 12.0, 4000.0, 14.0), 6)
    1.0

    References
    ----------
    Closed form: energy balance.
    """
    return load / (flow * heat_capacity * drop)


@compiled
def resting_point(set_point: float, drop: float, mean: float) -> tuple[float, float]:
    """Temperature about which a mixed return tank hunts and the mean supply, [K] and [K].

    T_hot = T_s + k drop,  T_supply = T_s - f drop,  k = floor(n),  f = n - k

    Parameters
    ----------
    set_point : of the switch that decides on a pass [K]
    drop : taken off at each pass [K]
    mean : passes per kilogram that carry the load, see `mean_passes` [-]

    Notes
    -----
    The tank cannot rest elsewhere: below the boundary too little is taken off, above it too
    much. Needs chillers enough for k + 1 passes of the whole flow.

    Example
    -------
    >>> hot, supply = resting_point(295.15, 14.0, 1.8386)
    >>> round(hot, 2), round(supply, 2)
    (309.15, 283.41)

    References
    ----------
    Closed form: energy balance on both sides of a pass boundary.
    """
    whole = math.floor(mean)
    return set_point + whole * drop, set_point - (mean - whole) * drop


@compiled
def set_point_for(supply: float, drop: float, mean: float) -> float:
    """Set point that gives a wanted mean supply temperature, [K].

    T_s = T_supply + f drop

    Parameters
    ----------
    supply : wanted mean [K]
    drop : taken off at each pass [K]
    mean : passes per kilogram that carry the load [-]

    Notes
    -----
    The inverse of `resting_point`.

    Example
    -------
    >>> round(set_point_for(283.15, 14.0, 1.8386), 2)
    294.89

    References
    ----------
    Closed form: energy balance on both sides of a pass boundary.
    """
    return supply + (mean - math.floor(mean)) * drop


@compiled
def ring_throughput(chillers: int, rated_flow: float, count: int) -> float:
    """Flow that leaves a ring whose switch stands after the chillers, [kg/s].

    q = N q_rated / n

    Parameters
    ----------
    chillers : in the bank [-]
    rated_flow : of one chiller [kg/s]
    count : passes that each parcel makes at this moment, >= 1 [-]

    Notes
    -----
    Every chiller is full at all times; the flow collapses as the liquid gets hotter.

    Example
    -------
    >>> ring_throughput(4, 6.0, 2), ring_throughput(3, 6.0, 5)
    (12.0, 3.6)

    References
    ----------
    Closed form: mass balance.
    """
    return chillers * rated_flow / count


@compiled
def ring_throughput_idling(chillers: int, rated_flow: float, mean: float, delivery_flow: float) -> float:
    """Flow that leaves a ring whose switch and valve stand before the chillers, [kg/s].

    1/q = n / (N q_rated) + 1 / q_delivery

    Parameters
    ----------
    chillers : in the bank [-]
    rated_flow : of one chiller [kg/s]
    mean : passes per kilogram [-]
    delivery_flow : with which a released slug leaves while the chillers stand idle [kg/s]

    Notes
    -----
    For pipes that are always full: the two phases follow each other in time.

    Example
    -------
    >>> round(ring_throughput_idling(4, 6.0, 1.84, 24.0), 2)
    8.45

    References
    ----------
    Closed form: times of the two phases add up.
    """
    return 1.0 / (mean / (chillers * rated_flow) + 1.0 / delivery_flow)


@compiled
def chillers_needed(mean: float, flow: float, rated_flow: float) -> int:
    """Fewest chillers that carry the load in the long run, [-].

    N = ceil(n q / q_rated)

    Parameters
    ----------
    mean : passes per kilogram that carry the load [-]
    flow : through the consumers [kg/s]
    rated_flow : of one chiller, > 0 [kg/s]

    Notes
    -----
    Compare `ring_throughput` at the next whole number of passes with the flow as well.

    Example
    -------
    >>> chillers_needed(1.8386, 12.0, 6.0), chillers_needed(2.0, 12.0, 6.0)
    (4, 4)

    References
    ----------
    Closed form: mass balance.
    """
    return int(math.ceil(mean * flow / rated_flow - ROUNDING))


@compiled
def chillers_needed_idling(mean: float, flow: float, rated_flow: float, delivery_flow: float) -> int:
    """Fewest chillers of a ring whose switch and valve stand before them, [-].

    N = ceil(n / (q_rated (1/q - 1/q_delivery)))

    Parameters
    ----------
    mean : passes per kilogram that carry the load [-]
    flow : through the consumers, < delivery_flow [kg/s]
    rated_flow : of one chiller [kg/s]
    delivery_flow : with which a released slug leaves [kg/s]

    Notes
    -----
    The inverse of `ring_throughput_idling`.

    Example
    -------
    >>> chillers_needed_idling(1.84, 12.0, 6.0, 24.0)
    8

    References
    ----------
    Closed form: times of the two phases add up.
    """
    return int(math.ceil(mean / (rated_flow * (1.0 / flow - 1.0 / delivery_flow)) - ROUNDING))


@compiled
def bank_duty(mean: float, flow: float, chillers: int, rated_flow: float) -> float:
    """Share of the time that a bank of chillers works, [-].

    u = n q / (N q_rated)

    Parameters
    ----------
    mean : passes per kilogram that carry the load [-]
    flow : through the consumers [kg/s]
    chillers : in the bank [-]
    rated_flow : of one chiller [kg/s]

    Notes
    -----
    Above 1 the bank is too small and the hot side never stops rising.

    Example
    -------
    >>> round(bank_duty(1.8386, 12.0, 4, 6.0), 4)
    0.9193

    References
    ----------
    Closed form: mass balance.
    """
    return mean * flow / (chillers * rated_flow)


@compiled
def two_switch_bounds(first: float, second: float, drop: float, waiting: float) -> tuple[float, float]:
    """Coldest and warmest liquid of a layout with two serial decisions, [K] and [K].

    T_cold = min(T1, T2, T_waiting) - drop,  T_warm = max(T1, T2)

    Parameters
    ----------
    first : set point of the switch at the return tank's outlet [K]
    second : set point of the switch after the chillers [K]
    drop : taken off at each pass [K]
    waiting : coolest liquid that the waiting tank holds when its ring starts [K]

    Notes
    -----
    Whatever enters the ring makes at least one pass, so a waiting tank that starts cool is
    chilled all the same. Once warm, only the set points count. Bounds, not means.

    Example
    -------
    >>> two_switch_bounds(295.0, 295.0, 14.0, 293.0)
    (279.0, 295.0)

    References
    ----------
    Closed form: counting.
    """
    return min(first, second, waiting) - drop, max(first, second)
