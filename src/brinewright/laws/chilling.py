"""The real chiller: second-law efficiency, capacity drift, part load, compressor polynomial."""

import math

from brinewright.jit import compiled

CAPACITY_PER_EVAPORATING_KELVIN = 0.035
"""Growth of capacity with evaporating temperature; from memory [1/K]."""
CAPACITY_PER_CONDENSING_KELVIN = 0.008
"""Loss of capacity with condensing temperature; from memory [1/K]."""
CYCLING_DEGRADATION = 0.9
"""Default C_c of a liquid chiller that cycles, EN 14825; from memory [-]."""


@compiled
def cooling_performance(
    leaving: float, sink: float, cold_approach: float, hot_approach: float, efficiency: float, cap: float
) -> float:
    """Cooling per compressor power, [-].

    COP = min(cap, eta_II T_e / (T_h - T_e)),  T_e = T_out - approach,  T_h = T_sink + approach

    Parameters
    ----------
    leaving : temperature of the cooled liquid where it leaves [K]
    sink : temperature of what takes the heat [K]
    cold_approach : of the evaporator, 2 to 6 [K]
    hot_approach : of the condenser, 3 to 6 [K]
    efficiency : second-law, 0.40 to 0.60 [-]
    cap : largest value a machine reaches, about 8 [-]

    Notes
    -----
    With no lift left (T_h <= T_e) the cap holds. Motor efficiency comes on top.

    Example
    -------
    >>> round(cooling_performance(278.15, 408.15, 5.0, 5.0, 0.5, 8.0), 4)
    0.9755

    References
    ----------
    Definition of the second-law efficiency on refrigerant temperatures.
    """
    evaporating = leaving - cold_approach
    lift = sink + hot_approach - evaporating
    if lift * cap <= efficiency * evaporating:
        return cap
    return efficiency * evaporating / lift


@compiled
def compressor_power(heat: float, performance: float) -> float:
    """Power of the compressor, [W].

    P = Phi / COP

    Parameters
    ----------
    heat : taken from the liquid [W]
    performance : cooling per compressor power, > 0 [-]

    Notes
    -----
    Divide by the motor's efficiency for the electric power.

    Example
    -------
    >>> round(compressor_power(424.4e3, 0.9755) / 1e3, 1)
    435.1

    References
    ----------
    Definition.
    """
    return heat / performance


@compiled
def heat_rejected(heat: float, performance: float) -> float:
    """Heat that leaves the condenser, [W].

    Phi_h = Phi (1 + 1 / COP)

    Parameters
    ----------
    heat : taken from the liquid [W]
    performance : cooling per compressor power, > 0 [-]

    Notes
    -----
    Add the motor's loss where refrigerant cools the motor.

    Example
    -------
    >>> heat_rejected(585e3, 3.0)
    780000.0

    References
    ----------
    First law.
    """
    return heat * (1.0 + 1.0 / performance)


@compiled
def heat_lifted(rejected: float, performance: float) -> float:
    """Heat taken from the liquid when a given heat leaves the condenser, [W].

    Phi = Phi_h COP / (1 + COP)

    Parameters
    ----------
    rejected : heat that leaves the condenser [W]
    performance : cooling per compressor power [-]

    Notes
    -----
    The inverse of `heat_rejected`.

    Example
    -------
    >>> heat_lifted(780e3, 3.0)
    585000.0

    References
    ----------
    First law.
    """
    return rejected * performance / (1.0 + performance)


@compiled
def capacity(
    reference: float,
    evaporating: float,
    condensing: float,
    reference_evaporating: float,
    reference_condensing: float,
    cold_drift: float,
    hot_drift: float,
) -> float:
    """Largest cooling that a machine gives at other temperatures than rated, [W].

    Phi = Phi_0 exp(a (T_e - T_e0)) max(0, 1 - b (T_h - T_h0))

    Parameters
    ----------
    reference : capacity at the reference temperatures [W]
    evaporating : temperature T_e [K]
    condensing : temperature T_h [K]
    reference_evaporating : temperature T_e0 [K]
    reference_condensing : temperature T_h0 [K]
    cold_drift : a, 0.03 to 0.04 [1/K]
    hot_drift : b, 0.006 to 0.01 [1/K]

    Notes
    -----
    Good for some 15 K about the reference. Rates from memory: check them against the machine.

    Example
    -------
    >>> round(capacity(100e3, 268.15, 318.15, 273.15, 318.15, 0.035, 0.008))
    83946

    References
    ----------
    Common practice, no source.
    """
    return (
        reference
        * math.exp(cold_drift * (evaporating - reference_evaporating))
        * max(0.0, 1.0 - hot_drift * (condensing - reference_condensing))
    )


@compiled
def part_load_performance(performance: float, load_ratio: float, degradation: float) -> float:
    """Cooling per power of a machine that cycles, [-].

    COP_pl = COP r / (C_c r + 1 - C_c)

    Parameters
    ----------
    performance : running all the time [-]
    load_ratio : r, load per capacity, 0 to 1 [-]
    degradation : C_c, 0.9 where not measured [-]

    Notes
    -----
    Equal to the full value at r = 1 and 0 at r = 0.

    Example
    -------
    >>> round(part_load_performance(3.0, 0.5, 0.9), 3)
    2.727

    References
    ----------
    EN 14825, degradation of water-based units; from memory.
    """
    return performance * load_ratio / (degradation * load_ratio + 1.0 - degradation)


@compiled
def compressor_polynomial(
    evaporating: float,
    condensing: float,
    c1: float,
    c2: float,
    c3: float,
    c4: float,
    c5: float,
    c6: float,
    c7: float,
    c8: float,
    c9: float,
    c10: float,
) -> float:
    """Capacity, power, current or mass flow of a compressor, in the unit of the coefficients.

    X = c1 + c2 S + c3 D + c4 S^2 + c5 S D + c6 D^2 + c7 S^3 + c8 D S^2 + c9 S D^2 + c10 D^3

    Parameters
    ----------
    evaporating : S, saturated suction temperature, taken in degC by the polynomial [K]
    condensing : D, saturated discharge temperature, taken in degC by the polynomial [K]
    c1 : and c2 to c10, coefficients as published for degC [-]

    Notes
    -----
    Only within the envelope that the maker states; a cubic runs away outside it.

    Example
    -------
    >>> round(compressor_polynomial(274.15, 275.15, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1), 9)
    26.0

    References
    ----------
    AHRI 540 and EN 12900, ten-coefficient equation; from memory.
    """
    s = evaporating - 273.15
    d = condensing - 273.15
    return (
        c1
        + c2 * s
        + c3 * d
        + c4 * s * s
        + c5 * s * d
        + c6 * d * d
        + c7 * s * s * s
        + c8 * d * s * s
        + c9 * s * d * d
        + c10 * d * d * d
    )


@compiled
def series_saving(
    leaving: float, between: float, sink: float, cold_approach: float, hot_approach: float, entering: float
) -> float:
    """Share of compressor power saved by cooling in two machines in series, [-].

    1 - (Phi_1 / COP_1 + Phi_2 / COP_2) / (Phi / COP),  COP ~ T_e / (T_h - T_e)

    Parameters
    ----------
    leaving : temperature of the liquid after both machines [K]
    between : temperature of the liquid between them [K]
    sink : temperature of what takes the heat [K]
    cold_approach : of both evaporators [K]
    hot_approach : of both condensers [K]
    entering : temperature of the liquid before both machines [K]

    Notes
    -----
    Second-law efficiencies taken as equal, so they drop out; no cap.

    Example
    -------
    >>> round(series_saving(278.15, 282.15, 313.15, 5.0, 5.0, 286.15), 3)
    0.051

    References
    ----------
    Closed form from `cooling_performance`.
    """
    hot = sink + hot_approach
    whole = hot / (leaving - cold_approach) - 1.0
    upstream = hot / (between - cold_approach) - 1.0
    share = (entering - between) / (entering - leaving)
    return 1.0 - (share * upstream + (1.0 - share) * whole) / whole
