"""The saturation line of water, 0 to 311 degC: cubics over half a kelvin (IAPWS-95)."""

import math

from brinewright.fluids.layout import (
    CELL,
    HIGHEST_LOG_PRESSURE,
    HIGHEST_SATURATION,
    LOWEST_LOG_PRESSURE,
    LOWEST_TEMPERATURE,
    SATURATION,
    SATURATION_CELLS,
    SATURATION_STEP,
    START,
    START_NODES,
    TRIPLE_TEMPERATURE,
)
from brinewright.fluids.series import Vector
from brinewright.jit import compiled


@compiled
def saturation_pressure(W: Vector, temperature: float) -> tuple[float, float]:
    """Vapour pressure of water and its slope, [Pa] and [Pa/K].

    A cubic spline in T through IAPWS-95 values half a kelvin apart.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]; held at the ends

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> pressure, slope = saturation_pressure(water_tables(), 398.15)
    >>> round(pressure / 1e5, 4), round(slope / 1e5, 4)
    (2.3224, 0.0715)

    References
    ----------
    IAPWS R6-95(2018).
    """
    T = min(max(temperature, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
    i = min(max(int((T - TRIPLE_TEMPERATURE) / SATURATION_STEP), 0), SATURATION_CELLS - 1)
    t = T - (TRIPLE_TEMPERATURE + SATURATION_STEP * i)
    o = SATURATION + i * CELL
    value = W[o] + t * (W[o + 1] + t * (W[o + 2] + t * W[o + 3]))
    return value, W[o + 1] + t * (2.0 * W[o + 2] + 3.0 * t * W[o + 3])


@compiled
def saturation_temperature(W: Vector, pressure: float) -> float:
    """Boiling temperature of water, [K].

    The inverse of `saturation_pressure`, to rounding.

    Parameters
    ----------
    W : table vector of water
    pressure : 611.2 to 1.0002e7 [Pa]; held at the ends

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(saturation_temperature(water_tables(), 101325.0), 4)
    373.1243

    References
    ----------
    IAPWS R6-95(2018).
    """
    step = (HIGHEST_LOG_PRESSURE - LOWEST_LOG_PRESSURE) / (START_NODES - 1)
    place = (math.log(max(pressure, 1.0)) - LOWEST_LOG_PRESSURE) / step
    i = min(max(int(place), 0), START_NODES - 2)
    f = min(max(place - i, 0.0), 1.0)
    T: float = W[START + i] * (1.0 - f) + W[START + i + 1] * f
    for _ in range(8):
        value, slope = saturation_pressure(W, T)
        change = (pressure - value) / slope
        T = min(max(T + change, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
        if abs(change) < 1e-8:
            break
    return T


@compiled
def saturation_line(
    W: Vector, temperature: float
) -> tuple[float, float, float, float, float, float, float, float, float]:
    """Both ends of the dome: p, v_f, v_g, u_f, u_g, h_f, h_g, s_f, s_g.

    [Pa], [m3/kg], [m3/kg], [J/kg] four times, [J/(kg K)] twice; h = u + p v.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]; held at the ends

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> line = saturation_line(water_tables(), 408.15)
    >>> [round(h / 1e3, 1) for h in line[5:7]]
    [567.7, 2726.9]

    References
    ----------
    IAPWS R6-95(2018); u and s are zero for liquid at the triple point.
    """
    T = min(max(temperature, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
    i = min(max(int((T - TRIPLE_TEMPERATURE) / SATURATION_STEP), 0), SATURATION_CELLS - 1)
    t = T - (TRIPLE_TEMPERATURE + SATURATION_STEP * i)
    o = SATURATION + i * CELL
    p = W[o] + t * (W[o + 1] + t * (W[o + 2] + t * W[o + 3]))
    vf = W[o + 4] + t * (W[o + 5] + t * (W[o + 6] + t * W[o + 7]))
    vg = W[o + 8] + t * (W[o + 9] + t * (W[o + 10] + t * W[o + 11]))
    uf = W[o + 12] + t * (W[o + 13] + t * (W[o + 14] + t * W[o + 15]))
    ug = W[o + 16] + t * (W[o + 17] + t * (W[o + 18] + t * W[o + 19]))
    sf = W[o + 20] + t * (W[o + 21] + t * (W[o + 22] + t * W[o + 23]))
    sg = W[o + 24] + t * (W[o + 25] + t * (W[o + 26] + t * W[o + 27]))
    return p, vf, vg, uf, ug, uf + p * vf, ug + p * vg, sf, sg


@compiled
def two_phase_energy(W: Vector, temperature: float, volume: float) -> tuple[float, float, float]:
    """Internal energy at a mean volume, its slope (du/dT)_v, and the dryness, [J/kg], [J/(kg K)], [-].

    x = (v - v_f) / (v_g - v_f),  u = u_f + x (u_g - u_f)

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]; held at the ends
    volume : mean specific volume, V / M [m3/kg]

    Notes
    -----
    Outside the dome the dryness is below 0 or above 1 and u is the continued mixing rule,
    which rises with T, so that its root tells on which side of the dome a state lies.

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(two_phase_energy(water_tables(), 398.15, 0.1)[2], 5)
    0.12866
    """
    T = min(max(temperature, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
    i = min(max(int((T - TRIPLE_TEMPERATURE) / SATURATION_STEP), 0), SATURATION_CELLS - 1)
    t = T - (TRIPLE_TEMPERATURE + SATURATION_STEP * i)
    o = SATURATION + i * CELL + 4
    vf = W[o] + t * (W[o + 1] + t * (W[o + 2] + t * W[o + 3]))
    vg = W[o + 4] + t * (W[o + 5] + t * (W[o + 6] + t * W[o + 7]))
    uf = W[o + 8] + t * (W[o + 9] + t * (W[o + 10] + t * W[o + 11]))
    ug = W[o + 12] + t * (W[o + 13] + t * (W[o + 14] + t * W[o + 15]))
    dvf = W[o + 1] + t * (2.0 * W[o + 2] + 3.0 * t * W[o + 3])
    dvg = W[o + 5] + t * (2.0 * W[o + 6] + 3.0 * t * W[o + 7])
    duf = W[o + 9] + t * (2.0 * W[o + 10] + 3.0 * t * W[o + 11])
    dug = W[o + 13] + t * (2.0 * W[o + 14] + 3.0 * t * W[o + 15])
    x = (volume - vf) / (vg - vf)
    dx = -(dvf + x * (dvg - dvf)) / (vg - vf)
    return uf + x * (ug - uf), duf + x * (dug - duf) + dx * (ug - uf), x


@compiled
def dry_out_temperature(W: Vector, volume: float) -> float:
    """Temperature at which the last liquid of a closed vessel evaporates, [K].

    v_g(T) = V / M

    Parameters
    ----------
    W : table vector of water
    volume : V / M, 0.018 to 206 [m3/kg]; held at the ends of the line

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(dry_out_temperature(water_tables(), 6.0 / 12.0) - 273.15, 2)
    140.63
    """
    low, high = LOWEST_TEMPERATURE, HIGHEST_SATURATION
    T = 0.5 * (low + high)
    for _ in range(80):
        i = min(max(int((T - TRIPLE_TEMPERATURE) / SATURATION_STEP), 0), SATURATION_CELLS - 1)
        t = T - (TRIPLE_TEMPERATURE + SATURATION_STEP * i)
        o = SATURATION + i * CELL + 8
        vg = W[o] + t * (W[o + 1] + t * (W[o + 2] + t * W[o + 3]))
        slope = W[o + 1] + t * (2.0 * W[o + 2] + 3.0 * t * W[o + 3])
        if vg > volume:
            low = T
        else:
            high = T
        change = math.log(volume / vg) * vg / slope
        T = T + change
        if not low <= T <= high:
            T = 0.5 * (low + high)
        elif abs(change) < 1e-9:
            break
    return T


@compiled
def liquid_full_temperature(W: Vector, volume: float) -> float:
    """Temperature at which the liquid of a closed vessel fills it, [K].

    v_f(T) = V / M, on the branch above the density maximum at 4 degC

    Parameters
    ----------
    W : table vector of water
    volume : V / M, 0.0010001 to 0.00145 [m3/kg]; held at the ends of the line

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(liquid_full_temperature(water_tables(), 1.0 / 950.0), 3)
    384.389
    """
    low, high = 277.13, HIGHEST_SATURATION
    T = 0.5 * (low + high)
    for _ in range(80):
        i = min(max(int((T - TRIPLE_TEMPERATURE) / SATURATION_STEP), 0), SATURATION_CELLS - 1)
        t = T - (TRIPLE_TEMPERATURE + SATURATION_STEP * i)
        o = SATURATION + i * CELL + 4
        vf = W[o] + t * (W[o + 1] + t * (W[o + 2] + t * W[o + 3]))
        slope = W[o + 1] + t * (2.0 * W[o + 2] + 3.0 * t * W[o + 3])
        if vf < volume:
            low = T
        else:
            high = T
        change = (volume - vf) / slope
        T = T + change
        if not low <= T <= high:
            T = 0.5 * (low + high)
        elif abs(change) < 1e-9:
            break
    return T
