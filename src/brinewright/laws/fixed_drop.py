"""The chiller of a declared world: a fixed number of kelvin off every kilogram."""

import math

from brinewright.jit import compiled


@compiled
def cooling_duty(flow: float, heat_capacity: float, drop: float) -> float:
    """Heat taken from the liquid, [W].

    Phi = q c drop

    Parameters
    ----------
    flow : through the chiller [kg/s]
    heat_capacity : of the liquid [J/(kg K)]
    drop : taken off every kilogram [K]

    Notes
    -----
    Proportional to flow and heat capacity, whatever the temperature: no real machine does that.

    Example
    -------
    >>> cooling_duty(6.0, 4000.0, 14.0)
    336000.0

    References
    ----------
    A declared law.
    """
    return flow * heat_capacity * drop


@compiled
def heat_rejected(duty: float, power: float, share: float, own_heat: float) -> float:
    """Heat given to what surrounds the chiller, [W].

    Phi_h = Phi + kappa P + Phi_self

    Parameters
    ----------
    duty : heat taken from the liquid [W]
    power : electric power drawn [W]
    share : of the power that appears as heat, 0 to 1 [-]
    own_heat : further heat of the machine [W]

    Notes
    -----
    With share < 1 the world loses (1 - share) P; the first-law audit shows it.

    Example
    -------
    >>> heat_rejected(336e3, 180e3, 0.1, 0.0)
    354000.0

    References
    ----------
    A declared law.
    """
    return duty + share * power + own_heat


@compiled
def declared_performance(rated_flow: float, heat_capacity: float, drop: float, power: float) -> float:
    """Cooling per electric power at full flow, [-].

    COP = q c drop / P

    Parameters
    ----------
    rated_flow : of one chiller [kg/s]
    heat_capacity : of the liquid [J/(kg K)]
    drop : taken off every kilogram [K]
    power : drawn at full flow, > 0 [W]

    Notes
    -----
    Compare with `carnot.cooling_bound` between the temperatures that occur.

    Example
    -------
    >>> round(declared_performance(6.0, 4000.0, 14.0, 180e3), 4)
    1.8667

    References
    ----------
    A declared law.
    """
    return rated_flow * heat_capacity * drop / power


@compiled
def reject_ratio(performance: float, share: float) -> float:
    """Heat into the vessel per heat taken from the loop, [-].

    g = 1 + kappa / COP

    Parameters
    ----------
    performance : cooling per electric power, > 0 [-]
    share : of the electric power that appears as heat [-]

    Notes
    -----
    Own heat is left out; add it to the fixed heat of the plant.

    Example
    -------
    >>> round(reject_ratio(1.8667, 0.1), 5)
    1.05357

    References
    ----------
    A declared law.
    """
    return 1.0 + share / performance


@compiled
def dry_time(
    heat: float, capacity: float, conductance: float, start: float, surroundings: float, limit: float
) -> float:
    """Time until the metal of a chiller in a dry vessel reaches its limit, [s].

    C dT/dt = Phi - G (T - T_s)

    Parameters
    ----------
    heat : given to the metal, > 0 [W]
    capacity : heat capacity of the metal [J/K]
    conductance : to what surrounds it, 0 for none [W/K]
    start : temperature of the metal at time 0 [K]
    surroundings : temperature around it [K]
    limit : of the material, > start [K]

    Notes
    -----
    Infinite where the conductance carries the heat away below the limit.

    Example
    -------
    >>> round(dry_time(354e3, 588e3, 0.0, 303.15, 303.15, 448.15), 1)
    240.8

    References
    ----------
    Closed form: first-order lump.
    """
    if conductance <= 0.0:
        return capacity * (limit - start) / heat
    rest = surroundings + heat / conductance
    if rest <= limit:
        return math.inf
    return capacity / conductance * math.log((rest - start) / (rest - limit))
