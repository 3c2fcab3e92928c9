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
    IT_STEADY,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JU_TANK,
    JUNCTIONS,
    MIXED,
    QU_FIRST,
    QU_J,
    QU_NRUNS,
    QU_ROOM,
    QU_RUNS,
    QU_RUNS_P,
    QUEUES,
    RUN_BELOW,
    RUN_I,
    RUN_NODE,
    RUN_P,
    RUN_RATE,
    RUN_UA,
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
def nodes_passed(X, P, I, v, run, skip, rear, rate, coldest, warmest):
    """Go on from `run` over all runs of a stretch that liquid between `skip` and `rear` [kg] passes.

    Returns the next run, the fastest rate [1/s] at which one that was met follows its node, and the
    coldest and the warmest of their nodes [K].
    """
    while run >= 0 and P[I[v + QU_RUNS_P] + run * RUN_P + RUN_BELOW] < rear:
        i = I[v + QU_RUNS] + run * RUN_I
        p = I[v + QU_RUNS_P] + run * RUN_P
        above = P[p + RUN_BELOW - RUN_P] if run > 0 else 1e18
        if I[i + RUN_NODE] >= 0 and above > skip:
            rate = max(rate, X[I[i + RUN_UA]] * P[p + RUN_RATE])
            coldest = min(coldest, X[I[i + RUN_NODE]])
            warmest = max(warmest, X[I[i + RUN_NODE]])
        run -= 1
    return run, rate, coldest, warmest


@inner
def look_at_arrivals(X, P, I, J, Q, H, branch, item, skip, seconds, here, side):
    """Return least and greatest temperature of what comes to a place in `seconds`, and how long that holds.

    Between them comes by how much at most it is warmer than `here`, or colder (side -1), over its
    mass [kg K].  The place lies `skip` [kg] from the end of an item of a branch.  Everything on its
    way is read where it stands now and as far as it may come towards what it passes.  With nothing
    on its way the least is above the greatest.
    """
    lowest = 1e18
    highest = -1e18
    surplus = 0.0
    branches = H[3 * BRANCHES + 1]
    r = branches + branch * BR_I
    flow = X[I[r + BR_FLOW]]
    if flow == 0.0:
        return lowest, highest, surplus, seconds
    if flow < 0.0:
        return lowest, highest, surplus, 0.0
    arriving = flow
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
                    return lowest, highest, surplus, elapsed
                drift = 2.0 * liquid_rate(X, I, H, tank) * seconds
                there = X[I[t + TK_NODE]] + offset
                surplus += max(side * (there - here) + drift, 0.0) * (seconds - elapsed) * arriving
                return min(lowest, there - drift), max(highest, there + drift), surplus, seconds
            feeds = only_feed(X, I, H, I[r + BR_TAIL])
            hops += 1
            if feeds < 0 or hops > HOPS:
                return lowest, highest, surplus, elapsed
            r = branches + feeds * BR_I
            flow = X[I[r + BR_FLOW]]
            item = I[r + BR_COUNT] - 1
        entry = I[r + BR_ITEMS] + item * IT_I_WIDTH
        if I[entry + IT_BLOCK] != QUEUES:
            if I[entry + IT_STEADY] == 0:
                return lowest, highest, surplus, elapsed
            offset += X[I[entry + IT_OUT]] - X[I[entry + IT_IN]]
        else:
            v = I[entry + IT_I]
            j = I[v + QU_J]
            room = I[v + QU_ROOM]
            run = I[v + QU_NRUNS] - 1
            coldest = 1e18
            warmest = -1e18
            rate = 0.0
            rear = 0.0
            place = J[j]
            for _ in range(J[j + 1]):
                q = 3 * (I[v + QU_FIRST] + place)
                place += 1
                if place == room:
                    place = 0
                rear += Q[q]
                if rear <= skip:
                    continue
                run, rate, coldest, warmest = nodes_passed(
                    X, P, I, v, run, skip, rear, rate, coldest, warmest
                )
                lasts = min(min(rear - skip, Q[q]) / flow, seconds - elapsed)
                elapsed += lasts
                part = min(rate * elapsed, 1.0)
                low = Q[q + 1] + part * min(coldest - Q[q + 1], 0.0) + offset
                high = Q[q + 1] + part * max(warmest - Q[q + 1], 0.0) + offset
                lowest = min(lowest, low)
                highest = max(highest, high)
                surplus += max(high - here if side > 0.0 else here - low, 0.0) * lasts * arriving
                if elapsed >= seconds:
                    return lowest, highest, surplus, seconds
            skip = 0.0
        item -= 1
