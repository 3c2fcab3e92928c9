"""Darcy friction factor and the pressure loss of a straight pipe with its slope."""

import math

from brinewright.jit import compiled

RANGES = {
    "laminar": {"reynolds": (0.0, 2300.0)},
    "blasius": {"reynolds": (3000.0, 1e5)},
    "colebrook": {"reynolds": (4000.0, 1e8), "roughness": (0.0, 0.05)},
    "churchill": {"reynolds": (0.0, 1e8), "roughness": (0.0, 0.05)},
    "haaland": {"reynolds": (4000.0, 1e8), "roughness": (1e-6, 0.05)},
    "swamee_jain": {"reynolds": (5000.0, 1e8), "roughness": (1e-6, 0.05)},
    "rough_limit": {"roughness": (1e-6, 0.05)},
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
def reynolds_number(flow: float, bore: float, density: float, viscosity: float) -> float:
    """Reynolds number of a round pipe, never negative, [-].

    Re = 4 rho |Q| / (pi D mu)

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    bore : inner diameter, > 0 [m]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Laminar below about 2300, turbulent above about 4000.

    Example
    -------
    >>> round(reynolds_number(0.002, 0.05248, 998.2, 0.001002))
    48339

    References
    ----------
    Definition.
    """
    return 4.0 * density * abs(flow) / (math.pi * bore * viscosity)


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
    a = (2.457 * logarithm) ** 16
    b = (37530.0 / reynolds) ** 16
    low = (8.0 / reynolds) ** 12
    both = a + b
    high = both**-1.5
    factor = 8.0 * (low + high) ** (1.0 / 12.0)
    a_slope = 16.0 * a / logarithm * 0.9 * seven / (inner * reynolds)
    b_slope = -16.0 * b / reynolds
    inside = -12.0 * low / reynolds - 1.5 * high / both * (a_slope + b_slope)
    return factor, factor / 12.0 * inside / (low + high)


@compiled
def darcy_loss(flow: float, length: float, bore: float, factor: float, density: float) -> tuple[float, float]:
    """Pressure loss of a straight pipe at a given friction factor and its slope, [Pa] and [Pa s/m3].

    dp = f (L / D) rho v |v| / 2,  v = 4 Q / (pi D^2)

    Parameters
    ----------
    flow : volumetric, positive from port a to port b [m3/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    factor : Darcy friction factor that suits the Reynolds number [-]
    density : of the liquid [kg/m3]

    Notes
    -----
    Odd in flow. The slope holds the friction factor fixed.

    Example
    -------
    >>> loss, slope = darcy_loss(0.001, 10.0, 0.05, 0.02, 1000.0)
    >>> round(loss, 1)
    518.8

    References
    ----------
    Darcy and Weisbach; any text on fluid mechanics.
    """
    area = math.pi * bore * bore / 4.0
    resistance = factor * length / bore * density / (2.0 * area * area)
    return resistance * flow * abs(flow), 2.0 * resistance * abs(flow)


@compiled
def pipe_loss(
    flow: float,
    length: float,
    bore: float,
    roughness: float,
    minor: float,
    density: float,
    viscosity: float,
) -> tuple[float, float]:
    """Pressure loss of a pipe run with fittings and its slope, [Pa] and [Pa s/m3].

    dp = (f(Re) L / D + K) rho v |v| / 2,  f of `churchill`

    Parameters
    ----------
    flow : volumetric, positive from port a to port b [m3/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    roughness : absolute [m]
    minor : sum of loss coefficients K on the velocity in this bore [-]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Odd and smooth in flow, with a slope above zero at zero flow (laminar), so Newton's method
    on a network never meets a singular matrix from a pipe with length.

    Example
    -------
    >>> loss, slope = pipe_loss(0.002, 100.0, 0.05248, 4.5e-5, 0.0, 998.2, 0.001002)
    >>> round(loss, -2), slope > 0.0
    (19400.0, True)

    References
    ----------
    Darcy and Weisbach with Churchill 1977.
    """
    area = math.pi * bore * bore / 4.0
    per_flow = density * bore / (area * viscosity)
    reynolds = abs(flow) * per_flow
    head = density / (2.0 * area * area)
    if reynolds < 200.0:
        line = 32.0 * viscosity * length / (bore * bore * area)
        return line * flow + minor * head * flow * abs(flow), line + 2.0 * minor * head * abs(flow)
    factor, factor_slope = churchill(reynolds, roughness / bore)
    total = factor * length / bore + minor
    loss = total * head * flow * abs(flow)
    slope = 2.0 * total * head * abs(flow) + factor_slope * per_flow * length / bore * head * flow * flow
    return loss, slope


@compiled
def velocity(flow: float, bore: float) -> float:
    """Mean velocity in a round pipe, [m/s].

    v = 4 Q / (pi D^2)

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    bore : inner diameter, > 0 [m]

    Notes
    -----
    Sign of the flow.

    Example
    -------
    >>> round(velocity(0.0135, 0.1325), 2)
    0.98

    References
    ----------
    Mass balance.
    """
    return 4.0 * flow / (math.pi * bore * bore)
