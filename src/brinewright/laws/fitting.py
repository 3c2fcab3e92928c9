"""Loss coefficients K of fittings: dp = K rho v^2 / 2."""

import math

from brinewright.jit import compiled
from brinewright.laws.friction import colebrook

ENTRANCE_SHARP = 0.5
"""Sharp-edged entrance from a tank, Crane TP-410 [-]."""
EXIT = 1.0
"""Discharge into a tank: the whole velocity head [-]."""
EQUIVALENT_LENGTH = {
    "globe valve": 340.0,
    "gate valve": 8.0,
    "ball valve": 3.0,
    "butterfly valve": 45.0,
    "swing check valve": 100.0,
    "elbow 90": 30.0,
    "elbow 45": 16.0,
    "tee straight": 20.0,
    "tee branch": 60.0,
}
"""Equivalent length over bore, fully open, Crane TP-410 (2009) [-]; butterfly of DN 50 to 200."""


@compiled
def rough_steel_factor(bore: float) -> float:
    """Friction factor of clean steel pipe in complete turbulence, [-].

    Colebrook at Re = 7.5e6 D and e/D = 3.4127e-5 D^-1.0112 (D in metres)

    Parameters
    ----------
    bore : inner diameter, 0.015 to 0.9 [m]

    Notes
    -----
    A fit to Crane's table, published with the open library fluids; Crane prints 0.019 for
    2 inch and 0.016 or 0.017 for 4 inch.

    Example
    -------
    >>> round(rough_steel_factor(0.1023), 4)
    0.0162

    References
    ----------
    Crane TP-410; fit as documented by the library fluids.
    """
    return colebrook(7.5e6 * bore, 3.4126825352925e-5 * bore**-1.0112)


@compiled
def equivalent_loss(length_ratio: float, factor: float) -> float:
    """Loss coefficient of a fitting from its equivalent length, [-].

    K = f_T (L / D)

    Parameters
    ----------
    length_ratio : equivalent length over bore, see `EQUIVALENT_LENGTH` [-]
    factor : f_T, see `rough_steel_factor` [-]

    Notes
    -----
    On the velocity in the pipe of that bore.

    Example
    -------
    >>> round(equivalent_loss(340.0, 0.017), 2)
    5.78

    References
    ----------
    Crane TP-410.
    """
    return length_ratio * factor


@compiled
def sudden_expansion(small: float, large: float) -> float:
    """Loss coefficient of a sudden widening, on the upstream velocity, [-].

    K = (1 - (D_1 / D_2)^2)^2

    Parameters
    ----------
    small : upstream bore [m]
    large : downstream bore, >= small [m]

    Notes
    -----
    From momentum, turbulent flow.

    Example
    -------
    >>> sudden_expansion(0.05, 0.1)
    0.5625

    References
    ----------
    Borda and Carnot; closed form.
    """
    ratio = small / large
    left = 1.0 - ratio * ratio
    return left * left


@compiled
def sudden_contraction(large: float, small: float) -> float:
    """Loss coefficient of a sudden narrowing, on the downstream velocity, [-].

    K = 0.5 (1 - (D_2 / D_1)^2)

    Parameters
    ----------
    large : upstream bore [m]
    small : downstream bore, <= large [m]

    Notes
    -----
    Tends to the sharp-edged entrance.

    Example
    -------
    >>> sudden_contraction(0.1, 0.05)
    0.375

    References
    ----------
    Crane TP-410.
    """
    ratio = small / large
    return 0.5 * (1.0 - ratio * ratio)


@compiled
def minor_loss(flow: float, coefficient: float, bore: float, density: float) -> tuple[float, float]:
    """Pressure loss of a fitting and its slope, [Pa] and [Pa s/m3].

    dp = K rho v |v| / 2

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    coefficient : K [-]
    bore : inner diameter that K refers to [m]
    density : of the liquid [kg/m3]

    Notes
    -----
    Odd in flow; slope 0 at zero flow.

    Example
    -------
    >>> loss, slope = minor_loss(0.001, 0.5, 0.05, 1000.0)
    >>> round(loss, 1)
    64.8

    References
    ----------
    Any text on fluid mechanics.
    """
    area = math.pi * bore * bore / 4.0
    resistance = coefficient * density / (2.0 * area * area)
    return resistance * flow * abs(flow), 2.0 * resistance * abs(flow)
