"""Heat exchangers by mean temperature difference, and what makes up their conductance."""

import math

from brinewright.jit import compiled


@compiled
def log_mean(one_end: float, other_end: float) -> float:
    """Logarithmic mean of the temperature differences at the two ends, [K].

    (d_1 - d_2) / ln(d_1 / d_2)

    Parameters
    ----------
    one_end : difference at one end [K]
    other_end : difference at the other [K]

    Notes
    -----
    0 where the differences are not both above 0 or both below. Smooth where they are equal.

    Example
    -------
    >>> round(log_mean(16.0, 8.0), 2)
    11.54

    References
    ----------
    Any text on heat transfer.
    """
    if one_end * other_end <= 0.0:
        return 0.0
    ratio = one_end / other_end - 1.0
    if abs(ratio) < 1e-5:
        return other_end * (1.0 + ratio / 2.0 - ratio * ratio / 12.0)
    return (one_end - other_end) / math.log1p(ratio)


@compiled
def one_shell_correction(capacity_ratio: float, effectiveness: float) -> float:
    """Correction F to the log mean of counterflow, one shell and 2, 4, ... tube passes, [-].

    F = s / (R - 1) ln((1 - P) / (1 - P R)) / ln((2 - P (R + 1 - s)) / (2 - P (R + 1 + s))),
    s = sqrt(R^2 + 1)

    Parameters
    ----------
    capacity_ratio : R = (T_1in - T_1out) / (T_2out - T_2in) [-]
    effectiveness : P = (T_2out - T_2in) / (T_1in - T_2in) [-]

    Notes
    -----
    Not a number where one shell can't do the duty. Take another arrangement below 0.75.

    Example
    -------
    >>> round(one_shell_correction(0.875, 0.5333), 2)
    0.8

    References
    ----------
    Bowman, Mueller and Nagle, Trans. ASME 62 (1940) 283.
    """
    root = math.sqrt(capacity_ratio * capacity_ratio + 1.0)
    top = 2.0 - effectiveness * (capacity_ratio + 1.0 - root)
    low = 2.0 - effectiveness * (capacity_ratio + 1.0 + root)
    if low <= 0.0 or effectiveness * capacity_ratio >= 1.0:
        return math.nan
    if abs(capacity_ratio - 1.0) < 1e-7:
        front = effectiveness / (1.0 - effectiveness)
    else:
        front = math.log((1.0 - effectiveness) / (1.0 - effectiveness * capacity_ratio)) / (
            capacity_ratio - 1.0
        )
    return root * front / math.log(top / low)


@compiled
def overall_coefficient(inner: float, outer: float, fouling: float) -> float:
    """Overall coefficient of a thin wall between two films, [W/(m2 K)].

    1/U = 1/h_i + 1/h_o + R_f

    Parameters
    ----------
    inner : film coefficient of one side [W/(m2 K)]
    outer : film coefficient of the other [W/(m2 K)]
    fouling : resistance of both sides and the wall, 0.0001 to 0.0004 [m2 K/W]

    Notes
    -----
    For thick walls of tubes use `insulation`.

    Example
    -------
    >>> round(overall_coefficient(2250.0, 38.4, 0.0), 1)
    37.8

    References
    ----------
    Series resistances.
    """
    return 1.0 / (1.0 / inner + 1.0 / outer + fouling)


@compiled
def area_needed(heat: float, coefficient: float, difference: float, correction: float) -> float:
    """Area of an exchanger, [m2].

    A = Phi / (U F dT_lm)

    Parameters
    ----------
    heat : to be passed on [W]
    coefficient : U [W/(m2 K)]
    difference : log mean of counterflow [K]
    correction : F, 1 for counterflow [-]

    Notes
    -----
    On the area that U refers to.

    Example
    -------
    >>> round(area_needed(301e3, 640.0, log_mean(80.0, 105.08), 1.0), 2)
    5.11

    References
    ----------
    Any text on heat transfer.
    """
    return heat / (coefficient * correction * difference)
