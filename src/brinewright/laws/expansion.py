"""The real turbine. Enthalpies come in as numbers: the water tables belong to `fluids`."""

import math

from brinewright.jit import compiled

LEAST_DRYNESS = 0.88
"""Exhaust dryness below which blades erode; common practice, no source [-]."""


@compiled
def specific_work(inlet: float, ideal_exhaust: float, efficiency: float) -> float:
    """Work per kilogram of steam, [J/kg].

    w = eta_is (h_1 - h_2s)

    Parameters
    ----------
    inlet : enthalpy h_1 [J/kg]
    ideal_exhaust : enthalpy h_2s at the exhaust pressure and the inlet's entropy [J/kg]
    efficiency : isentropic, 0.55 to 0.75 below 1 MW, 0.80 to 0.90 for large machines [-]

    Notes
    -----
    The exhaust enthalpy is h_1 - w.

    Example
    -------
    >>> round(specific_work(2713.1e3, 2543.2e3, 0.7) / 1e3, 1)
    118.9

    References
    ----------
    Definition of the isentropic efficiency.
    """
    return efficiency * (inlet - ideal_exhaust)


@compiled
def isentropic_efficiency(inlet: float, exhaust: float, ideal_exhaust: float) -> float:
    """Isentropic efficiency from a measured exhaust, [-].

    eta_is = (h_1 - h_2) / (h_1 - h_2s)

    Parameters
    ----------
    inlet : enthalpy h_1 [J/kg]
    exhaust : enthalpy h_2 as it is [J/kg]
    ideal_exhaust : enthalpy h_2s [J/kg]

    Notes
    -----
    A wet exhaust can't be read from pressure and temperature alone.

    Example
    -------
    >>> round(isentropic_efficiency(3231.7e3, 2682.4e3, 2407.9e3), 3)
    0.667

    References
    ----------
    Definition.
    """
    return (inlet - exhaust) / (inlet - ideal_exhaust)


@compiled
def dryness(enthalpy: float, liquid: float, vapour: float) -> float:
    """Share of vapour by mass, [-].

    x = (h - h_f) / (h_g - h_f)

    Parameters
    ----------
    enthalpy : of the mixture; entropy, volume or energy serve as well [J/kg]
    liquid : of saturated liquid at the same pressure [J/kg]
    vapour : of saturated vapour at the same pressure [J/kg]

    Notes
    -----
    Below 0 the state is liquid, above 1 superheated.

    Example
    -------
    >>> dryness(1500.0, 500.0, 2500.0)
    0.5

    References
    ----------
    Definition.
    """
    return (enthalpy - liquid) / (vapour - liquid)


@compiled
def electric_power(flow: float, work: float, mechanical: float, generator: float) -> float:
    """Power at the generator's terminals, [W].

    P = q w eta_m eta_g

    Parameters
    ----------
    flow : of steam [kg/s]
    work : per kilogram, see `specific_work` [J/kg]
    mechanical : efficiency of shaft and gear, about 0.98 [-]
    generator : efficiency, 0.95 to 0.97 [-]

    Notes
    -----
    The two losses leave through oil and casing.

    Example
    -------
    >>> round(electric_power(1.398, 365.3e3, 0.98, 0.96) / 1e3, 1)
    480.5

    References
    ----------
    Definition.
    """
    return flow * work * mechanical * generator


@compiled
def steam_rate(work: float) -> float:
    """Steam used per energy gained, [kg/J].

    SSC = 1 / w

    Parameters
    ----------
    work : per kilogram, > 0 [J/kg]

    Notes
    -----
    Times 3.6e6 in kg/kWh.

    Example
    -------
    >>> round(steam_rate(365.3e3) * 3.6e6, 2)
    9.85

    References
    ----------
    Definition.
    """
    return 1.0 / work


@compiled
def wet_efficiency(dry: float, mean_moisture: float, factor: float) -> float:
    """Isentropic efficiency of a stage that works in wet steam, [-].

    eta = eta_dry (1 - a y)

    Parameters
    ----------
    dry : efficiency in dry steam [-]
    mean_moisture : y, mean of inlet and exhaust moisture, 1 - x [-]
    factor : a, 0.4 to 2, usually 1 [-]

    Notes
    -----
    About one per cent for each per cent of moisture.

    Example
    -------
    >>> round(wet_efficiency(0.8, 0.05, 1.0), 3)
    0.76

    References
    ----------
    Baumann, The Engineer 111 (1921); from memory.
    """
    return dry * (1.0 - factor * mean_moisture)


@compiled
def swallowed_flow(
    flow: float,
    temperature: float,
    inlet: float,
    exhaust: float,
    reference_temperature: float,
    reference_inlet: float,
    reference_exhaust: float,
) -> float:
    """Flow that a turbine takes at other pressures than its reference, [kg/s].

    q = q_0 sqrt(T_10 / T_1) sqrt((p_1^2 - p_2^2) / (p_10^2 - p_20^2))

    Parameters
    ----------
    flow : q_0 at the reference [kg/s]
    temperature : T_1 at the inlet [K]
    inlet : pressure p_1 [Pa]
    exhaust : pressure p_2 [Pa]
    reference_temperature : T_10 [K]
    reference_inlet : pressure p_10 [Pa]
    reference_exhaust : pressure p_20 < p_10 [Pa]

    Notes
    -----
    For many stages. 0 where the exhaust pressure is not below the inlet's.

    Example
    -------
    >>> round(swallowed_flow(1.0, 408.15, 6.2e5, 1e4, 408.15, 3.1e5, 1e4), 4)
    2.0008

    References
    ----------
    Stodola 1927; Cooke, J. Eng. Gas Turbines Power 107 (1985), doi 10.1115/1.3239778.
    """
    if inlet <= exhaust:
        return 0.0
    drive = (inlet * inlet - exhaust * exhaust) / (
        reference_inlet * reference_inlet - reference_exhaust * reference_exhaust
    )
    return flow * math.sqrt(reference_temperature / temperature * drive)


@compiled
def inlet_pressure(
    flow: float,
    temperature: float,
    exhaust: float,
    reference_flow: float,
    reference_temperature: float,
    reference_inlet: float,
    reference_exhaust: float,
) -> float:
    """Inlet pressure that drives a flow through a turbine, [Pa].

    p_1 = sqrt(p_2^2 + (q / q_0)^2 (T_1 / T_10) (p_10^2 - p_20^2))

    Parameters
    ----------
    flow : q to pass [kg/s]
    temperature : T_1 at the inlet [K]
    exhaust : pressure p_2 [Pa]
    reference_flow : q_0 [kg/s]
    reference_temperature : T_10 [K]
    reference_inlet : pressure p_10 [Pa]
    reference_exhaust : pressure p_20 [Pa]

    Notes
    -----
    The inverse of `swallowed_flow`.

    Example
    -------
    >>> round(inlet_pressure(2.0, 408.15, 1e4, 1.0, 408.15, 3.1e5, 1e4))
    619758

    References
    ----------
    Stodola 1927; Cooke, J. Eng. Gas Turbines Power 107 (1985), doi 10.1115/1.3239778.
    """
    ratio = flow / reference_flow
    reference = reference_inlet * reference_inlet - reference_exhaust * reference_exhaust
    return math.sqrt(exhaust * exhaust + ratio * ratio * temperature / reference_temperature * reference)


@compiled
def willans_flow(power: float, no_load_flow: float, marginal_work: float) -> float:
    """Steam that a throttled turbine uses at part load, [kg/s].

    q = q_nl + P / w'

    Parameters
    ----------
    power : given [W]
    no_load_flow : q_nl, 8 to 12 % of the full flow [kg/s]
    marginal_work : w', work of each further kilogram, > 0 [J/kg]

    Notes
    -----
    A straight line through no load and full load.

    Example
    -------
    >>> round(willans_flow(200e3, 0.1, 400e3), 3)
    0.6

    References
    ----------
    Willans line; any text on steam turbines.
    """
    return no_load_flow + power / marginal_work


@compiled
def willans_power(flow: float, no_load_flow: float, marginal_work: float) -> float:
    """Power of a throttled turbine at part load, [W].

    P = max(0, (q - q_nl) w')

    Parameters
    ----------
    flow : of steam [kg/s]
    no_load_flow : q_nl [kg/s]
    marginal_work : w' [J/kg]

    Notes
    -----
    The inverse of `willans_flow`; below q_nl the set only turns, or is driven.

    Example
    -------
    >>> round(willans_power(0.6, 0.1, 400e3))
    200000

    References
    ----------
    Willans line; any text on steam turbines.
    """
    return max(0.0, flow - no_load_flow) * marginal_work
