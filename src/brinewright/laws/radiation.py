"""Radiation between grey surfaces and to the sky."""

from brinewright.jit import compiled
from brinewright.laws.powers import fourth

STEFAN_BOLTZMANN = 5.670374419e-8
"""Exact in the SI of 2019, CODATA 2018 [W/(m2 K4)]."""


@compiled
def radiative_coefficient(emissivity: float, first: float, second: float) -> float:
    """Radiative coefficient of a small grey surface in large surroundings, [W/(m2 K)].

    h = eps sigma (T_1^2 + T_2^2) (T_1 + T_2)

    Parameters
    ----------
    emissivity : of the surface [-]
    first : its temperature [K]
    second : temperature of the surroundings [K]

    Notes
    -----
    Comparable with free convection in air, so never left out.

    Example
    -------
    >>> round(radiative_coefficient(0.9, 400.0, 300.0), 3)
    8.931

    References
    ----------
    Stefan and Boltzmann; closed form.
    """
    return emissivity * STEFAN_BOLTZMANN * (first * first + second * second) * (first + second)


@compiled
def radiated_heat(emissivity: float, area: float, surface: float, surroundings: float) -> float:
    """Heat that a small grey surface or a radiator gives to large surroundings, [W].

    Phi = eps sigma A (T^4 - T_s^4)

    Parameters
    ----------
    emissivity : of the surface [-]
    area : of the surface [m2]
    surface : its temperature [K]
    surroundings : radiative temperature around it, 0 to 4 for deep space [K]

    Notes
    -----
    A fin between the tubes is colder than they are: multiply by its efficiency.

    Example
    -------
    >>> round(radiated_heat(0.85, 1.0, 318.15, 0.0), 1)
    493.8

    References
    ----------
    Stefan and Boltzmann; closed form.
    """
    return emissivity * STEFAN_BOLTZMANN * area * (fourth(surface) - fourth(surroundings))


@compiled
def radiator_area(heat: float, emissivity: float, surface: float, surroundings: float) -> float:
    """Area of a radiator, [m2].

    A = Phi / (eps sigma (T^4 - T_s^4))

    Parameters
    ----------
    heat : to be shed [W]
    emissivity : of the surface [-]
    surface : its temperature, > surroundings [K]
    surroundings : radiative temperature around it [K]

    Notes
    -----
    The inverse of `radiated_heat`.

    Example
    -------
    >>> round(radiator_area(3039e3, 0.85, 318.15, 0.0))
    6154

    References
    ----------
    Stefan and Boltzmann; closed form.
    """
    return heat / (emissivity * STEFAN_BOLTZMANN * (fourth(surface) - fourth(surroundings)))


@compiled
def concentric_emissivity(inner: float, outer: float, area_ratio: float) -> float:
    """Emissivity that a grey surface inside another one acts with, [-].

    1 / eps = 1 / eps_1 + (1 / eps_2 - 1) A_1 / A_2

    Parameters
    ----------
    inner : emissivity eps_1 of the enclosed surface [-]
    outer : emissivity eps_2 of the enclosing surface [-]
    area_ratio : A_1 / A_2, 1 for parallel plates, 0 for large surroundings [-]

    Notes
    -----
    Long concentric cylinders or spheres, on the inner area.

    Example
    -------
    >>> round(concentric_emissivity(0.8, 0.8, 1.0), 4)
    0.6667

    References
    ----------
    Incropera, table 13.3.
    """
    return 1.0 / (1.0 / inner + (1.0 / outer - 1.0) * area_ratio)
