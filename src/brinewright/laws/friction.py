"""Darcy friction factors of round pipes."""

import math

from brinewright.jit import compiled
from brinewright.laws.powers import fourth, twelfth

RANGES = {
    "laminar": {"reynolds": (0.0, 2300.0)},
    "blasius": {"reynolds": (3000.0, 1e5)},
    "colebrook": {"reynolds": (4000.0, 1e8), "roughness": (0.0, 0.05)},
    "churchill": {"reynolds": (0.0, 1e8), "roughness": (0.0, 0.05)},
    "haaland": {"reynolds": (4000.0, 1e8), "roughness": (1e-6, 0.05)},
    "swamee_jain": {"reynolds": (5000.0, 1e8), "roughness": (1e-6, 0.05)},
    "rough_limit": {"roughness": (1e-6, 0.05)},
    "moody": {"reynolds": (1.0, 1e8), "roughness": (0.0, 0.05)},
}
"""Range of each correlation: Reynolds number [-] and roughness over bore [-]."""

ROUGHNESS = {
    "commercial steel": 4.6e-5,
    "stainless steel": 2.0e-6,
    "cast iron": 2.6e-4,
    "galvanised iron": 1.5e-4,
    "drawn tubing": 1.5e-6,
    "smooth plastic": 1.5e-6,
}
"""Absolute roughness [m]; White, Fluid Mechanics, table 6.1, +-40 to 70 %, from memory."""


@compiled
def laminar(reynolds: float) -> float:
    """Darcy friction factor of laminar flow, [-].

    f = 64 / Re

    Parameters
    ----------
    reynolds : > 0 [-]

    Notes
    -----
    Exact for developed flow; the Fanning factor is a quarter of it.

    Example
    -------
    >>> laminar(1600.0)
    0.04

    References
    ----------
    Hagen and Poiseuille; closed form.
    """
    return 64.0 / reynolds


@compiled
def blasius(reynolds: float) -> float:
    """Darcy friction factor of turbulent flow in a smooth pipe, [-].

    f = 0.3164 / Re^(1/4)

    Parameters
    ----------
    reynolds : 3000 to 1e5 [-]

    Notes
    -----
    Smooth pipes only.

    Example
    -------
    >>> round(blasius(1e4), 5)
    0.03164

    References
    ----------
    Blasius 1913.
    """
    return 0.3164 / math.sqrt(math.sqrt(reynolds))


@compiled
def rough_limit(roughness: float) -> float:
    """Darcy friction factor at infinite Reynolds number, [-].

    f = 1 / (2 log10(3.7 D / e))^2

    Parameters
    ----------
    roughness : absolute roughness over bore, 1e-6 to 0.05 [-]

    Notes
    -----
    What Colebrook tends to.

    Example
    -------
    >>> round(rough_limit(0.01), 6)
    0.037904

    References
    ----------
    von Karman; constant 3.7 as in Colebrook 1939.
    """
    root = 2.0 * math.log10(3.7 / roughness)
    return 1.0 / (root * root)


@compiled
def haaland(reynolds: float, roughness: float) -> float:
    """Darcy friction factor of turbulent flow, explicit, [-].

    1/sqrt(f) = -1.8 log10((e / (3.7 D))^1.11 + 6.9 / Re)

    Parameters
    ----------
    reynolds : 4000 to 1e8 [-]
    roughness : absolute roughness over bore, 1e-6 to 0.05 [-]

    Notes
    -----
    Within 2 % of Colebrook.

    Example
    -------
    >>> round(haaland(1e5, 1e-4), 6)
    0.018265

    References
    ----------
    Haaland, J. Fluids Eng. 105 (1983) 89, doi 10.1115/1.3240948.
    """
    root = -1.8 * math.log10((roughness / 3.7) ** 1.11 + 6.9 / reynolds)
    return 1.0 / (root * root)


@compiled
def swamee_jain(reynolds: float, roughness: float) -> float:
    """Darcy friction factor of turbulent flow, explicit, [-].

    f = 0.25 / log10(e / (3.7 D) + 5.74 / Re^0.9)^2

    Parameters
    ----------
    reynolds : 5000 to 1e8 [-]
    roughness : absolute roughness over bore, 1e-6 to 0.05 [-]

    Notes
    -----
    Within 3 % of Colebrook.

    Example
    -------
    >>> round(swamee_jain(1e5, 1e-4), 5)
    0.01845

    References
    ----------
    Swamee and Jain, J. Hydraulics Div. 102 (1976) 657.
    """
    root = math.log10(roughness / 3.7 + 5.74 / reynolds**0.9)
    return 0.25 / (root * root)


@compiled
def colebrook(reynolds: float, roughness: float) -> float:
    """Darcy friction factor of turbulent flow, [-].

    1/sqrt(f) = -2 log10(e / (3.7 D) + 2.51 / (Re sqrt(f)))

    Parameters
    ----------
    reynolds : 4000 to 1e8 [-]
    roughness : absolute roughness over bore, 0 to 0.05 [-]

    Notes
    -----
    Newton's method on 1/sqrt(f) from Haaland's value; four steps reach the last digit.

    Example
    -------
    >>> round(colebrook(1e5, 1e-4), 6)
    0.018514

    References
    ----------
    Colebrook, J. Inst. Civil Eng. 11 (1939) 133, doi 10.1680/ijoti.1939.13150.
    """
    root = -1.8 * math.log10((roughness / 3.7) ** 1.11 + 6.9 / reynolds)
    for _ in range(5):
        inner = roughness / 3.7 + 2.51 * root / reynolds
        value = root + 2.0 * math.log10(inner)
        slope = 1.0 + 2.0 * 2.51 / (reynolds * inner * math.log(10.0))
        root -= value / slope
    return 1.0 / (root * root)


@compiled
def churchill(reynolds: float, roughness: float) -> tuple[float, float]:
    """Darcy friction factor for all regimes and its slope d f / d Re, [-] and [-].

    f = 8 ((8/Re)^12 + (A + B)^(-3/2))^(1/12)
    A = (2.457 ln(1 / ((7/Re)^0.9 + 0.27 e/D)))^16,  B = (37530/Re)^16

    Parameters
    ----------
    reynolds : > 0 [-]
    roughness : absolute roughness over bore, 0 to 0.05 [-]

    Notes
    -----
    Smooth through the transition, where the truth scatters anyway: this is what a network of
    pipes is solved with. Below Re 200 it is 64/Re to the last digit, and taken as such.

    Example
    -------
    >>> factor, slope = churchill(1e5, 1e-4)
    >>> round(factor, 6), slope < 0.0
    (0.018463, True)

    References
    ----------
    Churchill, Chem. Eng. 84 (7 Nov. 1977) 91.
    """
    if reynolds < 200.0:
        return 64.0 / reynolds, -64.0 / (reynolds * reynolds)
    seven = (7.0 / reynolds) ** 0.9
    inner = seven + 0.27 * roughness
    logarithm = -math.log(inner)
    a = fourth(fourth(2.457 * logarithm))
    b = fourth(fourth(37530.0 / reynolds))
    low = twelfth(8.0 / reynolds)
    both = a + b
    high = both**-1.5
    factor = 8.0 * (low + high) ** (1.0 / 12.0)
    a_slope = 16.0 * a / logarithm * 0.9 * seven / (inner * reynolds)
    b_slope = -16.0 * b / reynolds
    inside = -12.0 * low / reynolds - 1.5 * high / both * (a_slope + b_slope)
    return factor, factor / 12.0 * inside / (low + high)


@compiled
def moody(reynolds: float, roughness: float) -> float:
    """Darcy friction factor as read from Moody's chart, [-].

    `laminar` below Re 2300, `colebrook` above 4000, linear in Re between

    Parameters
    ----------
    reynolds : > 0 to 1e8 [-]
    roughness : absolute roughness over bore, 0 to 0.05 [-]

    Notes
    -----
    Continuous, but with corners: for single figures. A network is solved with `churchill`.

    Example
    -------
    >>> moody(1600.0, 0.001), round(moody(1e6, 0.001), 4)
    (0.04, 0.0199)

    References
    ----------
    Moody, Trans. ASME 66 (1944) 671.
    """
    if reynolds <= 2300.0:
        return laminar(reynolds)
    if reynolds >= 4000.0:
        return colebrook(reynolds, roughness)
    share = (reynolds - 2300.0) / 1700.0
    return (1.0 - share) * laminar(2300.0) + share * colebrook(4000.0, roughness)
