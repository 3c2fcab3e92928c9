"""How long it takes until a section has run empty."""

import math
from collections.abc import Iterable

ORIFICE = 0.62
"""Discharge coefficient of a sharp-edged opening [1]: the value of the handbooks of hydraulics, such as
Idelchik; from memory.  A hose or a half-open valve passes less, so a time is the least one."""
LEAST_DEPTH = 0.02
"""Depth given to what states none, so that its last liquid takes a time [m]."""


def time_through_opening(
    litres: float, low: float, high: float, opening: float, bore: float, gravity: float
) -> float:
    """Return the time until liquid between two heights has run out of an opening below it [s].

    Torricelli: v = C sqrt(2 g (z - z0)), integrated over heights of constant plan area

    t = V / (h2 - h1) * 2 (sqrt(h2 - h0) - sqrt(h1 - h0)) / (C a sqrt(2 g))

    Parameters
    ----------
    litres : V, evenly spread between the two heights [l]
    low, high : h1 and h2, of what runs out [m]
    opening : h0, height of the opening [m]
    bore : of the opening, a = pi/4 d^2 [m]
    gravity : of the place [m/s2]

    Notes
    -----
    Air comes in freely above, and nothing on the way resists.  Infinite without gravity.

    Example
    -------
    >>> round(time_through_opening(1000.0, 0.0, 1.0, 0.0, 0.05, 9.81), 1)
    370.9

    References
    ----------
    E. Torricelli, De motu gravium, 1644; the coefficient as at `ORIFICE`.
    """
    if litres <= 0.0:
        return 0.0
    if gravity <= 0.0 or bore <= 0.0:
        return math.inf
    area = ORIFICE * math.pi / 4.0 * bore**2 * math.sqrt(2.0 * gravity)
    first, last = max(low - opening, 0.0), max(high - opening, 0.0)
    if last - first < 1e-9:
        return math.inf if last <= 0.0 else litres / 1000.0 / (area * math.sqrt(last))
    return litres / 1000.0 / (last - first) * 2.0 * (math.sqrt(last) - math.sqrt(first)) / area


def time_of_all(
    bands: Iterable[tuple[float, float, float, float]], opening: float, bore: float, gravity: float
) -> float:
    """Return the time until several contents have run out of one opening, all at one level [s].

    Parameters
    ----------
    bands : litres, lowest and highest height [m], and own depth [m] of each
    opening, bore : height and bore of the opening [m]
    gravity : of the place [m/s2]
    """
    return sum(
        time_through_opening(litres, low, max(high, low + max(depth, LEAST_DEPTH)), opening, bore, gravity)
        for litres, low, high, depth in bands
    )
