"""How much steam, or liquid, a hole lets out."""

import math

from brinewright.jit import compiled

CUSTOMARY = 1.0 / 190.5 / 3600.0 / 1e-6 / 1e3
"""Critical flow of dry saturated steam by area and pressure: 1/190.5 kg/h by mm2 and kPa [kg/(s m2 Pa)]."""
CRITICAL = 0.58
"""Share of the pressure before it below which the pressure behind no longer matters [-]."""


@compiled
def critical_flow(area: float, pressure: float, behind: float) -> float:
    """Dry saturated steam that passes a hole, [kg/s].

    q = K A p,  times sqrt(1 - ((p_b / p - r) / (1 - r))^2) where p_b / p is above r

    Parameters
    ----------
    area : of the hole, times its coefficient of discharge [m2]
    pressure : before it [Pa]
    behind : pressure behind it [Pa]

    Notes
    -----
    K is the customary coefficient 190.5 for kg/h, mm2 and kPa in SI.  The ellipse below the
    critical flow joins it smoothly and ends at no flow without a pressure difference.

    Example
    -------
    >>> round(critical_flow(1143e-6 * 0.975, 1091.3e3, 101.3e3), 3)
    1.773

    References
    ----------
    API Standard 520 Part 1, sizing for steam relief (coefficient cross-checked with the library fluids).
    """
    if pressure <= behind or pressure <= 0.0:
        return 0.0
    full = CUSTOMARY * area * pressure
    ratio = behind / pressure
    if ratio <= CRITICAL:
        return full
    over = (ratio - CRITICAL) / (1.0 - CRITICAL)
    return full * math.sqrt(1.0 - over * over)


@compiled
def liquid_flow(area: float, pressure: float, behind: float, density: float) -> float:
    """Liquid that passes a hole, [kg/s].

    q = A sqrt(2 rho (p - p_b))

    Parameters
    ----------
    area : of the hole, times its coefficient of discharge [m2]
    pressure : before it [Pa]
    behind : pressure behind it [Pa]
    density : of the liquid [kg/m3]

    Notes
    -----
    What flashes behind the hole is left out, so it is an upper bound for hot water.

    Example
    -------
    >>> round(liquid_flow(1e-3, 3e5, 1e5, 1000.0), 6)
    20.0

    References
    ----------
    Torricelli.
    """
    if pressure <= behind:
        return 0.0
    return area * math.sqrt(2.0 * density * (pressure - behind))
