"""Liquid water, 0 to 311 degC and up to 300 bar: one Gibbs function and what follows from it."""

import math

from brinewright.fluids.layout import (
    HIGHEST_LIQUID_PRESSURE,
    HIGHEST_SATURATION,
    LIQUID,
    LIQUID_CONDUCTIVITY,
    LIQUID_TRANSPORT_X,
    LIQUID_TRANSPORT_Y,
    LIQUID_VISCOSITY,
    LIQUID_X,
    LIQUID_Y,
    TRIPLE_TEMPERATURE,
)
from brinewright.fluids.series import Vector, series_slopes, series_value
from brinewright.jit import compiled

_SLOPE_X = 2.0 / (HIGHEST_SATURATION - TRIPLE_TEMPERATURE)
_SLOPE_Y = 2.0 / HIGHEST_LIQUID_PRESSURE


@compiled
def liquid_derivatives(
    W: Vector, temperature: float, pressure: float
) -> tuple[float, float, float, float, float, float, float]:
    """v, u, s, c_p, (dv/dT)_p, (dv/dp)_T and h of liquid water.

    [m3/kg], [J/kg], [J/(kg K)], [J/(kg K)], [m3/(kg K)], [m3/(kg Pa)], [J/kg].
    g(T, p) gives v = g_p, s = -g_T, h = g + T s, u = h - p v, c_p = -T g_TT.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]
    pressure : from saturation to 3e7 [Pa]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> state = liquid_derivatives(water_tables(), 300.0, 3e6)
    >>> round(state[0] * 1e3, 6), round(state[6] / 1e3, 1)
    (1.00215, 115.3)

    References
    ----------
    Fitted to IAPWS R6-95(2018).
    """
    x = (temperature - TRIPLE_TEMPERATURE) * _SLOPE_X - 1.0
    y = pressure * _SLOPE_Y - 1.0
    g, gx, gy, gxx, gxy, gyy = series_slopes(W, LIQUID, LIQUID_X, LIQUID_Y, x, y)
    s = -gx * _SLOPE_X
    v = gy * _SLOPE_Y
    h = g + temperature * s
    cp = -temperature * gxx * _SLOPE_X * _SLOPE_X
    return v, h - pressure * v, s, cp, gxy * _SLOPE_X * _SLOPE_Y, gyy * _SLOPE_Y * _SLOPE_Y, h


@compiled
def liquid_state(W: Vector, temperature: float, pressure: float) -> tuple[float, float, float, float, float]:
    """Density, u, h, s and c_p of liquid water, [kg/m3], [J/kg], [J/kg], [J/(kg K)], [J/(kg K)].

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]
    pressure : from saturation to 3e7 [Pa]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(liquid_state(water_tables(), 293.15, 3e5)[0], 2)
    998.3

    References
    ----------
    Fitted to IAPWS R6-95(2018).
    """
    v, u, s, cp, _, _, h = liquid_derivatives(W, temperature, pressure)
    return 1.0 / v, u, h, s, cp


@compiled
def liquid_transport(W: Vector, temperature: float, pressure: float) -> tuple[float, float]:
    """Viscosity and conductivity of liquid water, [Pa s] and [W/(m K)].

    Series of ln mu and ln k in T and p.

    Parameters
    ----------
    W : table vector of water
    temperature : 273.15 to 584.16 [K]
    pressure : from saturation to 3e7 [Pa]

    Example
    -------
    >>> from brinewright.fluids import water_tables
    >>> round(liquid_transport(water_tables(), 293.15, 3e5)[0] * 1e3, 4)
    1.0015

    References
    ----------
    IAPWS R12-08 and R15-11.
    """
    x = (temperature - TRIPLE_TEMPERATURE) * _SLOPE_X - 1.0
    y = pressure * _SLOPE_Y - 1.0
    mu = series_value(W, LIQUID_VISCOSITY, LIQUID_TRANSPORT_X, LIQUID_TRANSPORT_Y, x, y)
    k = series_value(W, LIQUID_CONDUCTIVITY, LIQUID_TRANSPORT_X, LIQUID_TRANSPORT_Y, x, y)
    return math.exp(mu), math.exp(k)
