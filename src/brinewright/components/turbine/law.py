"""Laws of the turbine."""

from brinewright.jit import inner
from brinewright.laws.state import give, stroke

COMMAND, SIGNAL, RUNNING, STEAM, TAKEN, GENERATED, CASING_HEAT, VESSEL, VESSEL_MASS, CASING = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9
)  # fmt: skip
ELECTRICITY, UNACCOUNTED, RETURN, LOST = 10, 11, 12, 13
RATE, STEAM_FLOW, T_RETURN, WATER_HEAT, LATENT, EFFICIENCY, HIGHEST, SHARE_OF, SHARE, FIXED = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9
)  # fmt: skip


@inner
def actuate_threshold(X, F, P, I, i, p, dt):
    """Run while the vessel is above the threshold and nothing stops it."""
    stroke(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + SIGNAL]], P[p + RATE] * dt)


@inner
def act_threshold(X, E, C, P, I, i, p, dt):
    """Take steam and return condensate: Phi = q (c_w (T - T_ret) + h); power, casing, the rest unaccounted for.

    Where the condensate does not return, its mass and warmth leave the vessel too.
    """
    running = X[I[i + RUNNING]]
    if running <= 0.0:
        X[I[i + STEAM]] = 0.0
        X[I[i + TAKEN]] = 0.0
        X[I[i + GENERATED]] = 0.0
        X[I[i + CASING_HEAT]] = 0.0
        return
    vessel = I[i + VESSEL]
    flow = running * P[p + STEAM_FLOW]
    mass = I[i + VESSEL_MASS]
    lost = flow * (1.0 - X[I[i + RETURN]]) * dt
    if lost > 0.0:
        lost = min(lost, X[mass])
        X[mass] -= lost
        X[I[i + LOST]] += lost
        warmth = lost * P[p + WATER_HEAT] * P[p + T_RETURN]
        give(X, E, C, vessel, -warmth)
        give(X, E, C, I[i + UNACCOUNTED], warmth)
    taken = max(flow * (P[p + WATER_HEAT] * (X[vessel] - P[p + T_RETURN]) + P[p + LATENT]), 0.0)
    if X[mass] <= 0.0:
        taken = 0.0
    power = min(P[p + EFFICIENCY] * taken, P[p + HIGHEST] * running)
    base = taken
    if P[p + SHARE_OF] == 1.0:
        base = power
    elif P[p + SHARE_OF] == 2.0:
        base = taken - power
    casing = P[p + SHARE] * base + P[p + FIXED] * running
    give(X, E, C, vessel, -taken * dt)
    give(X, E, C, I[i + CASING], casing * dt)
    give(X, E, C, I[i + ELECTRICITY], power * dt)
    give(X, E, C, I[i + UNACCOUNTED], (taken - power - casing) * dt)
    X[I[i + STEAM]] = flow
    X[I[i + TAKEN]] = taken
    X[I[i + GENERATED]] = power
    X[I[i + CASING_HEAT]] = casing
