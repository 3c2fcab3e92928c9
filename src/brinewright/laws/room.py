"""Rooms: two nodes, people, and the lumped figures of EN ISO 13790."""

import math

from brinewright.jit import compiled

SEATED_SENSIBLE = 75.0
"""Heat of a seated person to the air, ASHRAE Fundamentals, from memory [W]."""
SEATED_LATENT = 55.0
"""Heat of a seated person as moisture, ASHRAE Fundamentals, from memory [W]."""
CAPACITY_CLASSES = {
    "very light": 80e3,
    "light": 110e3,
    "medium": 165e3,
    "heavy": 260e3,
    "very heavy": 370e3,
}
"""Internal heat capacity per floor area, EN ISO 13790:2008 table 12, from memory [J/(m2 K)]."""
AIR_VOLUMETRIC_CAPACITY = 1200.0
"""rho c of air as EN ISO 13790 takes it [J/(m3 K)]."""


@compiled
def _ramp(rate: float, time: float) -> float:
    """Integral of e^(rate s) from 0 to time, [s]."""
    return time if rate == 0.0 else math.expm1(rate * time) / rate


@compiled
def two_node_temperatures(
    time: float,
    air: float,
    mass: float,
    air_capacity: float,
    mass_capacity: float,
    coupling: float,
    air_loss: float,
    mass_loss: float,
    surroundings: float,
    air_heat: float,
    mass_heat: float,
) -> tuple[float, float]:
    """Temperatures of air and building mass after a time, [K] and [K].

    C_1 dT_1/dt = Phi_1 + H_12 (T_2 - T_1) + H_1 (T_a - T_1)
    C_2 dT_2/dt = Phi_2 + H_12 (T_1 - T_2) + H_2 (T_a - T_2)

    Parameters
    ----------
    time : since the start [s]
    air : temperature T_1 at time 0 [K]
    mass : temperature T_2 at time 0 [K]
    air_capacity : C_1 [J/K]
    mass_capacity : C_2 [J/K]
    coupling : H_12 [W/K]
    air_loss : H_1, of the air to the surroundings [W/K]
    mass_loss : H_2, of the mass to the surroundings [W/K]
    surroundings : temperature T_a [K]
    air_heat : Phi_1 [W]
    mass_heat : Phi_2 [W]

    Notes
    -----
    Matrix exponential in closed form; exact for any step, closed rooms (no losses) included.

    Example
    -------
    >>> air, mass = two_node_temperatures(
    ...     1800.0, 293.15, 293.15, 2e5, 6e6, 300.0, 60.0, 0.0, 273.15, 3000.0, 0.0
    ... )
    >>> round(air - 273.15, 4)
    24.9685

    References
    ----------
    Closed form.
    """
    a11 = -(coupling + air_loss) / air_capacity
    a12 = coupling / air_capacity
    a21 = coupling / mass_capacity
    a22 = -(coupling + mass_loss) / mass_capacity
    middle = 0.5 * (a11 + a22)
    half = 0.5 * (a11 - a22)
    root = math.sqrt(half * half + a12 * a21)
    x1, x2 = air - surroundings, mass - surroundings
    if root == 0.0:
        grow = math.exp(middle * time)
        ramp = _ramp(middle, time)
        return (
            surroundings + grow * x1 + ramp * air_heat / air_capacity,
            surroundings + grow * x2 + ramp * mass_heat / mass_capacity,
        )
    fast = middle - root
    determinant = coupling * (air_loss + mass_loss) + air_loss * mass_loss
    # from the product of the rates, so that a closed room has a slow rate of exactly 0
    slow = determinant / (air_capacity * mass_capacity) / fast
    e1, e2 = math.exp(slow * time), math.exp(fast * time)
    r1, r2 = _ramp(slow, time), _ramp(fast, time)
    even, odd = 0.5 * (e1 + e2), 0.5 * (e1 - e2) / root
    ramp_even, ramp_odd = 0.5 * (r1 + r2), 0.5 * (r1 - r2) / root
    b1, b2 = air_heat / air_capacity, mass_heat / mass_capacity
    y1 = even * x1 + odd * (half * x1 + a12 * x2) + ramp_even * b1 + ramp_odd * (half * b1 + a12 * b2)
    y2 = even * x2 + odd * (a21 * x1 - half * x2) + ramp_even * b2 + ramp_odd * (a21 * b1 - half * b2)
    return surroundings + y1, surroundings + y2


@compiled
def people_gains(people: float, sensible: float, latent: float) -> tuple[float, float]:
    """Heat to the air and moisture given by people, [W] and [kg/s].

    Phi = n Phi_s,  m_w = n Phi_l / 2.45e6

    Parameters
    ----------
    people : n, present [-]
    sensible : each to the air, 75 seated [W]
    latent : each as moisture, 55 seated [W]

    Notes
    -----
    2.45 MJ/kg is the latent heat at skin temperature.

    Example
    -------
    >>> heat, moisture = people_gains(10.0, 75.0, 55.0)
    >>> heat, round(moisture * 3600.0, 3)
    (750.0, 0.808)

    References
    ----------
    ASHRAE Fundamentals; from memory.
    """
    return people * sensible, people * latent / 2.45e6


@compiled
def heat_capacity_of_building(floor_area: float, class_capacity: float) -> float:
    """Internal heat capacity of a building, [J/K].

    C_m = A_f kappa

    Parameters
    ----------
    floor_area : A_f, conditioned [m2]
    class_capacity : one of `CAPACITY_CLASSES` [J/(m2 K)]

    Notes
    -----
    For daily swings.

    Example
    -------
    >>> heat_capacity_of_building(100.0, 165e3)
    16500000.0

    References
    ----------
    EN ISO 13790:2008, table 12; from memory.
    """
    return floor_area * class_capacity


@compiled
def ventilation_conductance(volume: float, changes_per_second: float, volumetric_capacity: float) -> float:
    """Conductance of a room to the outside by its air changes, [W/K].

    H = rho c V n

    Parameters
    ----------
    volume : of air [m3]
    changes_per_second : 0.5 an hour is 0.5 / 3600 [1/s]
    volumetric_capacity : rho c of the air, 1200 at sea level [J/(m3 K)]

    Notes
    -----
    At another pressure scale rho c with it.

    Example
    -------
    >>> round(ventilation_conductance(300.0, 0.5 / 3600.0, 1200.0), 6)
    50.0

    References
    ----------
    EN ISO 13790:2008.
    """
    return volumetric_capacity * volume * changes_per_second


@compiled
def gain_utilisation(gain_ratio: float, time_constant: float) -> float:
    """Share of heat gains that is of use for heating in a month, [-].

    eta = (1 - g^a) / (1 - g^(a+1)),  a / (a + 1) at g = 1,  a = 1 + tau / 15 h

    Parameters
    ----------
    gain_ratio : g, gains over losses, > 0 [-]
    time_constant : tau of the building [s]

    Notes
    -----
    Monthly method.

    Example
    -------
    >>> round(gain_utilisation(0.8, 180e3), 4), round(gain_utilisation(1.0, 108e3), 4)
    (0.8907, 0.75)

    References
    ----------
    EN ISO 13790:2008, 12.2.1.1; formula from memory.
    """
    exponent = 1.0 + time_constant / 54000.0
    if abs(gain_ratio - 1.0) < 1e-9:
        return exponent / (exponent + 1.0)
    logarithm = math.log(gain_ratio)
    return math.expm1(exponent * logarithm) / math.expm1((exponent + 1.0) * logarithm)
