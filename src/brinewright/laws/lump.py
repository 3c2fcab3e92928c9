"""One lump of heat capacity with a conductance to its surroundings and a constant heat input.

C dT/dt = Phi - H (T - T_s)
"""

import math

from brinewright.jit import compiled


@compiled
def rest_temperature(heat: float, conductance: float, surroundings: float) -> float:
    """Temperature at which the lump comes to rest, [K].

    T = T_s + Phi / H

    Parameters
    ----------
    heat : given to the lump [W]
    conductance : to the surroundings, > 0 [W/K]
    surroundings : temperature around it [K]

    Notes
    -----
    Any sign of heat.

    Example
    -------
    >>> rest_temperature(1500.0, 100.0, 283.0)
    298.0

    References
    ----------
    Closed form.
    """
    return surroundings + heat / conductance


@compiled
def temperature_at(
    time: float, start: float, heat: float, conductance: float, surroundings: float, capacity: float
) -> float:
    """Temperature of the lump after a time, [K].

    T = T_r + (T_0 - T_r) exp(-H t / C),  T_r = T_s + Phi / H

    Parameters
    ----------
    time : since the start [s]
    start : temperature at time 0 [K]
    heat : given to the lump [W]
    conductance : to the surroundings, 0 for none [W/K]
    surroundings : temperature around it [K]
    capacity : heat capacity, > 0 [J/K]

    Notes
    -----
    Exact for any step, so a time march with it is stable.

    Example
    -------
    >>> round(temperature_at(18000.0, 303.15, 1500.0, 100.0, 283.15, 3.6e6) - 273.15, 4)
    28.0327

    References
    ----------
    Closed form.
    """
    exponent = conductance * time / capacity
    if exponent == 0.0:
        return start + heat * time / capacity
    shrink = -math.expm1(-exponent)
    return start + (surroundings - start) * shrink + heat * time / capacity * shrink / exponent


@compiled
def time_to_reach(
    target: float, start: float, heat: float, conductance: float, surroundings: float, capacity: float
) -> float:
    """Time until the lump reaches a temperature, [s].

    t = (C / H) ln((T_r - T_0) / (T_r - T))

    Parameters
    ----------
    target : temperature asked for [K]
    start : temperature at time 0 [K]
    heat : given to the lump [W]
    conductance : to the surroundings, 0 for none [W/K]
    surroundings : temperature around it [K]
    capacity : heat capacity, > 0 [J/K]

    Notes
    -----
    Infinite where the lump comes to rest before the target or moves away from it.

    Example
    -------
    >>> round(time_to_reach(300.15, 303.15, 1500.0, 100.0, 283.15, 3.6e6), 1)
    32986.5

    References
    ----------
    Closed form.
    """
    if target == start:
        return 0.0
    if conductance <= 0.0:
        needed = (target - start) * capacity
        return needed / heat if needed * heat > 0.0 else math.inf
    rest = surroundings + heat / conductance
    ratio = (rest - start) / (rest - target) if rest != target else 0.0
    return capacity / conductance * math.log(ratio) if ratio > 1.0 else math.inf


@compiled
def time_constant(capacity: float, conductance: float) -> float:
    """Time in which the distance from rest falls to 37 %, [s].

    tau = C / H

    Parameters
    ----------
    capacity : heat capacity [J/K]
    conductance : to the surroundings, > 0 [W/K]

    Notes
    -----
    Independent of heat and temperatures.

    Example
    -------
    >>> time_constant(3.6e6, 100.0)
    36000.0

    References
    ----------
    Closed form.
    """
    return capacity / conductance
