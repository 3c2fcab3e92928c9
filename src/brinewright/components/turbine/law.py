"""Laws of the turbine."""

import math

from brinewright.fluids.closures import TWO_PHASE, state_from_p_h, state_from_p_s
from brinewright.fluids.saturation import saturation_line, saturation_pressure
from brinewright.fluids.steam import steam_state
from brinewright.jit import inner
from brinewright.laws.expansion import inlet_pressure, specific_work, swallowed_flow
from brinewright.laws.state import BUSY, give, stroke

COMMAND, SIGNAL, RUNNING, STEAM, TAKEN, GENERATED, CASING_HEAT, CASING = 0, 1, 2, 3, 4, 5, 6, 7
ELECTRICITY, RETURN, VESSEL, VESSEL_MASS, STEAM_OUT, FLUX, ENTHALPY = 8, 9, 10, 11, 12, 13, 14
HOTWELL, HOT_WATER, BLOCKED, LIMIT, RETURNED, PUMPED, LOST, LOST_HEAT = 15, 16, 17, 18, 19, 20, 21, 22
UNACCOUNTED, DRIFT = 23, 24
PRESSURE, STEAM_PRESSURE, ENTROPY, CONDENSER_HEAT, CONDENSER, EXIT_DRYNESS, CONDENSATE = (
    23,
    24,
    25,
    26,
    27,
    28,
    29,
)
SHARE, MOVES, SITE, SINK, SINK_STREAM, SINK_MOST = 30, 31, 32, 33, 34, 35

RATE, DELAY = 0, 1
STEAM_FLOW, RETURN_ENTHALPY, EFFICIENCY, POWER_LIMIT, SHARE_OF, CASING_SHARE, CASING_FIXED = (
    2,
    3,
    4,
    5,
    6,
    7,
    8,
)
COUNT, FLOW_0, INLET_0, EXHAUST_0, TEMPERATURE_0, HELD, ISENTROPIC, MECHANICAL, GENERATOR = (
    2, 3, 4, 5, 6, 7, 8, 9, 10
)  # fmt: skip
TO_CASING, HIGHEST, STEAM_CONDUCTANCE, FIXED_TEMPERATURE, CONDENSER_CONDUCTANCE, SUBCOOLING, BY_LIQUID = (
    11, 12, 13, 14, 15, 16, 17
)  # fmt: skip

BAND = 0.05
"""Proportional band of the governor, as a share of the pressure that it holds [-]."""
MOST_OF_THE_WATER = 0.5
"""Share of the vessel's content that one step may draw at most [-]."""
NO_LIMIT = 1e20
"""A stream above this carries any heat away without getting warmer [W/K]."""


@inner
def actuate(X, F, P, I, i, p, dt):
    """Run while the vessel is above what it needs, it is told to, and its hotwell is not full."""
    target = X[I[i + COMMAND]] * X[I[i + SIGNAL]] * (1.0 - X[I[i + BLOCKED]])
    stroke(X, F, I[i + RUNNING], target, P[p + RATE] * dt)


@inner
def actuate_expansion(X, F, P, I, i, p, dt):
    """Run as `actuate` says; while the governor moves, the plant is busy."""
    actuate(X, F, P, I, i, p, dt)
    if X[I[i + MOVES]] != 0.0:
        X[BUSY] = 1.0


@inner
def condense(X, E, P, I, i, p, formed, enthalpy, dt):
    """Put condensate [kg] into the hotwell; return the heat that goes back with what leaves it [J].

    Liquid stays in the hotwell for a mean time: dm/dt = q - m / tau.  A pump that serves the
    turbine says how much may leave; without one, what does not return is lost.
    """
    well = I[i + HOTWELL]
    heat = I[i + HOT_WATER]
    share = X[I[i + RETURN]]
    if X[I[i + PUMPED]] == 0.0 and share < 1.0:
        lost = formed * (1.0 - share)
        X[I[i + LOST]] += lost
        E[I[i + LOST_HEAT]] += lost * enthalpy
        formed -= lost
        share = 1.0
    held = X[well]
    X[well] = held + formed
    E[heat] += formed * enthalpy
    leaves = held + formed
    if P[p + DELAY] > 0.0:
        stays = math.exp(-dt / P[p + DELAY])
        leaves -= held * stays + formed * P[p + DELAY] / dt * (1.0 - stays)
    leaves = min(leaves * share, X[I[i + LIMIT]] * dt)
    if leaves <= 0.0:
        X[I[i + RETURNED]] = 0.0
        return 0.0
    warm = E[heat] * leaves / X[well]
    X[well] -= leaves
    E[heat] -= warm
    X[I[i + VESSEL_MASS]] += leaves
    X[I[i + RETURNED]] = leaves / dt
    return warm


@inner
def draw(X, E, C, I, i, flow, enthalpy, back, dt):
    """Take steam [kg/s] out of the vessel, with its enthalpy [J/kg], and put what comes back [J] into it."""
    change = back - flow * enthalpy * dt
    give(X, E, C, I[i + VESSEL], change)
    X[I[i + FLUX]] += change / dt
    X[I[i + STEAM_OUT]] += flow
    X[I[i + VESSEL_MASS]] -= flow * dt


@inner
def act_threshold(X, E, C, P, I, i, p, dt):
    """Take steam and return condensate: Phi = q (h - h_ret); power, casing, the rest unaccounted for [W].

    In a lump h = c_w T + h_fg and h_ret = c_w T_ret.  In a step of n ticks h is the mean of
    what it is before each of them, if it goes on as it went.
    """
    running = X[I[i + RUNNING]]
    flow = min(running * P[p + STEAM_FLOW], MOST_OF_THE_WATER * X[I[i + VESSEL_MASS]] / dt)
    if flow <= 0.0:
        X[I[i + STEAM]] = 0.0
        X[I[i + TAKEN]] = 0.0
        X[I[i + GENERATED]] = 0.0
        X[I[i + CASING_HEAT]] = 0.0
        draw(X, E, C, I, i, 0.0, 0.0, condense(X, E, P, I, i, p, 0.0, 0.0, dt), dt)
        return
    enthalpy = X[I[i + ENTHALPY]] + 0.5 * (dt - 1.0) * X[I[i + DRIFT]]
    returned = min(P[p + RETURN_ENTHALPY], enthalpy)
    taken = flow * (enthalpy - returned)
    power = min(P[p + EFFICIENCY] * taken, P[p + POWER_LIMIT] * running)
    base = taken
    if P[p + SHARE_OF] == 1.0:
        base = power
    elif P[p + SHARE_OF] == 2.0:
        base = taken - power
    casing = P[p + CASING_SHARE] * base + P[p + CASING_FIXED] * running
    give(X, E, C, I[i + CASING], casing * dt)
    give(X, E, C, I[i + ELECTRICITY], power * dt)
    give(X, E, C, I[i + UNACCOUNTED], (taken - power - casing) * dt)
    draw(X, E, C, I, i, flow, enthalpy, condense(X, E, P, I, i, p, flow * dt, returned, dt), dt)
    X[I[i + STEAM]] = flow
    X[I[i + TAKEN]] = taken
    X[I[i + GENERATED]] = power
    X[I[i + CASING_HEAT]] = casing


@inner
def passage(P, W, p, share, inlet, temperature, enthalpy, entropy, exhaust):
    """Return the flow of one unit [kg/s] and its work [J/kg] with a share of the flow that it could swallow.

    The governor's valve brings the steam to the pressure that drives just this flow, at
    constant enthalpy; then it expands with the isentropic efficiency.
    """
    flow = share * swallowed_flow(
        P[p + FLOW_0], temperature, inlet, exhaust, P[p + TEMPERATURE_0], P[p + INLET_0], P[p + EXHAUST_0]
    )
    if flow <= 0.0:
        return 0.0, 0.0
    if share < 1.0:
        behind = inlet
        warmth, dryness, region = temperature, 1.0, TWO_PHASE
        for _ in range(3):
            behind = inlet_pressure(
                flow, warmth, exhaust, P[p + FLOW_0], P[p + TEMPERATURE_0], P[p + INLET_0], P[p + EXHAUST_0]
            )
            warmth, dryness, region = state_from_p_h(W, behind, enthalpy)
        if region == TWO_PHASE:
            _, _, _, _, _, _, _, sf, sg = saturation_line(W, warmth)
            entropy = sf + dryness * (sg - sf)
        else:
            _, _, _, entropy, _ = steam_state(W, warmth, behind)
    ideal, _, _, _ = state_from_p_s(W, exhaust, entropy)
    return flow, specific_work(enthalpy, ideal, P[p + ISENTROPIC])


@inner
def governed(X, P, I, i, p):
    """Return the share of the flow that the governor lets pass: proportional, about the pressure it holds."""
    held = P[p + HELD]
    if held <= 0.0:
        return 1.0
    return min(max(0.5 + (X[I[i + PRESSURE]] - held) / (BAND * held), 0.0), 1.0)


@inner
def expand(X, E, C, P, I, W, i, p, cold, stream, most, dt):
    """Expand steam to the condenser; return the heat that the condenser gives to its cooling [J].

    The condensing temperature is that at which eps C (T_c - T_in) = q (h_2 - h_f), with
    eps = 1 - exp(-UA / C); the flow is that of Stodola, throttled for the pressure held, the
    highest power and the most that the cooling takes.
    """
    fixed = P[p + FIXED_TEMPERATURE]
    conductance = P[p + CONDENSER_CONDUCTANCE]
    carried = conductance if stream > NO_LIMIT else 0.0
    if 0.0 < stream <= NO_LIMIT:
        carried = -stream * math.expm1(-conductance / stream)
    allowed = X[I[i + RUNNING]] * governed(X, P, I, i, p)
    temperature = X[I[i + VESSEL]]
    inlet = X[I[i + STEAM_PRESSURE]]
    enthalpy = X[I[i + ENTHALPY]]
    count = P[p + COUNT]
    if allowed <= 0.0 or carried + fixed <= 0.0 or stream <= 0.0 or X[I[i + VESSEL_MASS]] <= 0.0:
        X[I[i + STEAM]] = 0.0
        X[I[i + TAKEN]] = 0.0
        X[I[i + GENERATED]] = 0.0
        X[I[i + CASING_HEAT]] = 0.0
        X[I[i + CONDENSER_HEAT]] = 0.0
        X[I[i + CONDENSER]] = fixed if fixed > 0.0 else cold
        X[I[i + CONDENSATE]] = X[I[i + CONDENSER]] - P[p + SUBCOOLING]
        X[I[i + EXIT_DRYNESS]] = 1.0
        X[I[i + MOVES]] = 0.0
        draw(X, E, C, I, i, 0.0, 0.0, condense(X, E, P, I, i, p, 0.0, 0.0, dt), dt)
        return 0.0
    share = min(X[I[i + SHARE]], allowed) if X[I[i + SHARE]] > 0.0 else allowed
    condensing = fixed if fixed > 0.0 else min(max(X[I[i + CONDENSER]], cold), temperature)
    leak = P[p + STEAM_CONDUCTANCE] * (temperature - X[I[i + CASING]]) * X[I[i + RUNNING]]
    efficiency = P[p + MECHANICAL] * P[p + GENERATOR]
    flow, work, heat, power, liquid = 0.0, 0.0, 0.0, 0.0, 0.0
    before, wanted_before = -1.0, 0.0
    for _ in range(60):
        exhaust = saturation_pressure(W, condensing)[0]
        flow, work = passage(P, W, p, share, inlet, temperature, enthalpy, X[I[i + ENTROPY]], exhaust)
        flow = min(flow * count, MOST_OF_THE_WATER * X[I[i + VESSEL_MASS]] / dt)
        liquid = saturation_line(W, condensing - P[p + SUBCOOLING])[5]
        heat = max(flow * (enthalpy - work - liquid) - leak, 0.0)
        power = flow * work * efficiency
        next_share = allowed
        if power > 0.0:
            next_share = min(next_share, share * P[p + HIGHEST] / power)
        if heat > 0.0:
            next_share = min(next_share, share * most / heat)
        wanted = fixed if fixed > 0.0 else cold + heat / carried
        slope = 0.0
        if before > 0.0 and abs(condensing - before) > 1e-9:
            slope = min(max((wanted - wanted_before) / (condensing - before), -1e3), 0.0)
        before, wanted_before = condensing, wanted
        change = (wanted - condensing) / (1.0 - slope)
        if abs(change) < 1e-6 and abs(next_share - share) < 1e-7:
            break
        condensing = min(max(condensing + change, min(cold, temperature)), temperature)
        share = next_share
    if flow <= 0.0:
        leak = 0.0
    loss = flow * work - power
    casing = P[p + TO_CASING] * loss + leak
    heat = flow * (enthalpy - work - liquid) - leak
    give(X, E, C, I[i + CASING], casing * dt)
    give(X, E, C, I[i + SITE], (1.0 - P[p + TO_CASING]) * loss * dt)
    give(X, E, C, I[i + ELECTRICITY], power * dt)
    draw(X, E, C, I, i, flow, enthalpy, condense(X, E, P, I, i, p, flow * dt, liquid, dt), dt)
    _, _, _, _, _, hf, hg, _, _ = saturation_line(W, condensing)
    X[I[i + MOVES]] = 1.0 if abs(share - X[I[i + SHARE]]) > 0.005 else 0.0
    X[I[i + SHARE]] = share
    X[I[i + STEAM]] = flow
    X[I[i + TAKEN]] = flow * (enthalpy - liquid)
    X[I[i + GENERATED]] = power
    X[I[i + CASING_HEAT]] = casing
    X[I[i + CONDENSER_HEAT]] = heat
    X[I[i + CONDENSER]] = condensing
    X[I[i + CONDENSATE]] = condensing - P[p + SUBCOOLING]
    X[I[i + EXIT_DRYNESS]] = min((enthalpy - work - hf) / (hg - hf), 1.0)
    return heat * dt


@inner
def act_expansion(X, E, C, P, I, W, i, p, dt):
    """Expand steam to a condenser that a sink cools; one that liquid cools does it as the liquid passes."""
    if P[p + BY_LIQUID] != 0.0:
        return
    sink = I[i + SINK]
    heat = expand(X, E, C, P, I, W, i, p, X[sink], X[I[i + SINK_STREAM]], X[I[i + SINK_MOST]], dt)
    give(X, E, C, sink, heat)


@inner
def cross_condenser(X, E, C, P, I, W, i, p, mass, temperature, cp, dt):
    """Expand steam to a condenser that this liquid cools; return the heat that the liquid takes [J]."""
    return expand(X, E, C, P, I, W, i, p, temperature, mass * cp / dt, 1e30, dt)
