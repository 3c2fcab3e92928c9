"""Feeders, transformers and motors."""

import math

from brinewright.jit import compiled

COPPER_COEFFICIENT = 0.00393
"""Rise of the resistance of copper with temperature, at 20 degC, IEC 60228 [1/K]."""
ALUMINIUM_COEFFICIENT = 0.00403
"""Rise of the resistance of aluminium with temperature, at 20 degC, IEC 60228 [1/K]."""


@compiled
def three_phase_current(power: float, voltage: float, power_factor: float) -> float:
    """Current in each phase, [A].

    I = P / (sqrt(3) U cos phi)

    Parameters
    ----------
    power : active [W]
    voltage : between phases [V]
    power_factor : cos phi, > 0 [-]

    Notes
    -----
    Balanced load.

    Example
    -------
    >>> round(three_phase_current(458e3, 400.0, 0.88))
    751

    References
    ----------
    Definition.
    """
    return power / (math.sqrt(3.0) * voltage * power_factor)


@compiled
def warm_resistance(resistance: float, temperature: float, coefficient: float) -> float:
    """Resistance of a conductor at its working temperature, [ohm] or [ohm/m].

    R = R_20 (1 + alpha (T - 293.15 K))

    Parameters
    ----------
    resistance : R_20, at 20 degC [ohm or ohm/m]
    temperature : of the conductor [K]
    coefficient : alpha [1/K]

    Notes
    -----
    Skin effect is left out: 2 % at 185 mm2, 50 Hz.

    Example
    -------
    >>> round(warm_resistance(0.0991e-3, 363.15, COPPER_COEFFICIENT) * 1e3, 4)
    0.1264

    References
    ----------
    IEC 60228.
    """
    return resistance * (1.0 + coefficient * (temperature - 293.15))


@compiled
def voltage_drop(
    current: float, length: float, resistance: float, reactance: float, power_factor: float
) -> float:
    """Voltage lost along a three-phase feeder, [V].

    dU = sqrt(3) I L (R cos phi + X sin phi)

    Parameters
    ----------
    current : in each phase [A]
    length : one way [m]
    resistance : R per metre, warm, of all parallel conductors together [ohm/m]
    reactance : X per metre, of all parallel conductors together [ohm/m]
    power_factor : cos phi, lagging [-]

    Notes
    -----
    Between phases. 3 to 5 % of the voltage is the usual limit (from memory).

    Example
    -------
    >>> round(voltage_drop(376.0, 60.0, 6.32e-5, 4.0e-5, 0.88), 1)
    2.9

    References
    ----------
    IEC 60364-5-52, annex G; from memory.
    """
    sine = math.sqrt(max(0.0, 1.0 - power_factor * power_factor))
    return math.sqrt(3.0) * current * length * (resistance * power_factor + reactance * sine)


@compiled
def feeder_loss(current: float, length: float, resistance: float) -> float:
    """Heat given off by a three-phase feeder, [W].

    P = 3 I^2 R L

    Parameters
    ----------
    current : in each phase [A]
    length : one way [m]
    resistance : R per metre, warm, of all parallel conductors together [ohm/m]

    Notes
    -----
    A load of the room it runs through.

    Example
    -------
    >>> round(feeder_loss(376.0, 60.0, 6.32e-5))
    1608

    References
    ----------
    Joule.
    """
    return 3.0 * current * current * resistance * length


@compiled
def short_circuit_section(current: float, time: float, factor: float) -> float:
    """Cross-section that survives a short circuit, [m2].

    S = sqrt(I^2 t) / k

    Parameters
    ----------
    current : of the fault [A]
    time : until it is cleared, up to 5 [s]
    factor : k; 143e6 for copper in XLPE, 115e6 in PVC [A s^0.5/m2]

    Notes
    -----
    Adiabatic.

    Example
    -------
    >>> round(short_circuit_section(25e3, 0.2, 143e6) * 1e6, 1)
    78.2

    References
    ----------
    IEC 60364-4-43; factors from memory.
    """
    return current * math.sqrt(time) / factor


@compiled
def transformer_loss(load: float, rating: float, no_load_loss: float, load_loss: float) -> float:
    """Heat given off by a transformer, [W].

    P = P_0 + P_k (S / S_n)^2

    Parameters
    ----------
    load : apparent power S [V A]
    rating : S_n [V A]
    no_load_loss : P_0 [W]
    load_loss : P_k at full load [W]

    Notes
    -----
    A load of its room, day and night.

    Example
    -------
    >>> transformer_loss(500e3, 1000e3, 1000.0, 8000.0)
    3000.0

    References
    ----------
    IEC 60076-1.
    """
    share = load / rating
    return no_load_loss + load_loss * share * share


@compiled
def starting_power(power: float, efficiency: float, power_factor: float, multiple: float) -> float:
    """Apparent power that a motor draws while it starts, [V A].

    S = k P / (eta cos phi)

    Parameters
    ----------
    power : rated shaft power [W]
    efficiency : of the motor [-]
    power_factor : at full load [-]
    multiple : k of the rated current; 5 to 7 direct, 2 to 3 soft, 1 to 1.5 by converter [-]

    Notes
    -----
    At the rated voltage. Multiples from memory.

    Example
    -------
    >>> round(starting_power(114e3, 0.95, 0.88, 6.0) / 1e3)
    818

    References
    ----------
    Definition.
    """
    return multiple * power / (efficiency * power_factor)


@compiled
def starting_dip(starting: float, short_circuit: float) -> float:
    """Share of the voltage that is lost while a motor starts, [-].

    dU / U = S / (S + S_k)

    Parameters
    ----------
    starting : apparent power at the rated voltage [V A]
    short_circuit : power S_k of the supply where it joins [V A]

    Notes
    -----
    Both taken as reactive. Torque falls with the square of what is left; contactors let go at
    0.5 to 0.7 (from memory).

    Example
    -------
    >>> round(starting_dip(1e6, 9e6), 3)
    0.1

    References
    ----------
    Voltage divider.
    """
    return starting / (starting + short_circuit)
