"""From what the engine keeps (v and u, p and h, p and s) back to temperature, pressure and dryness.

Each returns a region: `TWO_PHASE`, `LIQUID` or `STEAM`; below zero the state lies outside
the tables, and the numbers that come with it are those of the nearest edge.
"""

from brinewright.fluids.layout import (
    DENSITY_SCALE,
    HIGHEST_LIQUID_PRESSURE,
    HIGHEST_SATURATION,
    HIGHEST_TEMPERATURE,
    LOWEST_TEMPERATURE,
)
from brinewright.fluids.liquid import liquid_derivatives
from brinewright.fluids.saturation import (
    saturation_line,
    saturation_pressure,
    saturation_temperature,
    two_phase_energy,
)
from brinewright.fluids.series import Vector
from brinewright.fluids.steam import steam_derivatives, steam_energy, steam_pressure, steam_state
from brinewright.jit import compiled, inner

TWO_PHASE = 0
LIQUID = 1
STEAM = 2
TOO_COLD = -1
TOO_HOT = -2
TOO_DENSE = -3

_HIGHEST_STEAM_DENSITY = 55.53
"""Saturated steam at the end of the saturation line [kg/m3]."""

_USUAL_CP = 2200.0
"""Only starts a search [J/(kg K)]."""

_CLOSE = 1e-4
"""A Newton step this small leaves less than 1e-8 behind, as its error shrinks with the square [K]."""


@compiled
def vessel_state(W: Vector, volume: float, energy: float, guess: float) -> tuple[float, float, float, int]:
    """T, p, dryness and region of the water in a closed vessel, [K], [Pa], [-], code.

    Two-phase: x = (v - v_f)/(v_g - v_f), u = (1 - x) u_f + x u_g, solved for T.
    Beyond dry-out (x = 1) the steam superheats, u(T, 1/v) = u.  Once the liquid fills
    the vessel (x = 0) both v(T, p) = v and u(T, p) = u hold.

    Parameters
    ----------
    W : table vector of water
    volume : V / M [m3/kg]
    energy : U / M, zero for saturated liquid at 0.01 degC [J/kg]
    guess : temperature to start from, such as the last one [K]

    Notes
    -----
    Range: 273.15 K to 673.15 K; two-phase and steam up to 100 bar, liquid up to 300 bar.
    Codes below zero: `TOO_COLD` (ice), `TOO_HOT`, `TOO_DENSE` (pressure beyond the table).

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> T, p, x, region = vessel_state(water_tables(), 0.1, 313345070.0 / 400.0, 350.0)
    >>> round(T, 3), round(x, 5), region
    (398.15, 0.12866, 0)

    References
    ----------
    Any text on thermodynamics; properties of IAPWS R6-95(2018).
    """
    low, high = LOWEST_TEMPERATURE, HIGHEST_SATURATION
    T = min(max(guess, low), high)
    x = 0.0
    region = TWO_PHASE
    for _ in range(100):
        value, slope, x = two_phase_energy(W, T, volume)
        missing = energy - value
        if missing > 0.0:
            if x >= 1.0:
                region = STEAM
                break
            low = T
        else:
            high = T
        change = missing / slope
        new = T + change
        if new > high:
            new = HIGHEST_SATURATION if high == HIGHEST_SATURATION and high > T else 0.5 * (low + high)
        elif new < low:
            new = LOWEST_TEMPERATURE if low == LOWEST_TEMPERATURE and low < T else 0.5 * (low + high)
        done = abs(new - T) < _CLOSE
        T = new
        if done:
            break
    if region == TWO_PHASE:
        value, slope, x = two_phase_energy(W, T, volume)
        if x < 0.0:
            region = LIQUID
        elif x > 1.0:
            region = STEAM
        elif T >= HIGHEST_SATURATION and energy > value + 1.0:
            return T, saturation_pressure(W, T)[0], x, TOO_DENSE
        elif T <= LOWEST_TEMPERATURE and energy < value - 1.0:
            return T, saturation_pressure(W, T)[0], x, TOO_COLD
        else:
            return T, saturation_pressure(W, T)[0], x, TWO_PHASE
    if region == STEAM:
        return _steam_from_v_u(W, volume, energy, max(T, guess))
    return _liquid_from_v_u(W, volume, energy, T)


@inner
def _steam_from_v_u(W: Vector, volume: float, energy: float, guess: float) -> tuple[float, float, float, int]:
    rho = 1.0 / volume
    region = STEAM
    if rho > _HIGHEST_STEAM_DENSITY:
        rho = _HIGHEST_STEAM_DENSITY
        region = TOO_DENSE
    T = min(max(guess, LOWEST_TEMPERATURE), HIGHEST_TEMPERATURE)
    for _ in range(30):
        u, cv = steam_energy(W, T, rho)
        change = (energy - u) / cv
        if change > _CLOSE and T == HIGHEST_TEMPERATURE:
            region = TOO_HOT
            break
        if change < -_CLOSE and T == LOWEST_TEMPERATURE:
            region = TOO_COLD
            break
        T = min(max(T + change, LOWEST_TEMPERATURE), HIGHEST_TEMPERATURE)
        if abs(change) < _CLOSE:
            break
    return T, steam_pressure(W, T, rho), 1.0, region


@inner
def _liquid_from_v_u(
    W: Vector, volume: float, energy: float, guess: float
) -> tuple[float, float, float, int]:
    T = guess
    p, vf, _, _, _, _, _, _, _ = saturation_line(W, T)
    # a bulk modulus of 2 GPa serves for the first step
    p = min(p + max(vf - volume, 0.0) / vf * 2.0e9, HIGHEST_LIQUID_PRESSURE)
    for _ in range(40):
        v, u, _, cp, v_T, v_p, _ = liquid_derivatives(W, T, p)
        u_T = cp - p * v_T
        u_p = -T * v_T - p * v_p
        miss_v = volume - v
        miss_u = energy - u
        determinant = v_T * u_p - v_p * u_T
        change_T = (miss_v * u_p - miss_u * v_p) / determinant
        change_p = (v_T * miss_u - u_T * miss_v) / determinant
        new_T = min(max(T + change_T, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
        new_p = min(max(p + change_p, 0.0), HIGHEST_LIQUID_PRESSURE)
        stuck = new_T == T and new_p == p
        T, p = new_T, new_p
        if abs(change_T) < _CLOSE and abs(change_p) < 1e3:
            return T, p, 0.0, LIQUID
        if stuck:
            break
    if p >= HIGHEST_LIQUID_PRESSURE or T >= HIGHEST_SATURATION:
        return T, p, 0.0, TOO_DENSE
    if T <= LOWEST_TEMPERATURE:
        return T, p, 0.0, TOO_COLD
    return T, p, 0.0, LIQUID


@compiled
def vessel_capacity(W: Vector, volume: float, temperature: float, pressure: float, region: int) -> float:
    """Heat capacity at constant volume, (du/dT)_v, of the water in a vessel, [J/(kg K)].

    Parameters
    ----------
    W : table vector of water
    volume : V / M [m3/kg]
    temperature, pressure, region : what `vessel_state` gave [K], [Pa], code

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(400.0 * vessel_capacity(water_tables(), 0.1, 398.15, 232e3, 0) / 1e6, 2)
    4.52
    """
    if region == TWO_PHASE:
        return two_phase_energy(W, temperature, volume)[1]
    if region == STEAM:
        return steam_energy(W, temperature, min(1.0 / volume, DENSITY_SCALE))[1]
    _, _, _, cp, v_T, v_p, _ = liquid_derivatives(W, temperature, pressure)
    return cp + temperature * v_T * v_T / v_p


@compiled
def state_from_p_h(W: Vector, pressure: float, enthalpy: float) -> tuple[float, float, int]:
    """T, dryness and region after throttling or heating to an enthalpy, [K], [-], code.

    Parameters
    ----------
    W : table vector of water
    pressure : 611.2 to 1e7, for liquid to 3e7 [Pa]
    enthalpy : zero for liquid at 0.01 degC within 1 J/kg [J/kg]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> T, x, region = state_from_p_h(water_tables(), 101325.0, 567.74e3)
    >>> round(T, 2), round(x, 3)
    (373.12, 0.066)
    """
    T = saturation_temperature(W, pressure)
    _, _, _, _, _, hf, hg, _, _ = saturation_line(W, T)
    beyond = pressure > saturation_pressure(W, HIGHEST_SATURATION)[0]
    if enthalpy > hg and not beyond:
        T, _, region = _steam_from_p(W, pressure, enthalpy, T, False)
        return T, 1.0, region
    if enthalpy >= hf and not beyond:
        return T, (enthalpy - hf) / (hg - hf), TWO_PHASE
    T, _, region = _liquid_from_p(W, pressure, enthalpy, T, False)
    return T, 0.0, region


@compiled
def state_from_p_s(W: Vector, pressure: float, entropy: float) -> tuple[float, float, float, int]:
    """Enthalpy, T, dryness and region after an expansion at constant entropy, [J/kg], [K], [-], code.

    Parameters
    ----------
    W : table vector of water
    pressure : 611.2 to 1e7, for liquid to 3e7 [Pa]
    entropy : zero for liquid at 0.01 degC [J/(kg K)]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> h, T, x, region = state_from_p_s(water_tables(), 75e3, 6744.0)
    >>> round(h / 1e3), round(x, 3)
    (2403, 0.886)
    """
    T = saturation_temperature(W, pressure)
    _, _, _, _, _, hf, hg, sf, sg = saturation_line(W, T)
    beyond = pressure > saturation_pressure(W, HIGHEST_SATURATION)[0]
    if entropy > sg and not beyond:
        T, h, region = _steam_from_p(W, pressure, entropy, T, True)
        return h, T, 1.0, region
    if entropy >= sf and not beyond:
        x = (entropy - sf) / (sg - sf)
        return hf + x * (hg - hf), T, x, TWO_PHASE
    T, h, region = _liquid_from_p(W, pressure, entropy, T, True)
    return h, T, 0.0, region


@inner
def _steam_from_p(
    W: Vector, pressure: float, target: float, boiling: float, by_entropy: bool
) -> tuple[float, float, int]:
    """T, h and region at a pressure and an enthalpy, or an entropy; Newton in T and density."""
    _, _, vg, _, _, _, hg, _, sg = saturation_line(W, boiling)
    rise = (target - sg) * boiling / _USUAL_CP if by_entropy else (target - hg) / _USUAL_CP
    T = min(boiling + rise, HIGHEST_TEMPERATURE)
    rho = boiling / (T * vg)
    h = 0.0
    for _ in range(40):
        p, u, s, cv, p_T, p_rho = steam_derivatives(W, T, rho)
        h = u + p / rho
        if by_entropy:
            value, slope_T, slope_rho = s, cv / T, -p_T / (rho * rho)
        else:
            value, slope_T, slope_rho = h, cv + p_T / rho, (p_rho - T * p_T / rho) / rho
        miss_p = pressure - p
        miss = target - value
        determinant = p_T * slope_rho - p_rho * slope_T
        change_T = (miss_p * slope_rho - miss * p_rho) / determinant
        change_rho = (p_T * miss - slope_T * miss_p) / determinant
        if T >= HIGHEST_TEMPERATURE and change_T > _CLOSE:
            h = steam_state(W, T, pressure)[2]
            return T, h, TOO_HOT
        T = min(max(T + change_T, LOWEST_TEMPERATURE), HIGHEST_TEMPERATURE)
        rho = min(max(rho + change_rho, 0.5 * rho), 2.0 * rho)
        if abs(change_T) < _CLOSE and abs(change_rho) < 1e-5 * rho:
            h += (cv + p_T / rho) * change_T + (p_rho - T * p_T / rho) / rho * change_rho
            break
    return T, h, STEAM


@inner
def _liquid_from_p(
    W: Vector, pressure: float, target: float, guess: float, by_entropy: bool
) -> tuple[float, float, int]:
    """T, h and region at a pressure and an enthalpy, or an entropy; Newton in T."""
    T = guess
    h = 0.0
    for _ in range(40):
        _, _, s, cp, _, _, h = liquid_derivatives(W, T, pressure)
        change = (target - s) * T / cp if by_entropy else (target - h) / cp
        if change > _CLOSE and T >= HIGHEST_SATURATION:
            return T, h, TOO_DENSE
        if change < -_CLOSE and T <= LOWEST_TEMPERATURE:
            return T, h, TOO_COLD
        T = min(max(T + change, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
        if abs(change) < _CLOSE:
            h += cp * change
            break
    if pressure > HIGHEST_LIQUID_PRESSURE:
        return T, h, TOO_DENSE
    return T, h, LIQUID
