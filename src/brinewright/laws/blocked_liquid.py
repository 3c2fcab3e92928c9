"""Liquid shut in between two valves, and warmed."""

from brinewright.jit import compiled


@compiled
def pressure_per_kelvin(
    expansion: float,
    compressibility: float,
    bore: float,
    wall: float,
    elasticity: float,
    wall_expansion: float,
) -> float:
    """Pressure rise of a full, shut pipe per kelvin, [Pa/K].

    dp/dT = (beta - 3 alpha) / (kappa + D / (e E))

    Parameters
    ----------
    expansion : beta, volumetric, of the liquid [1/K]
    compressibility : kappa, isothermal, of the liquid [1/Pa]
    bore : D [m]
    wall : e, thickness [m]
    elasticity : E, modulus of the wall, infinite for a rigid one [Pa]
    wall_expansion : alpha, linear, of the wall, 0 to leave it out [1/K]

    Notes
    -----
    Thin wall, no trapped gas, valves that don't pass. Bar per kelvin: every section that can be
    shut at both ends needs a relief.

    Example
    -------
    >>> round(pressure_per_kelvin(2.07e-4, 4.59e-10, 0.1, 0.004, float("inf"), 0.0) / 1e5, 1)
    4.5

    References
    ----------
    Closed form; any text on thermal relief.
    """
    return (expansion - 3.0 * wall_expansion) / (compressibility + bore / (wall * elasticity))


@compiled
def released_volume(volume: float, expansion: float, warming: float) -> float:
    """Liquid that a thermal relief must let out, [m3].

    dV = V beta dT

    Parameters
    ----------
    volume : shut in [m3]
    expansion : beta, volumetric, less that of the wall [1/K]
    warming : temperature rise [K]

    Notes
    -----
    Small: a tap drip at a time.

    Example
    -------
    >>> round(released_volume(0.5, 2.07e-4, 10.0) * 1e3, 2)
    1.03

    References
    ----------
    Definition of the coefficient of expansion.
    """
    return volume * expansion * warming
