"""Laws of the steam vessel."""

import math

from brinewright.fluids.closures import LIQUID, TWO_PHASE, vessel_capacity, vessel_state
from brinewright.fluids.layout import HIGHEST_SATURATION, LOWEST_TEMPERATURE
from brinewright.fluids.saturation import saturation_line, two_phase_energy
from brinewright.fluids.steam import steam_derivatives
from brinewright.jit import compiled, inner

NODE, MASS, LEVEL, METAL, DRYNESS, HEAT_IN, STEAM_OUT, LOSS, FLUX, ENTHALPY, SITE, LAST = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11
)  # fmt: skip
DRIFT, BEFORE = 12, 13
PRESSURE, STEAM_PRESSURE, ENTROPY, DENSITY, OUTSIDE = 14, 15, 16, 17, 18
METAL_CAPACITY, LOSS_CONDUCTANCE, VOLUME, LYING = 0, 1, 2, 3
WATER_HEAT, BOILS, LATENT = 4, 5, 6
AIR_MASS = 4

WATER = 1000.0
"""Density at which a declared lump's level is counted [kg/m3]."""
AIR_CONSTANT, AIR_HEAT = 287.05, 718.0
"""Gas constant and heat capacity at constant volume of air [J/(kg K)]."""
LEAST_GAS_SPACE = 1e-3
"""Share of the vessel that stays to air when water fills the rest: it can't be pressed to nothing."""
CLOSE = 1e-7
"""A change this small ends the search for the temperature [K]."""
SQUARES = 1e-4
"""A change this small of Newton's is right to 1e-9 [K]: its error goes with the square."""
EDGE = 1e-6
"""Dryness so near to its ends is looked at with more care [-]."""
ELSEWHERE = -9
"""What is not steam over water."""


@inner
def prepare(X, I, i):
    """Forget what was drawn in the step before."""
    X[I[i + FLUX]] = 0.0
    X[I[i + STEAM_OUT]] = 0.0


@compiled
def level_of(share: float, lying: float) -> float:
    """Level in a vessel of which a share is liquid, [-].

    share = (a - sin a) / (2 pi),  level = (1 - cos(a / 2)) / 2  in a lying one

    Parameters
    ----------
    share : of the volume that is liquid [-]
    lying : 1 for a lying cylinder, 0 for an upright one [-]

    Example
    -------
    >>> level_of(0.3, 0.0), round(level_of(0.5, 1.0), 9), round(level_of(0.19550, 1.0), 4)
    (0.3, 0.5, 0.25)

    References
    ----------
    Area of a segment of a circle.
    """
    if share <= 0.0:
        return 0.0
    if share >= 1.0:
        return 1.0
    if lying == 0.0:
        return share
    low, high = 0.0, 2.0 * math.pi
    angle = math.pi
    for _ in range(60):
        over = angle - math.sin(angle) - 2.0 * math.pi * share
        if over > 0.0:
            high = angle
        else:
            low = angle
        slope = 1.0 - math.cos(angle)
        new = angle - over / slope if slope > 1e-9 else low
        if not low < new < high:
            new = 0.5 * (low + high)
        if abs(new - angle) < 1e-12:
            break
        angle = new
    return 0.5 * (1.0 - math.cos(0.5 * angle))


@inner
def settle_lump(X, E, C, P, I, i, p):
    """Bring the lump's temperature in step with its energy: T = U / (M c_w + C_m) [K]."""
    node = I[i + NODE]
    mass = X[I[i + MASS]]
    C[node] = 1.0 / (mass * P[p + WATER_HEAT] + P[p + METAL_CAPACITY])
    X[node] = E[node] * C[node]
    X[I[i + METAL]] = X[node]
    X[I[i + LEVEL]] = level_of(mass / (WATER * P[p + VOLUME]), P[p + LYING])
    X[I[i + DRYNESS]] = 1.0 if X[node] > P[p + BOILS] else 0.0
    X[I[i + ENTHALPY]] = P[p + WATER_HEAT] * X[node] + P[p + LATENT]


@inner
def _two_phase(W, total, mass, volume, rest, guess):
    """Return temperature, saturation line, dryness, heat capacity and region of a charge of steam over water.

    Newton; a region below zero tells that it is something else, or near its ends.
    """
    found = min(max(guess, LOWEST_TEMPERATURE), HIGHEST_SATURATION)
    capacity = 0.0
    change = 0.0
    for _ in range(12):
        energy, slope, _ = two_phase_energy(W, found, volume)
        capacity = mass * slope
        change = (total - rest * found - mass * energy) / (capacity + rest)
        found += change
        if abs(change) < SQUARES:
            break
    line = saturation_line(W, found)
    vf, vg = line[1], line[2]
    dryness = (volume - vf) / (vg - vf)
    inside = EDGE < dryness < 1.0 - EDGE and LOWEST_TEMPERATURE < found < HIGHEST_SATURATION
    return found, line, dryness, capacity, TWO_PHASE if inside and abs(change) < SQUARES else ELSEWHERE


@inner
def _any_phase(W, total, mass, volume, rest, guess):
    """Return temperature, pressure, dryness, heat capacity and region of whatever a vessel holds.

    Newton, kept between bounds, because the heat capacity of the water jumps where the last
    liquid or steam goes.
    """
    low, high = 200.0, 2000.0
    found, pressure, dryness, region = guess, 0.0, 0.0, TWO_PHASE
    capacity = 0.0
    for _ in range(60):
        found, pressure, dryness, region = vessel_state(W, volume, (total - rest * guess) / mass, guess)
        capacity = mass * vessel_capacity(W, volume, found, pressure, region)
        if found > guess:
            low = guess
        else:
            high = guess
        new = guess + (found - guess) / (1.0 + rest / capacity)
        if not low <= new <= high:
            new = 0.5 * (low + high)
        change = new - guess
        guess = new
        if abs(change) < CLOSE:
            break
    return found, pressure, dryness, capacity, region


@inner
def settle_two_phase(X, E, C, P, I, W, i, p):
    """Find temperature, pressure and dryness from energy and mass: U = M u(T, V / M) + (C_m + m_a c_v) T.

    The metal, the water and the air are at one temperature.
    """
    node = I[i + NODE]
    mass = max(X[I[i + MASS]], 1e-6)
    volume = P[p + VOLUME] / mass
    rest = P[p + METAL_CAPACITY] + P[p + AIR_MASS] * AIR_HEAT
    # with the heat capacity of the step before, what came in tells nearly where it ends
    guess = X[node] + (E[node] - X[I[i + LAST]]) * C[node]
    found, line, dryness, capacity, region = _two_phase(W, E[node], mass, volume, rest, guess)
    pressure = line[0]
    if region != TWO_PHASE:
        found, pressure, dryness, capacity, region = _any_phase(W, E[node], mass, volume, rest, X[node])
        line = saturation_line(W, found)
    _, vf, vg, _, _, _, hg, _, sg = line
    liquid = 0.0
    if region == LIQUID or dryness <= 0.0:
        liquid = P[p + VOLUME]
        X[I[i + ENTHALPY]] = (E[node] - rest * found) / mass + pressure * volume
        X[I[i + ENTROPY]] = sg
        X[I[i + DENSITY]] = 1.0 / volume
    elif region == TWO_PHASE or dryness < 1.0:
        liquid = (1.0 - dryness) * mass * vf
        X[I[i + ENTHALPY]] = hg
        X[I[i + ENTROPY]] = sg
        X[I[i + DENSITY]] = 1.0 / vg
    else:
        p_steam, u, s, _, _, _ = steam_derivatives(W, found, 1.0 / volume)
        X[I[i + ENTHALPY]] = u + p_steam * volume
        X[I[i + ENTROPY]] = s
        X[I[i + DENSITY]] = 1.0 / volume
    gas = max(P[p + VOLUME] - liquid, LEAST_GAS_SPACE * P[p + VOLUME])
    C[node] = 1.0 / (capacity + rest)
    X[node] = found
    X[I[i + METAL]] = found
    X[I[i + STEAM_PRESSURE]] = pressure
    X[I[i + PRESSURE]] = pressure + P[p + AIR_MASS] * AIR_CONSTANT * found / gas
    X[I[i + DRYNESS]] = min(max(dryness, 0.0), 1.0)
    X[I[i + LEVEL]] = level_of(liquid / P[p + VOLUME], P[p + LYING])
    X[I[i + OUTSIDE]] = 1.0 if region < 0 else 0.0


@inner
def observe(X, E, P, I, i, p, dt):
    """Show what the vessel loses and what it is given [W]: dU/dt = Phi_in + Phi_steam - Phi_loss."""
    node = I[i + NODE]
    loss = P[p + LOSS_CONDUCTANCE] * (X[node] - X[I[i + SITE]])
    X[I[i + LOSS]] = loss
    X[I[i + HEAT_IN]] = (E[node] - X[I[i + LAST]]) / dt - X[I[i + FLUX]] + loss
    X[I[i + LAST]] = E[node]
    X[I[i + DRIFT]] = (X[I[i + ENTHALPY]] - X[I[i + BEFORE]]) / dt
    X[I[i + BEFORE]] = X[I[i + ENTHALPY]]
