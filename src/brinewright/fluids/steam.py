"""Steam, 0 to 400 degC and up to 100 bar: one Helmholtz function of T and density."""

import math

from brinewright.fluids.layout import (
    DENSITY_LEVEL,
    DENSITY_LIFT,
    DENSITY_SCALE,
    GAS_CONSTANT,
    HIGHEST_TEMPERATURE,
    IDEAL,
    IDEAL_X,
    STEAM,
    STEAM_CONDUCTIVITY,
    STEAM_TRANSPORT_X,
    STEAM_TRANSPORT_Y,
    STEAM_VISCOSITY,
    STEAM_X,
    STEAM_Y,
    TRIPLE_TEMPERATURE,
)
from brinewright.fluids.series import Vector, series_slope_y, series_slopes, series_slopes_x, series_value
from brinewright.jit import compiled, inner

_SLOPE_INVERSE = 2.0 / (1.0 / TRIPLE_TEMPERATURE - 1.0 / HIGHEST_TEMPERATURE)
_MIDDLE_INVERSE = 0.5 * (1.0 / TRIPLE_TEMPERATURE + 1.0 / HIGHEST_TEMPERATURE)
_SLOPE_IDEAL = 2.0 / (HIGHEST_TEMPERATURE - TRIPLE_TEMPERATURE)


@compiled
def steam_derivatives(
    W: Vector, temperature: float, density: float
) -> tuple[float, float, float, float, float, float]:
    """p, u, s, c_v, (dp/dT)_rho and (dp/drho)_T of steam.

    [Pa], [J/kg], [J/(kg K)], [J/(kg K)], [Pa/K], [Pa m3/kg].
    a(T, rho) = a0(T) + R T (ln rho + phi(1/T, rho)) gives p = rho^2 a_rho, s = -a_T,
    u = a + T s.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    density : 0 (excluded) to that of saturated steam, at most 55.5 [kg/m3]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_derivatives(water_tables(), 500.0, 0.435)[0], 0)
    99968.0

    References
    ----------
    Fitted to IAPWS R6-95(2018).
    """
    T, rho = temperature, density
    a0, a0x, a0xx = series_slopes_x(W, IDEAL, IDEAL_X, 0, (T - TRIPLE_TEMPERATURE) * _SLOPE_IDEAL - 1.0, 0.0)
    s0 = -a0x * _SLOPE_IDEAL
    cv0 = -T * a0xx * _SLOPE_IDEAL * _SLOPE_IDEAL
    phi, d, t, tt, dt, dd = _residual(W, T, rho)
    R = GAS_CONSTANT
    p = rho * R * T * (1.0 + d)
    u = a0 + T * s0 + R * T * t
    s = s0 - R * (math.log(rho) + phi - t)
    cv = cv0 - R * tt
    return p, u, s, cv, rho * R * (1.0 + d - dt), R * T * (1.0 + 2.0 * d + dd)


@inner
def _residual(W: Vector, T: float, rho: float) -> tuple[float, float, float, float, float, float]:
    """phi, rho phi_rho, tau phi_tau, tau2 phi_tautau, rho tau phi_rhotau and rho2 phi_rhorho.

    At constant density y grows with x, dy/dx = b y; hence D = d/dx + b y d/dy.
    """
    x = (1.0 / T - _MIDDLE_INVERSE) * _SLOPE_INVERSE
    b = DENSITY_LIFT
    y = rho / DENSITY_SCALE * math.exp(b * (x + DENSITY_LEVEL))
    f, fx, fy, fxx, fxy, fyy = series_slopes(W, STEAM, STEAM_X, STEAM_Y, x, y)
    lever = _SLOPE_INVERSE / T
    d = y * fy
    dd = y * y * fyy
    t = fx + b * d
    dt = y * fxy + b * (d + dd)
    tt = fxx + b * (2.0 * y * fxy + b * (d + dd))
    return f, d, t * lever, tt * lever * lever, dt * lever, dd


@compiled
def steam_energy(W: Vector, temperature: float, density: float) -> tuple[float, float]:
    """Internal energy and c_v of steam, [J/kg] and [J/(kg K)].

    The part of `steam_derivatives` that a closed vessel needs.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    density : 0 to that of saturated steam, at most 55.5 [kg/m3]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_energy(water_tables(), 500.0, 0.435)[1], 1)
    1508.2
    """
    T = temperature
    a0, a0x, a0xx = series_slopes_x(W, IDEAL, IDEAL_X, 0, (T - TRIPLE_TEMPERATURE) * _SLOPE_IDEAL - 1.0, 0.0)
    _, _, t, tt, _, _ = _residual(W, T, density)
    u = a0 - T * a0x * _SLOPE_IDEAL + GAS_CONSTANT * T * t
    return u, -T * a0xx * _SLOPE_IDEAL * _SLOPE_IDEAL - GAS_CONSTANT * tt


@compiled
def steam_pressure(W: Vector, temperature: float, density: float) -> float:
    """Pressure of steam, [Pa].

    p = rho R T (1 + rho phi_rho)

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    density : 0 to that of saturated steam, at most 55.5 [kg/m3]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_pressure(water_tables(), 500.0, 0.435), 0)
    99968.0
    """
    x = (1.0 / temperature - _MIDDLE_INVERSE) * _SLOPE_INVERSE
    y = density / DENSITY_SCALE * math.exp(DENSITY_LIFT * (x + DENSITY_LEVEL))
    slope = series_slope_y(W, STEAM, STEAM_X, STEAM_Y, x, y)
    return density * GAS_CONSTANT * temperature * (1.0 + y * slope)


@compiled
def steam_density(W: Vector, temperature: float, pressure: float) -> float:
    """Density of steam, [kg/m3].

    Newton on p(T, rho), from the ideal gas upwards; p is concave in rho.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    pressure : 0 (excluded) to saturation, at most 1e7 [Pa]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_density(water_tables(), 473.15, 2e5), 4)
    0.9255
    """
    rho = pressure / (GAS_CONSTANT * temperature)
    for _ in range(30):
        p, _, _, _, _, slope = steam_derivatives(W, temperature, rho)
        change = (pressure - p) / slope
        rho += change
        if abs(change) < 1e-11 * rho:
            break
    return rho


@compiled
def steam_state(W: Vector, temperature: float, pressure: float) -> tuple[float, float, float, float, float]:
    """Density, u, h, s and c_p of steam, [kg/m3], [J/kg], [J/kg], [J/(kg K)], [J/(kg K)].

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    pressure : 0 (excluded) to saturation, at most 1e7 [Pa]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_state(water_tables(), 623.15, 3e6)[2] / 1e3, 1)
    3116.1

    References
    ----------
    Fitted to IAPWS R6-95(2018).
    """
    rho = steam_density(W, temperature, pressure)
    p, u, s, cv, p_T, p_rho = steam_derivatives(W, temperature, rho)
    cp = cv + temperature * p_T * p_T / (rho * rho * p_rho)
    return rho, u, u + p / rho, s, cp


@compiled
def steam_transport(W: Vector, temperature: float, density: float) -> tuple[float, float]:
    """Viscosity and conductivity of steam, [Pa s] and [W/(m K)].

    Series of ln mu and ln k in 1/T and density.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 673.15 [K]
    density : 0 to that of saturated steam, at most 55.5 [kg/m3]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(steam_transport(water_tables(), 433.15, 1.0)[0] * 1e6, 2)
    14.54

    References
    ----------
    IAPWS R12-08 and R15-11.
    """
    x = (1.0 / temperature - _MIDDLE_INVERSE) * _SLOPE_INVERSE
    y = density / DENSITY_SCALE
    mu = series_value(W, STEAM_VISCOSITY, STEAM_TRANSPORT_X, STEAM_TRANSPORT_Y, x, y)
    k = series_value(W, STEAM_CONDUCTIVITY, STEAM_TRANSPORT_X, STEAM_TRANSPORT_Y, x, y)
    return math.exp(mu), math.exp(k)
