"""Laws of the chiller."""

import math

from brinewright.jit import inner
from brinewright.laws.state import give, put

COMMAND, RUNNING, COOLING, POWER, REJECT, PERFORMANCE, METAL, POWERED, ELECTRICITY, DECLARED = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9
)  # fmt: skip
DROP, CAPACITY, UNIT_POWER, PROPORTIONAL, POWER_SHARE, SELF_HEAT, FLOW_PROOF, COUNT = 0, 1, 2, 3, 4, 5, 6, 7

GIVEN, LEVEL = 0, 1
COVERED, BARE, COVER_LEVEL = 0, 1, 2


@inner
def cover(X, P, I, i, p):
    """Let the metal give its heat to liquid that covers it, or only to what is left without [W/K]."""
    covered = X[I[i + LEVEL]] > 0.0 and X[I[i + LEVEL]] >= P[p + COVER_LEVEL]
    X[I[i + GIVEN]] = P[p + COVERED] if covered else P[p + BARE]


@inner
def cross_fixed_drop(X, E, C, F, P, I, i, p, mass, cp, dt):
    """Take a fixed drop off every kilogram that passes; return the heat that the liquid takes [J].

    T_out = T_in - drop; the metal gets the heat, a share of the power and the self-heat.
    Units run as many as the flow needs.
    """
    flow = mass / dt
    running = X[I[i + COMMAND]] * X[I[i + POWERED]]
    if flow < P[p + FLOW_PROOF] or mass <= 0.0:
        running = 0.0
    units = min(math.ceil(flow / P[p + CAPACITY] - 1e-9), P[p + COUNT])
    put(X, F, I[i + RUNNING], running * units / P[p + COUNT])
    if X[I[i + RUNNING]] <= 0.0 or mass <= 0.0:
        X[I[i + COOLING]] = 0.0
        X[I[i + POWER]] = 0.0
        X[I[i + REJECT]] = 0.0
        X[I[i + PERFORMANCE]] = 0.0
        return 0.0
    taken = mass * cp * P[p + DROP]
    drawn = P[p + UNIT_POWER] * (flow / P[p + CAPACITY] if P[p + PROPORTIONAL] != 0.0 else units)
    shared = P[p + POWER_SHARE] * drawn * dt
    own = P[p + SELF_HEAT] * units * dt
    give(X, E, C, I[i + METAL], taken + shared + own)
    give(X, E, C, I[i + ELECTRICITY], -shared)
    give(X, E, C, I[i + DECLARED], -own)
    X[I[i + COOLING]] = taken / dt
    X[I[i + POWER]] = drawn
    X[I[i + REJECT]] = (taken + shared + own) / dt
    X[I[i + PERFORMANCE]] = taken / (drawn * dt) if drawn > 0.0 else 0.0
    return -taken
