"""How many ticks may be stepped over because nothing is decided in them.

Plug flow already holds what will reach a sensor, so its switch can be foreseen exactly.  A
slow reading (tank, room, vessel) is bounded by its rate, by how that may bend, and by the
liquid on its way to it.  Whatever is decided is followed by a single tick that shows its effect.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.arrivals import HOPS, only_feed, range_of_arrivals
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BR_TAIL,
    BRANCHES,
    FIRST_IN_FIRST_OUT,
    FO_END,
    FO_I,
    FO_J,
    FO_N,
    FO_P,
    FO_POINTS,
    FORCES,
    H_SWITCHES,
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
    LO_CLOCK,
    LO_DOES,
    LO_I,
    LO_OFF,
    LO_ON,
    LO_OUT,
    LO_P,
    LOGICS,
    MIXED,
    NATURE_FAST,
    NATURE_PIPE,
    NATURE_SLOW,
    RUN_CP,
    RUN_J,
    RUN_NODE,
    RUN_QUEUE,
    RUN_ROOM,
    RUN_STATE,
    RUN_UA,
    RUNS,
    S_MASS,
    S_SCALE,
    S_SHIFT,
    SC_I,
    SC_J,
    SC_N,
    SC_P,
    SC_PERIOD,
    SC_POINTS,
    SCHEDULES,
    SE_BRANCH,
    SE_FROM_OUTLET,
    SE_I,
    SE_ITEM,
    SE_PW,
    SENSORS,
    SW_BEND,
    SW_DIFFERENTIAL,
    SW_EDGES,
    SW_I,
    SW_NATURE,
    SW_NEDGES,
    SW_NODE,
    SW_NRUNS,
    SW_OUT,
    SW_P,
    SW_READING,
    SW_RUNS,
    SW_SENSE,
    SW_SENSOR,
    SW_SET,
    SW_SLOPE,
    SW_TANK,
    SWITCHES,
    TANKS,
    TIMER,
    TK_AROUND,
    TK_CP,
    TK_I,
    TK_JUNCTION,
    TK_LAW,
    TK_LAYERS,
    TK_MASS,
    TK_NLAYERS,
    TK_NODE,
    TK_OUTFLOW,
    TK_P,
    TK_RUN_I,
    TK_UA,
)
from brinewright.kernel.quiet_power import until_power_decides
from brinewright.laws.state import BUSY

GUARD = 0.01
"""What a tank's temperature may be off [K] beside what its inflow makes of it, seen from a line behind it."""
SLOWEST = 1e-5
"""Rate [unit/s] added to a slow reading's own, so that a standing one is not trusted for ever."""
SURE = 1.25
"""Factor on a rate that is taken to hold for some ticks."""
UNKNOWN = 1e18
"""A change that nothing bounds [K]."""


@inner
def _ticks_to_edge(P, J, points, n, j, period, t):
    """Return the whole ticks [1] from `t` to the next point of a table; 1 on the tick after a point."""
    at = t - math.floor(t / period) * period if period > 0.0 else t
    k = J[j]
    if k >= n or P[points + 2 * k] > at:
        k = 0
    while k < n and P[points + 2 * k] <= at + 1e-9:
        k += 1
    since = 1e18
    if k > 0:
        since = at - P[points + 2 * (k - 1)]
    elif period > 0.0:
        since = at + period - P[points + 2 * (n - 1)]
    if since < 1.0 - 1e-9:
        return 1
    wait = 1e9
    if k < n:
        wait = P[points + 2 * k] - at
    elif period > 0.0:
        wait = P[points] + period - at
    return max(1, int(min(wait, 1e9) + 1e-9))


@inner
def _stays(value, threshold, side):
    """Tell whether a reading is on the side on which the switch keeps its state."""
    return side * (value - threshold) < 0.0


@inner
def _foresee(X, P, I, J, Q, H, branch, item, from_outlet, threshold, side, ticks):
    """Return for how many ticks all liquid that reaches a place in a run stays on one side."""
    branches = H[3 * BRANCHES + 1]
    r = branches + branch * BR_I
    flow = X[I[r + BR_FLOW]]
    if flow < 0.0:
        return 1
    horizon = float(ticks)
    offset = 0.0  # temperature change on the way from here to the sensor
    elapsed = 0.0
    # at the very inlet it is the last parcel that is read
    entry = I[r + BR_ITEMS] + item * IT_I_WIDTH
    skip = min(from_outlet, (1.0 - 1e-9) * X[I[I[entry + IT_I] + RUN_STATE] + S_MASS])
    hops = 0
    if flow == 0.0:
        horizon = 0.0
    while True:
        entry = I[r + BR_ITEMS] + item * IT_I_WIDTH
        if I[entry + IT_BLOCK] != RUNS:
            if I[entry + IT_STEADY] == 0:
                return max(1, int(elapsed))
            offset += X[I[entry + IT_OUT]] - X[I[entry + IT_IN]]
        else:
            i = I[entry + IT_I]
            p = I[entry + IT_P]
            x = I[i + RUN_STATE]
            j = I[i + RUN_J]
            node = I[i + RUN_NODE]
            part = 0.0
            toward = 0.0
            if node >= 0:
                part = min(X[I[i + RUN_UA]] * ticks / (X[x + S_MASS] * P[p + RUN_CP]), 1.0)
                toward = X[node]
            base = I[i + RUN_QUEUE]
            room = I[i + RUN_ROOM]
            q = J[j]
            for _ in range(J[j + 1]):
                mass = Q[3 * (base + q)]
                if skip >= mass:
                    skip -= mass
                else:
                    mass -= skip
                    skip = 0.0
                    here = X[x + S_SCALE] * Q[3 * (base + q) + 1] + X[x + S_SHIFT]
                    there = here + part * (toward - here)
                    if not _stays(here + offset, threshold, side) or not _stays(
                        there + offset, threshold, side
                    ):
                        return max(1, int(elapsed))
                    if flow == 0.0:
                        return ticks
                    elapsed += mass / flow
                    if elapsed >= horizon:
                        return ticks
                q += 1
                if q == room:
                    q = 0
        item -= 1
        if item < 0:
            # upstream through the junction, if just one stream feeds it
            u = H[3 * JUNCTIONS + 1] + I[r + BR_TAIL] * JU_I
            tank = I[u + JU_TANK]
            if tank >= 0:
                t = H[3 * TANKS + 1] + tank * TK_I
                if I[t + TK_LAW] == MIXED:
                    room = side * (threshold - offset - X[I[t + TK_NODE]]) - GUARD
                    n = ticks
                    while n > elapsed and room > 0.0:
                        drift = _change_of_tank(X, P, I, J, Q, H, tank, n, side)
                        if drift < room:
                            return n
                        # in fewer ticks it drifts less, and not more than in proportion
                        n = int(n * (0.5 if drift >= UNKNOWN else min(room / drift, 0.999)))
                return max(1, int(elapsed))
            feeds = only_feed(X, I, H, I[r + BR_TAIL])
            hops += 1
            if feeds < 0 or hops > HOPS:
                return max(1, int(elapsed))
            r = branches + feeds * BR_I
            flow = X[I[r + BR_FLOW]]
            item = I[r + BR_COUNT] - 1


@inner
def _change_of_tank(X, P, I, J, Q, H, tank, ticks, side):
    """Return by how much what comes in so many ticks may warm a mixed tank, or cool it (side -1) [K]."""
    t = H[3 * TANKS + 1] + tank * TK_I
    here = X[I[t + TK_NODE]]
    mass = X[I[t + TK_MASS]]
    u = H[3 * JUNCTIONS + 1] + I[t + TK_JUNCTION] * JU_I
    branches = H[3 * BRANCHES + 1]
    change = 0.0
    extreme = 0.0
    for m in range(I[u + JU_NOUT]):
        flow = X[I[branches + I[I[u + JU_OUT] + m] * BR_I + BR_FLOW]]
        if flow < 0.0:
            return UNKNOWN
        mass -= flow * ticks
    for m in range(I[u + JU_NIN]):
        b = I[I[u + JU_IN] + m]
        r = branches + b * BR_I
        flow = X[I[r + BR_FLOW]]
        if flow < 0.0:
            mass += flow * ticks
        elif flow > 0.0:
            lowest, highest, known = range_of_arrivals(X, P, I, J, Q, H, b, I[r + BR_COUNT] - 1, float(ticks))
            if known < ticks:
                return UNKNOWN
            furthest = max(highest - here if side > 0.0 else here - lowest, 0.0)
            change += flow * ticks * furthest
            extreme = max(extreme, furthest)
    # what is mixed comes no further than what is mixed into it
    return min(change / mass, extreme) if mass > 0.0 else extreme


@inner
def _change_of_unmixed(X, P, I, J, Q, H, tank, ticks):
    """Return by how much what leaves an unmixed tank, and its loss, may change its mean temperature [K]."""
    t = H[3 * TANKS + 1] + tank * TK_I
    here = X[I[t + TK_NODE]]
    furthest = 0.0
    if I[t + TK_LAW] == FIRST_IN_FIRST_OUT:
        i = I[t + TK_RUN_I]
        x = I[i + RUN_STATE]
        j = I[i + RUN_J]
        for k in range(J[j + 1]):
            place = J[j] + k
            if place >= I[i + RUN_ROOM]:
                place -= I[i + RUN_ROOM]
            parcel = X[x + S_SCALE] * Q[3 * (I[i + RUN_QUEUE] + place) + 1] + X[x + S_SHIFT]
            furthest = max(furthest, abs(parcel - here))
    else:
        first = I[t + TK_LAYERS] + 1 + 2 * I[t + TK_NLAYERS]
        for k in range(int(X[I[t + TK_LAYERS]])):
            furthest = max(furthest, abs(X[first + k] - here))
    leaves = X[I[t + TK_OUTFLOW]] * ticks
    mass = X[I[t + TK_MASS]] - leaves
    if mass <= 0.0:
        return UNKNOWN
    change = leaves * furthest
    around = I[t + TK_AROUND]
    if around >= 0:
        loss = X[I[t + TK_UA]] / P[H[3 * TANKS + 2] + tank * TK_P + TK_CP]
        change += loss * ticks * (abs(X[around] - here) + furthest)
    return change / mass


@inner
def _change_by_liquid(X, C, P, I, J, Q, H, i, ticks, side):
    """Return by how much liquid of so many ticks may warm the node of a switch, or cool it (side -1) [K]."""
    if I[i + SW_TANK] >= 0:
        tank = I[i + SW_TANK]
        change = _change_of_tank(X, P, I, J, Q, H, tank, ticks, side)
        if I[H[3 * TANKS + 1] + tank * TK_I + TK_LAW] != MIXED:
            change += _change_of_unmixed(X, P, I, J, Q, H, tank, ticks)
        return change
    change = 0.0
    for k in range(I[i + SW_NRUNS]):
        m = I[i + SW_RUNS] + 4 * k
        run = I[m]
        ua = X[I[run + RUN_UA]]
        flow = X[I[H[3 * BRANCHES + 1] + I[m + 2] * BR_I + BR_FLOW]]
        if ua == 0.0 or flow == 0.0:
            continue
        if flow < 0.0:
            return UNKNOWN
        full = X[I[run + RUN_STATE] + S_MASS]
        lowest, highest, known = range_of_arrivals(X, P, I, J, Q, H, I[m + 2], I[m + 3], ticks + full / flow)
        if known < ticks + full / flow:
            return UNKNOWN
        # at most the whole content is exchanged for what comes
        change += ua * C[I[i + SW_NODE]] * min(flow * ticks / full, 1.0) * (highest - lowest) * ticks
    return change


@inner
def _slow(X, C, F, P, I, J, Q, H, Z, i, threshold, side, ticks):
    """Return for how many ticks a slow reading surely stays where it is.

    It goes on at its present rate; that may bend as fast as the rates of the nodes that it is
    joined to differ from its own, or as it did last; and liquid may come that is warmer or
    colder than what is there.
    """
    raw = X[I[i + SW_READING]]
    if not _stays(raw, threshold, side):
        return 1
    if F[I[i + SW_READING]] == 1:  # a forced reading steps only at an edge of its table
        return ticks
    nearest = abs(raw - threshold)
    rate = abs(X[I[i + SW_SLOPE]])
    bend = X[I[i + SW_BEND]]
    node = I[i + SW_NODE]
    if node >= 0:
        own = abs(Z[node]) * C[node]
        rate = own if I[i + SW_TANK] >= 0 else max(rate, own)
        joined = 0.0
        for k in range(I[i + SW_NEDGES]):
            m = I[i + SW_EDGES] + 2 * k
            other = I[m + 1]
            joined += X[I[m]] * (rate + abs(Z[other]) * C[other])
        bend = max(bend, joined * C[node])
    while ticks > 1 and not ticks * (SURE * rate + SLOWEST + bend * ticks) < nearest:
        ticks -= 1
    if node < 0:
        return ticks
    while ticks > 1:
        by_liquid = _change_by_liquid(X, C, P, I, J, Q, H, i, ticks, side)
        change = ticks * (SURE * rate + SLOWEST + bend * ticks) + by_liquid
        if change < nearest:
            return ticks
        # in fewer ticks it changes less, and not more than in proportion
        ticks = ticks - 1 if by_liquid >= UNKNOWN else max(1, min(ticks - 1, int(ticks * nearest / change)))
    return ticks


@inner
def until_switched(X, C, F, P, I, J, Q, H, Z, begin, end, ticks):
    """Return for how many ticks no switch from `begin` to before `end` changes."""
    i = H[3 * SWITCHES + 1] + begin * SW_I
    p = H[3 * SWITCHES + 2] + begin * SW_P
    for _ in range(begin, end):
        if ticks <= 1:
            return 1
        made = X[I[i + SW_OUT]] != 0.0
        sense = float(I[i + SW_SENSE])
        threshold = X[I[i + SW_SET]]
        side = -sense
        if not made:
            threshold += sense * P[p + SW_DIFFERENTIAL]
            side = sense
        if I[i + SW_NATURE] == NATURE_PIPE:
            s = H[3 * SENSORS + 1] + I[i + SW_SENSOR] * SE_I
            q = H[3 * SENSORS + 2] + I[i + SW_SENSOR] * SE_PW
            if not _stays(X[I[i + SW_READING]], threshold, side):
                return 1
            if F[I[i + SW_READING]] == 1:
                # a forced reading steps only at an edge of its table
                i += SW_I
                p += SW_P
                continue
            ticks = _foresee(
                X,
                P,
                I,
                J,
                Q,
                H,
                I[s + SE_BRANCH],
                I[s + SE_ITEM],
                P[q + SE_FROM_OUTLET],
                threshold,
                side,
                ticks,
            )
        elif I[i + SW_NATURE] == NATURE_SLOW:
            ticks = _slow(X, C, F, P, I, J, Q, H, Z, i, threshold, side, ticks)
        elif I[i + SW_NATURE] == NATURE_FAST:
            return 1
        i += SW_I
        p += SW_P
    return ticks


@inner
def quiet_ticks(X, C, F, P, I, J, Q, H, Z, t, ticks, apart):
    """Return how many ticks, at most `ticks`, can be made as one step from time `t`.

    Where some machines tick `apart`, what they decide among themselves does not matter.
    """
    if X[BUSY] != 0.0:
        return 1
    i = H[3 * SCHEDULES + 1]
    p = H[3 * SCHEDULES + 2]
    for _ in range(H[3 * SCHEDULES]):
        edge = _ticks_to_edge(P, J, I[i + SC_POINTS], I[i + SC_N], I[i + SC_J], P[p + SC_PERIOD], t)
        ticks = min(ticks, edge)
        i += SC_I
        p += SC_P
    i = H[3 * FORCES + 1]
    p = H[3 * FORCES + 2]
    for _ in range(H[3 * FORCES]):
        ticks = min(ticks, _ticks_to_edge(P, J, I[i + FO_POINTS], I[i + FO_N], I[i + FO_J], 0.0, t))
        if P[p + FO_END] > t:
            ticks = min(ticks, max(1, int(min(P[p + FO_END] - t, 1e9) + 1e-9)))
        i += FO_I
        p += FO_P
    i = H[3 * LOGICS + 1]
    p = H[3 * LOGICS + 2]
    for _ in range(H[3 * LOGICS]):
        if I[i + LO_DOES] == TIMER and X[I[i + LO_CLOCK]] > 0.0:
            delay = P[p + LO_ON] if X[I[i + LO_OUT]] == 0.0 else P[p + LO_OFF]
            ticks = min(ticks, max(1, int(delay - X[I[i + LO_CLOCK]])))
        i += LO_I
        p += LO_P
    ticks = until_power_decides(X, P, I, H, ticks, apart)
    return until_switched(X, C, F, P, I, J, Q, H, Z, 0, H[H_SWITCHES] if apart else H[3 * SWITCHES], ticks)
