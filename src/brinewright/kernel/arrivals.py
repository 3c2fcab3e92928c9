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
    QU_FIRST,
    QU_J,
    QU_MASS,
    QU_NRUNS,
    QU_ROOM,
    QU_RUNS,
    QU_RUNS_P,
    QUEUES,
    RUN_BELOW,
    RUN_I,
    RUN_MASS,
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
from brinewright.kernel.parcels import relaxed

HOPS = 4
"""Junctions beyond which nothing is foreseen."""
UNSURE = 0.1
"""Share by which a change on the way may be other than foreseen."""


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
def pass_runs(X, P, I, R, v, run, first, at, full, until, flow, elapsed, keeps, adds):
    """Go on, upstream from `at`, through runs of a stretch that end before `until` [kg] from its outlet.

    Liquid from there comes to the place that is looked from at `keeps` times its temperature, plus
    `adds` [K]; it meets these runs in `elapsed` seconds.  Returns the next run, where it begins, and
    the two, after what these runs do to it.  `first` and all before it are left.
    """
    while run > first:
        r = I[v + QU_RUNS_P] + run * RUN_P
        ends = P[r - RUN_P + RUN_BELOW] if run > 0 else full
        if ends > until:
            break
        node = I[I[v + QU_RUNS] + run * RUN_I + RUN_NODE]
        if node >= 0 and ends > at:
            rate = X[I[I[v + QU_RUNS] + run * RUN_I + RUN_UA]] * P[r + RUN_RATE]
            share = keeps * relaxed(rate * (ends - at) / flow)
            adds += share * (X[node] + R[node] * elapsed)
            keeps -= share
        at = max(at, ends)
        run -= 1
    return run, at, keeps, adds


@inner
def as_it_comes(X, P, I, R, v, run, way, elapsed, temperature):
    """Return how warm liquid in a run of a stretch is when it has been in it for `way` more seconds [K]."""
    node = I[I[v + QU_RUNS] + run * RUN_I + RUN_NODE]
    if node < 0:
        return temperature
    rate = X[I[I[v + QU_RUNS] + run * RUN_I + RUN_UA]] * P[I[v + QU_RUNS_P] + run * RUN_P + RUN_RATE]
    return temperature + (X[node] + 0.5 * R[node] * elapsed - temperature) * relaxed(rate * way)


@inner
def met_behind(X, P, I, v, place, mass, lasts, temperature, side):
    """Return by how much runs behind a place may warm a parcel that lies across it, or cool it (side -1) [K].

    It goes past the place in `lasts` seconds.  A parcel has one temperature, so what its front meets is
    read at the place too; at most the whole of it lies in what is behind.
    """
    change = 0.0
    for run in range(I[v + QU_NRUNS] - 1, -1, -1):
        r = I[v + QU_RUNS_P] + run * RUN_P
        ends = P[r + RUN_BELOW]
        if ends >= place:
            break
        inside = min(ends + P[r + RUN_MASS], place) - max(ends, place - mass)
        node = I[I[v + QU_RUNS] + run * RUN_I + RUN_NODE]
        if node >= 0 and inside > 0.0:
            rate = X[I[I[v + QU_RUNS] + run * RUN_I + RUN_UA]] * P[r + RUN_RATE]
            change += max(side * (X[node] - temperature), 0.0) * relaxed(rate * inside / mass * lasts)
    return change


@inner
def look_inside(I, J, Q, H, branch, item, near, far, lowest, highest):
    """Return least and greatest temperature of what stands in a part of a stretch, and of two others [K].

    It reaches from `near` to `far` [kg] before the end of the stretch.
    """
    v = I[I[H[3 * BRANCHES + 1] + branch * BR_I + BR_ITEMS] + item * IT_I_WIDTH + IT_I]
    j = I[v + QU_J]
    place = J[j]
    rear = 0.0
    for _ in range(J[j + 1]):
        q = 3 * (I[v + QU_FIRST] + place)
        place += 1
        if place == I[v + QU_ROOM]:
            place = 0
        if rear >= far:
            break
        rear += Q[q]
        if rear > near:
            lowest = min(lowest, Q[q + 1])
            highest = max(highest, Q[q + 1])
    return lowest, highest


@inner
def look_at_arrivals(X, P, I, J, Q, H, R, branch, item, skip, seconds, here, side):
    """Return least and greatest temperature of what comes to a place in `seconds`, and how long that holds.

    Between them comes by how much at most it is warmer than `here`, or colder (side -1), over its
    mass [kg K].  The place lies `skip` [kg] from the end of an item of a branch.  Everything on its
    way is taken as it will be when it comes, give or take a share of how it changes until then.
    With nothing on its way the least is above the greatest.
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
    keeps = 1.0
    adds = 0.0
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
                drift = keeps * drift + UNSURE * abs((keeps - 1.0) * X[I[t + TK_NODE]] + adds - offset)
                there = keeps * X[I[t + TK_NODE]] + adds
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
            gained = X[I[entry + IT_OUT]] - X[I[entry + IT_IN]]
            offset += gained
            adds += keeps * gained
        else:
            v = I[entry + IT_I]
            j = I[v + QU_J]
            room = I[v + QU_ROOM]
            full = P[I[entry + IT_P] + QU_MASS]
            run = I[v + QU_NRUNS] - 1
            at = skip
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
                middle = 0.5 * (max(rear - Q[q], skip) + rear)
                run, at, keeps, adds = pass_runs(
                    X, P, I, R, v, run, 0, at, full, middle, flow, elapsed, keeps, adds
                )
                comes = as_it_comes(X, P, I, R, v, run, (middle - at) / flow, elapsed, Q[q + 1])
                comes = keeps * comes + adds
                unsure = UNSURE * abs(comes - Q[q + 1] - offset)
                lasts = min(min(rear - skip, Q[q]) / flow, seconds - elapsed)
                elapsed += lasts
                lowest = min(lowest, comes - unsure)
                highest = max(highest, comes + unsure)
                surplus += max(side * (comes - here) + unsure, 0.0) * lasts * arriving
                if elapsed >= seconds:
                    return lowest, highest, surplus, seconds
            run, at, keeps, adds = pass_runs(
                X, P, I, R, v, run, -1, at, full, full, flow, elapsed, keeps, adds
            )
            skip = 0.0
        item -= 1
