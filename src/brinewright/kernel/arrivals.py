"""What liquid is about to come to a place, read from the parcels on their way."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BR_TAIL,
    BRANCHES,
    IT_BLOCK,
    IT_I,
    IT_I_WIDTH,
    IT_IN,
    IT_OUT,
    IT_P,
    IT_STEADY,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JU_TANK,
    JUNCTIONS,
    MIXED,
    RUN_J,
    RUN_NODE,
    RUN_QUEUE,
    RUN_RATE,
    RUN_ROOM,
    RUN_STATE,
    RUN_UA,
    RUNS,
    S_SCALE,
    S_SHIFT,
    TANKS,
    TK_I,
    TK_JUNCTION,
    TK_LAW,
    TK_MASS,
    TK_NODE,
)

HOPS = 4
"""Junctions beyond which nothing is foreseen."""


@inner
def only_feed(X, I, H, junction):
    """Return the one branch that feeds a junction now, -1 if there are more, or liquid comes back into it."""
    branches = H[3 * BRANCHES + 1]
    u = H[3 * JUNCTIONS + 1] + junction * JU_I
    feeds = -1
    for m in range(I[u + JU_NIN]):
        b = I[I[u + JU_IN] + m]
        if X[I[branches + b * BR_I + BR_FLOW]] > 0.0:
            if feeds >= 0:
                return -1
            feeds = b
    for m in range(I[u + JU_NOUT]):
        if X[I[branches + I[I[u + JU_OUT] + m] * BR_I + BR_FLOW]] < 0.0:
            return -1
    return feeds


@inner
def liquid_rate(X, I, H, tank):
    """Return how fast what comes in now changes the temperature of a mixed tank at most [K/s]."""
    t = H[3 * TANKS + 1] + tank * TK_I
    branches = H[3 * BRANCHES + 1]
    u = H[3 * JUNCTIONS + 1] + I[t + TK_JUNCTION] * JU_I
    total = 0.0
    for side in range(2):
        first = I[u + JU_IN] if side == 0 else I[u + JU_OUT]
        for m in range(I[u + JU_NIN] if side == 0 else I[u + JU_NOUT]):
            r = branches + I[first + m] * BR_I
            flow = X[I[r + BR_FLOW]]
            if (flow > 0.0 and side == 0) or (flow < 0.0 and side == 1):
                last = I[r + BR_ITEMS] + (I[r + BR_COUNT] - 1) * IT_I_WIDTH if side == 0 else I[r + BR_ITEMS]
                shown = X[I[last + IT_OUT]] if side == 0 else X[I[last + IT_IN]]
                total += abs(flow) * abs(shown - X[I[t + TK_NODE]])
    return total / X[I[t + TK_MASS]]


@inner
def range_of_arrivals(X, P, I, J, Q, H, branch, item, seconds):
    """Return least and greatest temperature of what leaves an item in `seconds`, and how long that holds.

    Everything on its way is read where it stands now and as far as it may come towards what
    it passes.  With nothing on its way the least is above the greatest.
    """
    lowest = 1e18
    highest = -1e18
    branches = H[3 * BRANCHES + 1]
    r = branches + branch * BR_I
    flow = X[I[r + BR_FLOW]]
    if flow == 0.0:
        return lowest, highest, seconds
    if flow < 0.0:
        return lowest, highest, 0.0
    elapsed = 0.0
    offset = 0.0
    hops = 0
    while True:
        if item < 0:
            u = H[3 * JUNCTIONS + 1] + I[r + BR_TAIL] * JU_I
            tank = I[u + JU_TANK]
            if tank >= 0:
                t = H[3 * TANKS + 1] + tank * TK_I
                if I[t + TK_LAW] != MIXED:
                    return lowest, highest, elapsed
                drift = 2.0 * liquid_rate(X, I, H, tank) * seconds
                here = X[I[t + TK_NODE]] + offset
                return min(lowest, here - drift), max(highest, here + drift), seconds
            feeds = only_feed(X, I, H, I[r + BR_TAIL])
            hops += 1
            if feeds < 0 or hops > HOPS:
                return lowest, highest, elapsed
            r = branches + feeds * BR_I
            flow = X[I[r + BR_FLOW]]
            item = I[r + BR_COUNT] - 1
        entry = I[r + BR_ITEMS] + item * IT_I_WIDTH
        if I[entry + IT_BLOCK] != RUNS:
            if I[entry + IT_STEADY] == 0:
                return lowest, highest, elapsed
            offset += X[I[entry + IT_OUT]] - X[I[entry + IT_IN]]
        else:
            i = I[entry + IT_I]
            x = I[i + RUN_STATE]
            j = I[i + RUN_J]
            part = 0.0
            toward = 0.0
            if I[i + RUN_NODE] >= 0:
                part = min(X[I[i + RUN_UA]] * P[I[entry + IT_P] + RUN_RATE] * seconds, 1.0)
                toward = X[I[i + RUN_NODE]]
            for k in range(J[j + 1]):
                place = J[j] + k
                if place >= I[i + RUN_ROOM]:
                    place -= I[i + RUN_ROOM]
                q = 3 * (I[i + RUN_QUEUE] + place)
                here = X[x + S_SCALE] * Q[q + 1] + X[x + S_SHIFT]
                there = here + part * (toward - here)
                lowest = min(lowest, min(here, there) + offset)
                highest = max(highest, max(here, there) + offset)
                elapsed += Q[q] / flow
                if elapsed >= seconds:
                    return lowest, highest, seconds
        item -= 1
