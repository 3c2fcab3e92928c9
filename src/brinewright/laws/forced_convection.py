"""Forced convection in pipes and across cylinders: Nusselt numbers."""

import math

from brinewright.jit import compiled

RANGES = {
    "dittus_boelter": {"reynolds": (1e4, 1.2e5), "prandtl": (0.7, 120.0)},
    "petukhov_friction": {"reynolds": (3000.0, 5e6)},
    "gnielinski": {"reynolds": (3000.0, 5e6), "prandtl": (0.5, 2000.0)},
    "hausen": {"reynolds": (1.0, 2300.0), "prandtl": (0.7, 2000.0)},
    "churchill_bernstein": {"reynolds": (100.0, 1e7), "prandtl": (0.2, 2000.0)},
    "pipe_nusselt": {"reynolds": (1.0, 5e6), "prandtl": (0.7, 2000.0)},
}
"""Range of each correlation: Reynolds and Prandtl numbers [-]."""

LAMINAR_AT_CONSTANT_TEMPERATURE = 3.66
"""Nusselt number of developed laminar flow, wall at constant temperature (exact 3.657) [-]."""
LAMINAR_AT_CONSTANT_FLUX = 48.0 / 11.0
"""Nusselt number of developed laminar flow, constant heat flux [-]."""
TRANSITION = (2300.0, 4000.0)
"""Reynolds numbers between which `pipe_nusselt` blends [-]."""


@compiled
def dittus_boelter(reynolds: float, prandtl: float, is_heated: bool) -> float:
    """Nusselt number of turbulent flow in a smooth pipe, [-].

    Nu = 0.023 Re^0.8 Pr^n,  n = 0.4 heated, 0.3 cooled

    Parameters
    ----------
    reynolds : 1e4 to 1.2e5 [-]
    prandtl : 0.7 to 120 [-]
    is_heated : whether the wall is warmer than the fluid [-]

    Notes
    -----
    +-25 %; length over bore above 10.

    Example
    -------
    >>> round(dittus_boelter(1e5, 1.2, True), 2)
    247.4

    References
    ----------
    McAdams, Heat Transmission; Incropera, eq. 8.60.
    """
    return 0.023 * math.pow(reynolds, 0.8) * math.pow(prandtl, 0.4 if is_heated else 0.3)


@compiled
def petukhov_friction(reynolds: float) -> float:
    """Darcy friction factor of a smooth pipe, [-].

    f = (0.79 ln Re - 1.64)^-2

    Parameters
    ----------
    reynolds : 3000 to 5e6 [-]

    Notes
    -----
    Meant for use in `gnielinski`.

    Example
    -------
    >>> round(petukhov_friction(2e4), 5)
    0.02615

    References
    ----------
    Petukhov 1970; Incropera, eq. 8.21.
    """
    root = 0.79 * math.log(reynolds) - 1.64
    return 1.0 / (root * root)


@compiled
def gnielinski(reynolds: float, prandtl: float, friction: float) -> float:
    """Nusselt number of turbulent flow in a pipe, [-].

    Nu = (f/8) (Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1))

    Parameters
    ----------
    reynolds : 3000 to 5e6 [-]
    prandtl : 0.5 to 2000 [-]
    friction : Darcy friction factor [-]

    Notes
    -----
    +-10 %.

    Example
    -------
    >>> round(gnielinski(1e5, 1.2, 0.0185), 2)
    254.63

    References
    ----------
    Gnielinski, Int. Chem. Eng. 16 (1976) 359; Incropera, eq. 8.62.
    """
    eighth = friction / 8.0
    return (
        eighth
        * (reynolds - 1000.0)
        * prandtl
        / (1.0 + 12.7 * math.sqrt(eighth) * (math.pow(prandtl, 2.0 / 3.0) - 1.0))
    )


@compiled
def hausen(reynolds: float, prandtl: float, bore_over_length: float) -> float:
    """Mean Nusselt number of laminar flow with a thermal entry, [-].

    Nu = 3.66 + 0.0668 Gz / (1 + 0.04 Gz^(2/3)),  Gz = Re Pr D / L

    Parameters
    ----------
    reynolds : below 2300 [-]
    prandtl : above 0.7 [-]
    bore_over_length : D / L [-]

    Notes
    -----
    Velocity profile developed; wall at constant temperature.

    Example
    -------
    >>> round(hausen(1500.0, 10.0, 0.01), 3)
    8.366

    References
    ----------
    Hausen 1943; Incropera, eq. 8.57.
    """
    graetz = reynolds * prandtl * bore_over_length
    return LAMINAR_AT_CONSTANT_TEMPERATURE + 0.0668 * graetz / (1.0 + 0.04 * math.pow(graetz, 2.0 / 3.0))


@compiled
def pipe_nusselt(reynolds: float, prandtl: float, bore_over_length: float) -> float:
    """Nusselt number of a smooth pipe in any regime, [-].

    `hausen` below Re 2300, `gnielinski` above 4000, linear in Re between

    Parameters
    ----------
    reynolds : any, >= 0 [-]
    prandtl : above 0.7 [-]
    bore_over_length : D / L [-]

    Notes
    -----
    Continuous everywhere, as a march in time needs; +-30 % in the transition.

    Example
    -------
    >>> round(pipe_nusselt(1500.0, 10.0, 0.01), 3), round(pipe_nusselt(2e4, 6.0, 0.01), 1)
    (8.366, 139.5)

    References
    ----------
    Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134, for the linear transition.
    """
    low, high = TRANSITION
    if reynolds <= low:
        return hausen(reynolds, prandtl, bore_over_length)
    if reynolds >= high:
        return gnielinski(reynolds, prandtl, petukhov_friction(reynolds))
    share = (reynolds - low) / (high - low)
    laminar = hausen(low, prandtl, bore_over_length)
    return (1.0 - share) * laminar + share * gnielinski(high, prandtl, petukhov_friction(high))


@compiled
def churchill_bernstein(reynolds: float, prandtl: float) -> float:
    """Mean Nusselt number of a cylinder in cross flow, [-].

    Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5)

    Parameters
    ----------
    reynolds : on the diameter [-]
    prandtl : Re Pr above 0.2 [-]

    Notes
    -----
    Properties at film temperature.

    Example
    -------
    >>> round(churchill_bernstein(6071.0, 0.7), 2)
    40.64

    References
    ----------
    Churchill and Bernstein, J. Heat Transfer 99 (1977) 300; Incropera, eq. 7.54.
    """
    damping = math.pow(1.0 + math.pow(0.4 / prandtl, 2.0 / 3.0), 0.25)
    front = 0.62 * math.sqrt(reynolds) * math.pow(prandtl, 1.0 / 3.0) / damping
    return 0.3 + front * math.pow(1.0 + math.pow(reynolds / 282000.0, 0.625), 0.8)


@compiled
def film_coefficient(nusselt: float, conductivity: float, size: float) -> float:
    """Heat transfer coefficient, [W/(m2 K)].

    h = Nu k / L

    Parameters
    ----------
    nusselt : Nusselt number [-]
    conductivity : of the fluid [W/(m K)]
    size : length that the Nusselt number refers to [m]

    Notes
    -----
    Bore for pipes, diameter for cylinders, height for plates.

    Example
    -------
    >>> round(film_coefficient(40.64, 0.03, 0.0127), 1)
    96.0

    References
    ----------
    Definition.
    """
    return nusselt * conductivity / size
