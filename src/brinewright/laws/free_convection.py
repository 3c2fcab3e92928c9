"""Free convection: Rayleigh number with the site's gravity, plates, cylinders, gaps."""

import math

from brinewright.jit import compiled

RANGES = {
    "vertical_plate": {"rayleigh": (0.1, 1e12)},
    "vertical_plate_laminar": {"rayleigh": (0.1, 1e9)},
    "horizontal_cylinder": {"rayleigh": (1e-6, 1e12)},
    "plate_facing_up_warm": {"rayleigh": (1e4, 1e11)},
    "plate_facing_down_warm": {"rayleigh": (1e5, 1e10)},
    "vertical_gap": {"rayleigh": (1e4, 1e7), "prandtl": (1.0, 2e4), "slenderness": (10.0, 40.0)},
    "annulus_conductivity_ratio": {"rayleigh": (100.0, 1e7), "prandtl": (0.7, 6000.0)},
}
"""Range of each correlation [-]; for the annulus the Rayleigh number Ra_c of its reference."""


@compiled
def rayleigh_number(
    gravity: float, expansion: float, difference: float, size: float, viscosity: float, diffusivity: float
) -> float:
    """Rayleigh number, [-].

    Ra = g beta |dT| L^3 / (nu a)

    Parameters
    ----------
    gravity : of the site [m/s2]
    expansion : beta, 1/T of the film for gases [1/K]
    difference : surface to fluid, either sign [K]
    size : length that the correlation asks for [m]
    viscosity : kinematic [m2/s]
    diffusivity : thermal [m2/s]

    Notes
    -----
    Properties at film temperature. Density squared is inside: pressure counts as much as gravity.

    Example
    -------
    >>> round(rayleigh_number(9.8, 0.0025, 209.0, 0.71, 2.64e-5, 3.83e-5) / 1e9, 3)
    1.813

    References
    ----------
    Definition.
    """
    return gravity * expansion * abs(difference) * size * size * size / (viscosity * diffusivity)


@compiled
def vertical_plate(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of a vertical plate, on its height, [-].

    Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2

    Parameters
    ----------
    rayleigh : on the height, 0.1 to 1e12 [-]
    prandtl : any [-]

    Notes
    -----
    Serves tall cylinders as well where D / H > 35 / Gr^(1/4).

    Example
    -------
    >>> round(vertical_plate(1.813e9, 0.69), 1)
    147.1

    References
    ----------
    Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; Incropera, eq. 9.26.
    """
    damping = math.pow(1.0 + math.pow(0.492 / prandtl, 0.5625), 8.0 / 27.0)
    root = 0.825 + 0.387 * math.pow(rayleigh, 1.0 / 6.0) / damping
    return root * root


@compiled
def vertical_plate_laminar(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of a vertical plate in laminar flow, on its height, [-].

    Nu = 0.68 + 0.670 Ra^(1/4) / (1 + (0.492/Pr)^(9/16))^(4/9)

    Parameters
    ----------
    rayleigh : on the height, up to 1e9 [-]
    prandtl : any [-]

    Notes
    -----
    Slightly better than `vertical_plate` in its range.

    Example
    -------
    >>> round(vertical_plate_laminar(1e6, 0.71), 2)
    16.94

    References
    ----------
    Churchill and Chu 1975; Incropera, eq. 9.27.
    """
    damping = math.pow(1.0 + math.pow(0.492 / prandtl, 0.5625), 4.0 / 9.0)
    return 0.68 + 0.670 * math.pow(rayleigh, 0.25) / damping


@compiled
def horizontal_cylinder(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of a horizontal cylinder, on its diameter, [-].

    Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2

    Parameters
    ----------
    rayleigh : on the diameter, up to 1e12 [-]
    prandtl : any [-]

    Notes
    -----
    +-15 %.

    Example
    -------
    >>> round(horizontal_cylinder(5.073e6, 0.697), 1)
    23.1

    References
    ----------
    Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; Incropera, eq. 9.34.
    """
    damping = math.pow(1.0 + math.pow(0.559 / prandtl, 0.5625), 8.0 / 27.0)
    root = 0.60 + 0.387 * math.pow(rayleigh, 1.0 / 6.0) / damping
    return root * root


@compiled
def plate_facing_up_warm(rayleigh: float) -> float:
    """Mean Nusselt number of the upper side of a warm plate or the lower side of a cold one, [-].

    Nu = 0.54 Ra^(1/4) up to Ra 1e7, 0.15 Ra^(1/3) above

    Parameters
    ----------
    rayleigh : on area over perimeter, 1e4 to 1e11 [-]

    Notes
    -----
    The two branches meet at 1e7 within 5 %, and are not joined.

    Example
    -------
    >>> round(plate_facing_up_warm(1e6), 2)
    17.08

    References
    ----------
    Lloyd and Moran 1974; Incropera, eq. 9.30 and 9.31.
    """
    if rayleigh <= 1e7:
        return 0.54 * math.pow(rayleigh, 0.25)
    return 0.15 * math.pow(rayleigh, 1.0 / 3.0)


@compiled
def plate_facing_down_warm(rayleigh: float) -> float:
    """Mean Nusselt number of the lower side of a warm plate or the upper side of a cold one, [-].

    Nu = 0.27 Ra^(1/4)

    Parameters
    ----------
    rayleigh : on area over perimeter, 1e5 to 1e10 [-]

    Notes
    -----
    Newer editions print 0.52 Ra^(1/5) for 1e4 to 1e9.

    Example
    -------
    >>> round(plate_facing_down_warm(1e8), 1)
    27.0

    References
    ----------
    Incropera, 6th edition, eq. 9.32.
    """
    return 0.27 * math.pow(rayleigh, 0.25)


@compiled
def vertical_gap(rayleigh: float, prandtl: float, slenderness: float) -> float:
    """Nusselt number of a tall vertical gap between two walls, on its width, [-].

    Nu = max(1, 0.42 Ra^(1/4) Pr^0.012 (H/L)^-0.3)

    Parameters
    ----------
    rayleigh : on the width, 1e4 to 1e7 [-]
    prandtl : 1 to 2e4; used for air as well [-]
    slenderness : height over width, 10 to 40 [-]

    Notes
    -----
    At 1 the gap only conducts.

    Example
    -------
    >>> round(vertical_gap(1.05e4, 0.7344, 40.0), 2)
    1.4

    References
    ----------
    MacGregor and Emery 1969; Incropera, eq. 9.52.
    """
    return max(1.0, 0.42 * math.pow(rayleigh, 0.25) * math.pow(prandtl, 0.012) * math.pow(slenderness, -0.3))


@compiled
def annulus_rayleigh(rayleigh: float, inner: float, outer: float) -> float:
    """Rayleigh number of a closed horizontal annulus, [-].

    Ra_c = ln(D_o/D_i)^4 / (L^3 (D_i^(-3/5) + D_o^(-3/5))^5) Ra_L,  L = (D_o - D_i) / 2

    Parameters
    ----------
    rayleigh : Ra_L, on the gap L [-]
    inner : diameter of the inner cylinder [m]
    outer : diameter of the outer cylinder [m]

    Notes
    -----
    For `annulus_conductivity_ratio`.

    Example
    -------
    >>> round(annulus_rayleigh(1e6, 0.1, 0.2))
    146613

    References
    ----------
    Raithby and Hollands, Adv. Heat Transfer 11 (1975) 265; Incropera 6th edition, eq. 9.60.
    """
    gap = 0.5 * (outer - inner)
    logarithm = math.log(outer / inner)
    sizes = math.pow(inner, -0.6) + math.pow(outer, -0.6)
    return math.pow(logarithm, 4) / (gap * gap * gap * math.pow(sizes, 5)) * rayleigh


@compiled
def annulus_conductivity_ratio(rayleigh: float, prandtl: float) -> float:
    """How many times better than by conduction a closed annulus passes heat, [-].

    k_eff / k = max(1, 0.386 (Pr / (0.861 + Pr))^(1/4) Ra_c^(1/4))

    Parameters
    ----------
    rayleigh : Ra_c of `annulus_rayleigh`, 100 to 1e7 [-]
    prandtl : 0.7 to 6000 [-]

    Notes
    -----
    Above 1e7 it is used with +-30 %.

    Example
    -------
    >>> round(annulus_conductivity_ratio(1e6, 0.7), 2)
    9.99

    References
    ----------
    Raithby and Hollands, Adv. Heat Transfer 11 (1975) 265; Incropera 6th edition, eq. 9.59.
    """
    return max(1.0, 0.386 * math.pow(prandtl / (0.861 + prandtl) * rayleigh, 0.25))


@compiled
def annulus_heat(
    conductivity: float, ratio: float, inner: float, outer: float, length: float, difference: float
) -> float:
    """Heat through a closed annulus by gas alone, [W].

    Phi = 2 pi k (k_eff / k) L dT / ln(D_o / D_i)

    Parameters
    ----------
    conductivity : k of the gas [W/(m K)]
    ratio : k_eff / k, see `annulus_conductivity_ratio` [-]
    inner : diameter of the inner cylinder [m]
    outer : diameter of the outer cylinder [m]
    length : of the cylinders [m]
    difference : inner less outer temperature [K]

    Notes
    -----
    Ends and radiation come on top.

    Example
    -------
    >>> round(annulus_heat(0.03, 10.0, 1.6, 2.4, 3.0, 100.0))
    1395

    References
    ----------
    Incropera 6th edition, eq. 9.58.
    """
    return 2.0 * math.pi * conductivity * ratio * length * difference / math.log(outer / inner)
