"""Flow coefficients of valves. Kv here is in SI: m3/s of water (1000 kg/m3) at a loss of 1 bar."""

import math

from brinewright.jit import compiled

BAR = 1e5
WATER = 1000.0
GALLONS_PER_MINUTE_AND_ROOT_PSI = 60.0 / 3.785411784e-3 * math.sqrt(6894.757293168 / BAR)
"""Cv over Kv in SI, the same water taken for both."""


@compiled
def valve_loss(flow: float, coefficient: float, density: float) -> tuple[float, float]:
    """Pressure loss of a valve and its slope, [Pa] and [Pa s/m3].

    dp = 1 bar (Q / Kv)^2 rho / 1000

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    coefficient : Kv at the present opening, > 0 [m3/s at 1 bar]
    density : of the liquid [kg/m3]

    Notes
    -----
    Turbulent, no flashing. Odd in flow; slope 0 at zero flow.

    Example
    -------
    >>> loss, slope = valve_loss(10.0 / 3600.0, 25.0 / 3600.0, 1000.0)
    >>> round(loss)
    16000

    References
    ----------
    IEC 60534-2-1, definition of Kv.
    """
    resistance = BAR * density / (WATER * coefficient * coefficient)
    return resistance * flow * abs(flow), 2.0 * resistance * abs(flow)


@compiled
def mass_flow_resistance(coefficient: float, density: float) -> float:
    """Loss of a valve over the square of its mass flow, [Pa s2/kg2].

    R = 1 bar / (1000 rho Kv^2),  dp = R q_m |q_m|

    Parameters
    ----------
    coefficient : Kv at the present opening, > 0 [m3/s at 1 bar]
    density : of the liquid [kg/m3]

    Notes
    -----
    The same law as `valve_loss`, as a network of branches wants it.

    Example
    -------
    >>> round(mass_flow_resistance(25.0 / 3600.0, 1000.0) * (10.0 / 3.6) ** 2)
    16000

    References
    ----------
    IEC 60534-2-1, definition of Kv.
    """
    return BAR / (WATER * density * coefficient * coefficient)


@compiled
def coefficient_needed(flow: float, loss: float, density: float) -> float:
    """Kv that passes a flow at a loss, [m3/s at 1 bar].

    Kv = Q sqrt(rho / 1000 bar / dp)

    Parameters
    ----------
    flow : volumetric [m3/s]
    loss : pressure loss, > 0 [Pa]
    density : of the liquid [kg/m3]

    Notes
    -----
    Choose the next larger valve.

    Example
    -------
    >>> round(coefficient_needed(10.0 / 3600.0, 16e3, 1000.0) * 3600.0, 2)
    25.0

    References
    ----------
    IEC 60534-2-1, definition of Kv.
    """
    return flow * math.sqrt(density / WATER * BAR / loss)


@compiled
def loss_coefficient(coefficient: float, bore: float) -> float:
    """Loss coefficient K of a valve on the velocity in its bore, [-].

    K = 2 bar A^2 / (1000 Kv^2)

    Parameters
    ----------
    coefficient : Kv [m3/s at 1 bar]
    bore : inner diameter [m]

    Notes
    -----
    Independent of density.

    Example
    -------
    >>> round(loss_coefficient(25.0 / 3600.0, 0.05), 1)
    16.0

    References
    ----------
    IEC 60534-2-1, definition of Kv.
    """
    area = math.pi * bore * bore / 4.0
    return 2.0 * BAR * area * area / (WATER * coefficient * coefficient)


@compiled
def customary_coefficient(coefficient: float) -> float:
    """Cv of a valve, [US gal/min at 1 psi].

    Cv = 1.156 Kv  (Kv in m3/h at 1 bar)

    Parameters
    ----------
    coefficient : Kv [m3/s at 1 bar]

    Notes
    -----
    The same water for both; 60 degF water for Cv would add 0.05 %.

    Example
    -------
    >>> round(customary_coefficient(1.0 / 3600.0), 3)
    1.156

    References
    ----------
    IEC 60534-1.
    """
    return coefficient * GALLONS_PER_MINUTE_AND_ROOT_PSI


@compiled
def authority(valve: float, branch: float) -> float:
    """Share of the pressure loss that a modulating valve commands, [-].

    N = dp_valve / (dp_valve + dp_branch)

    Parameters
    ----------
    valve : loss of the open valve [Pa]
    branch : loss of all else that sees the same flow [Pa]

    Notes
    -----
    At least 0.3 to modulate; of no account for on and off.

    Example
    -------
    >>> authority(15e3, 35e3)
    0.3

    References
    ----------
    Definition; the limit is common practice, no source.
    """
    return valve / (valve + branch)


@compiled
def linear_opening(opening: float, rangeability: float) -> float:
    """Share of the full Kv at an opening, linear trim, [-].

    phi = 1/R + (1 - 1/R) x

    Parameters
    ----------
    opening : x, 0 shut to 1 open [-]
    rangeability : R, largest over least controllable Kv, 20 to 50 [-]

    Notes
    -----
    At x = 0 this is the least controllable flow, not the tight seat.

    Example
    -------
    >>> linear_opening(0.5, 50.0)
    0.51

    References
    ----------
    IEC 60534-2-4, inherent characteristics; from memory.
    """
    least = 1.0 / rangeability
    return least + (1.0 - least) * opening


@compiled
def equal_percentage_opening(opening: float, rangeability: float) -> float:
    """Share of the full Kv at an opening, equal-percentage trim, [-].

    phi = R^(x - 1)

    Parameters
    ----------
    opening : x, 0 shut to 1 open [-]
    rangeability : R, largest over least controllable Kv, 20 to 50 [-]

    Notes
    -----
    Each step of opening multiplies the flow by the same factor.

    Example
    -------
    >>> round(equal_percentage_opening(0.5, 50.0), 4)
    0.1414

    References
    ----------
    IEC 60534-2-4, inherent characteristics; from memory.
    """
    return math.pow(rangeability, opening - 1.0)
