"""On and off: periods, duties and swings of temperature switches."""

import math

from brinewright.jit import compiled
from brinewright.laws.lump import time_to_reach


@compiled
def relay_period(rise: float, fall: float, differential: float, dead_time: float) -> float:
    """Period of an on and off cycle with constant ramps, [s].

    t = 2 t_L + d (1 / r_up + 1 / r_dn) + t_L (r_up / r_dn + r_dn / r_up)

    Parameters
    ----------
    rise : r_up, rate while off, > 0 [K/s]
    fall : r_dn, rate while on, > 0 [K/s]
    differential : d, of the switch [K]
    dead_time : t_L, lag, stroke and transport together [s]

    Notes
    -----
    A lag of first order acts on a ramp as a delay of its time constant.

    Example
    -------
    >>> round(relay_period(0.01, 0.02, 1.0, 20.0), 6)
    240.0

    References
    ----------
    Closed form.
    """
    return (
        2.0 * dead_time + differential * (1.0 / rise + 1.0 / fall) + dead_time * (rise / fall + fall / rise)
    )


@compiled
def relay_swing(rise: float, fall: float, differential: float, dead_time: float) -> float:
    """Peak to trough of an on and off cycle with constant ramps, [K].

    d + t_L (r_up + r_dn)

    Parameters
    ----------
    rise : r_up, rate while off [K/s]
    fall : r_dn, rate while on [K/s]
    differential : d, of the switch [K]
    dead_time : t_L, lag, stroke and transport together [s]

    Notes
    -----
    Even an ideal switch with d = 0 swings by the second term.

    Example
    -------
    >>> round(relay_swing(0.01, 0.02, 1.0, 20.0), 6)
    1.6

    References
    ----------
    Closed form.
    """
    return differential + dead_time * (rise + fall)


@compiled
def relay_duty(rise: float, fall: float) -> float:
    """Share of the time that the machine runs, [-].

    u = r_up / (r_up + r_dn)

    Parameters
    ----------
    rise : rate while off [K/s]
    fall : rate while on [K/s]

    Notes
    -----
    The mean rate must be zero, whatever lag and differential.

    Example
    -------
    >>> round(relay_duty(0.01, 0.02), 4)
    0.3333

    References
    ----------
    Closed form.
    """
    return rise / (rise + fall)


@compiled
def least_period(capacity: float, differential: float, heat: float) -> float:
    """Shortest cycle of a store that one machine switches, [s].

    t = 4 C d / Phi

    Parameters
    ----------
    capacity : C, heat capacity of the store [J/K]
    differential : d, of the switch [K]
    heat : Phi, of the machine [W]

    Notes
    -----
    Reached at half load.

    Example
    -------
    >>> round(least_period(8.4e6, 4.0, 500e3), 1)
    268.8

    References
    ----------
    Closed form; least of C d (1 / x + 1 / (Phi - x)).
    """
    return 4.0 * capacity * differential / heat


@compiled
def lump_on_off(
    low: float, high: float, heat: float, conductance: float, surroundings: float, capacity: float
) -> tuple[float, float]:
    """Time on and time off of a thermostat on a lump, [s] and [s].

    Heating (heat > 0): on from low to high. Cooling (heat < 0): on from high to low.

    Parameters
    ----------
    low : lower switching temperature [K]
    high : upper switching temperature [K]
    heat : given by the machine while it runs, negative for cooling [W]
    conductance : H, of the lump to its surroundings [W/K]
    surroundings : temperature around it [K]
    capacity : C, of the lump [J/K]

    Notes
    -----
    Exact exponentials. Infinite where the machine can't reach its end or is never called.

    Example
    -------
    >>> on, off = lump_on_off(293.15, 295.15, 6000.0, 200.0, 278.15, 2e6)
    >>> round(on, 1), round(off, 1)
    (1431.0, 1251.6)

    References
    ----------
    Closed form.
    """
    if heat > 0.0:
        return (
            time_to_reach(high, low, heat, conductance, surroundings, capacity),
            time_to_reach(low, high, 0.0, conductance, surroundings, capacity),
        )
    return (
        time_to_reach(low, high, heat, conductance, surroundings, capacity),
        time_to_reach(high, low, 0.0, conductance, surroundings, capacity),
    )


@compiled
def lagged(reading: float, true: float, lag: float, step: float) -> float:
    """Reading of a sensor with a first-order lag after a step of time, [K].

    T_m + (T - T_m) (1 - exp(-dt / tau))

    Parameters
    ----------
    reading : T_m before the step [K]
    true : temperature T during the step [K]
    lag : tau; 4 to 10 bare in water, 15 to 60 in a well, minutes in gas [s]
    step : dt [s]

    Notes
    -----
    With no lag the reading is true.

    Example
    -------
    >>> round(lagged(280.0, 290.0, 10.0, 10.0), 3)
    286.321

    References
    ----------
    Closed form.
    """
    if lag <= 0.0:
        return true
    return reading - (true - reading) * math.expm1(-step / lag)


@compiled
def lead_distance(velocity: float, response: float, stroke: float) -> float:
    """Distance that a sensor must stand before its valve, [m].

    L = v (tau + t_stroke)

    Parameters
    ----------
    velocity : of the liquid [m/s]
    response : of the sensor [s]
    stroke : of the valve [s]

    Notes
    -----
    Nearer, and liquid that should have turned off has already passed.

    Example
    -------
    >>> lead_distance(1.0, 5.0, 2.0)
    7.0

    References
    ----------
    Kinematics.
    """
    return velocity * (response + stroke)
