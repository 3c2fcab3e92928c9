"""Laws of the room."""

import math

from brinewright.jit import inner
from brinewright.laws.moist_air import (
    humidity_ratio,
    relative_humidity,
    saturation_pressure,
    saturation_ratio,
)
from brinewright.laws.state import give, put

COMMAND, RUNNING, CAPACITY, CONDUCTANCE, POWERED, POWER = 0, 1, 2, 3, 4, 5
LIMIT, COIL, DEAD_END, FAN = 0, 1, 2, 3

AIR, OUTSIDE, OUTSIDE_HUMIDITY, VENTILATION, EXCHANGE, GAIN, RATIO, HUMIDITY = 0, 1, 2, 3, 4, 5, 6, 7
FLOW, INLET, BEHIND, COIL_CONDUCTANCE, LATENT, SENSIBLE, COOLING, MOISTURE = 8, 9, 10, 11, 12, 13, 14, 15
PRESSURE, AIR_MASS, FOLLOWED, HAS_COIL, COOLANT_HEAT = 0, 1, 2, 3, 4

DRY_AIR = 1006.0
"""Heat capacity of dry air, ASHRAE Fundamentals [J/(kg K)]."""
VAPOUR = 1860.0
"""Heat capacity of water vapour, ASHRAE Fundamentals [J/(kg K)]."""


@inner
def actuate(X, F, P, I, i, p):
    """Stop the coil and its fan or let them work: stopped, the coolant finds a dead end or goes past."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + POWERED]])
    running = X[I[i + RUNNING]]
    X[I[i + CONDUCTANCE]] = P[p + COIL] * running
    X[I[i + CAPACITY]] = P[p + LIMIT] * (running if P[p + DEAD_END] != 0.0 else 1.0)
    X[I[i + POWER]] = P[p + FAN] * running


@inner
def heat_of_vapour(temperature):
    """Return the heat that vapour gives when it becomes water [J/kg]; constants of ASHRAE Fundamentals."""
    return 2.501e6 - 2326.0 * (temperature - 273.15)


@inner
def dry(X, P, I, i, p, dt):
    """Lead outside air in and let water out of the air, for `dt` [s].

    M_a dw/dt = g_m + q_v (w_o - w) - (G_c / c_a) max(0, w - w_k), exact for steady
    surroundings.  The coil takes water as it takes heat (Lewis), where its coolant moves
    and is below the dew point; w_k belongs to the mean of what enters and leaves it.
    """
    pressure = P[p + PRESSURE]
    outside = X[I[i + OUTSIDE]]
    led_in = X[I[i + VENTILATION]]
    X[I[i + LATENT]] = 0.0
    if P[p + FOLLOWED] == 0.0:
        X[I[i + EXCHANGE]] = led_in * DRY_AIR
        return
    ratio = X[I[i + RATIO]]
    outside_ratio = humidity_ratio(X[I[i + OUTSIDE_HUMIDITY]] * saturation_pressure(outside), pressure)
    X[I[i + EXCHANGE]] = led_in * (DRY_AIR + VAPOUR * outside_ratio)
    wetting = X[I[i + GAIN]] + led_in * outside_ratio
    surface = 0.0
    wet = 0.0
    cold = 0.0
    if P[p + HAS_COIL] != 0.0 and X[I[i + FLOW]] != 0.0:
        cold = 0.5 * (X[I[i + INLET]] + X[I[i + BEHIND]])
        if ratio > saturation_ratio(cold, pressure):
            wet = X[I[i + COIL_CONDUCTANCE]] / DRY_AIR
            cold = _warmed(cold, wet, ratio, pressure, abs(X[I[i + FLOW]]) * P[p + COOLANT_HEAT])
            surface = saturation_ratio(cold, pressure)
    after, mean = _relax(
        ratio, wetting + wet * surface if wet > 0.0 else wetting, led_in + wet, P[p + AIR_MASS], dt
    )
    taken = wet * (mean - surface) if wet > 0.0 else 0.0
    if taken < 0.0:
        # it became dry within the step
        taken = 0.0
        after, mean = _relax(ratio, wetting, led_in, P[p + AIR_MASS], dt)
    X[I[i + RATIO]] = after
    X[I[i + LATENT]] = taken * heat_of_vapour(cold)


@inner
def _warmed(cold, wet, ratio, pressure, stream):
    """Return the mean temperature of coolant that is warmed by the water it takes out [K].

    T = T_dry + G_w (w - w_s(T)) h / (2 q c), by bisection: the less coolant, the less water.
    """
    low = cold
    high = cold + wet * (ratio - saturation_ratio(cold, pressure)) * heat_of_vapour(cold) / (2.0 * stream)
    high = min(high, cold + 100.0)
    for _ in range(36):
        middle = 0.5 * (low + high)
        warmer = cold + wet * (ratio - saturation_ratio(middle, pressure)) * heat_of_vapour(cold) / (
            2.0 * stream
        )
        if warmer > middle:
            low = middle
        else:
            high = middle
    return low


@inner
def _relax(ratio, wetting, drying, mass, dt):
    """Return the humidity ratio after `dt` [s], and its mean: M dw/dt = wetting - drying w."""
    if drying <= 0.0:
        after = ratio + wetting / mass * dt
        return after, 0.5 * (ratio + after)
    rest = wetting / drying
    key = drying * dt / mass
    after = rest - (rest - ratio) * math.exp(-key)
    return after, rest + (rest - ratio) * math.expm1(-key) / key


@inner
def cross(X, E, C, I, i, mass, dt):
    """Return the heat of the water that condensed on the coil, for the liquid to take [J]."""
    if mass <= 0.0:
        return 0.0
    heat = X[I[i + LATENT]] * dt
    give(X, E, C, I[i + MOISTURE], -heat)
    return heat


@inner
def observe(X, P, I, i, p):
    """Show the relative humidity, and the whole heat flow to the coolant [W]."""
    X[I[i + HUMIDITY]] = relative_humidity(X[I[i + RATIO]], X[I[i + AIR]], P[p + PRESSURE])
    X[I[i + COOLING]] = X[I[i + SENSIBLE]] + X[I[i + LATENT]]
