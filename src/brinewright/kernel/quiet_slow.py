"""How soon a slow reading may pass a threshold: of a tank, a room, a vessel."""

import math

from brinewright.jit import inner
from brinewright.kernel.arrivals import look_at_arrivals, look_inside
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BRANCHES,
    FIRST_IN_FIRST_OUT,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JUNCTIONS,
    MIXED,
    QU_FIRST,
    QU_J,
    QU_ROOM,
    RUN_BELOW,
    RUN_MASS,
    RUN_UA,
    SW_BEND,
    SW_DECAYS,
    SW_EDGES,
    SW_FILTERED,
    SW_LAG,
    SW_NEDGES,
    SW_NODE,
    SW_NRUNS,
    SW_READING,
    SW_RUNS,
    SW_SLOPE,
    SW_TANK,
    TANKS,
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
    TK_QUEUE,
    TK_UA,
)

SLOWEST = 1e-5
"""Rate [unit/s] added to a slow reading's own, so that a standing one is not trusted for ever."""
SURE = 1.25
"""Factor on a rate that is taken to hold for some ticks."""
UNKNOWN = 1e18
"""A change that nothing bounds [K]."""


@inner
def stays(value, threshold, side):
    """Tell whether a reading is on the side on which the switch keeps its state."""
    return side * (value - threshold) < 0.0


@inner
def change_of_tank(X, P, I, J, Q, H, R, tank, ticks, side):
    """Return by how much what comes in so many ticks may warm a mixed tank, or cool it (side -1) [K]."""
    t = H[3 * TANKS + 1] + tank * TK_I
    here = X[I[t + TK_NODE]]
    gained = 0.0  # mass in a second [kg/s]
    u = H[3 * JUNCTIONS + 1] + I[t + TK_JUNCTION] * JU_I
    branches = H[3 * BRANCHES + 1]
    change = 0.0
    extreme = 0.0
    for m in range(I[u + JU_NOUT]):
        flow = X[I[branches + I[I[u + JU_OUT] + m] * BR_I + BR_FLOW]]
        if flow < 0.0:
            return UNKNOWN
        gained -= flow
    for m in range(I[u + JU_NIN]):
        b = I[I[u + JU_IN] + m]
        r = branches + b * BR_I
        flow = X[I[r + BR_FLOW]]
        if flow < 0.0:
            gained += flow
        elif flow > 0.0:
            gained += flow
            lowest, highest, surplus, known = look_at_arrivals(
                X, P, I, J, Q, H, R, b, I[r + BR_COUNT] - 1, 0.0, float(ticks), here, side
            )
            if known < ticks:
                return UNKNOWN
            change += surplus
            furthest = max(highest - here if side > 0.0 else here - lowest, 0.0)
            extreme = max(extreme, furthest)
    mass = X[I[t + TK_MASS]] + min(gained * ticks, 0.0)  # what comes is mixed into this at least
    # what is mixed comes no further than what is mixed into it
    return min(change / mass, extreme) if mass > 0.0 else extreme


@inner
def _change_of_unmixed(X, P, I, J, Q, H, tank, ticks):
    """Return by how much what leaves an unmixed tank, and its loss, may change its mean temperature [K]."""
    t = H[3 * TANKS + 1] + tank * TK_I
    here = X[I[t + TK_NODE]]
    furthest = 0.0
    if I[t + TK_LAW] == FIRST_IN_FIRST_OUT:
        v = I[t + TK_QUEUE]
        j = I[v + QU_J]
        for k in range(J[j + 1]):
            place = J[j] + k
            if place >= I[v + QU_ROOM]:
                place -= I[v + QU_ROOM]
            furthest = max(furthest, abs(Q[3 * (I[v + QU_FIRST] + place) + 1] - here))
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
def _change_by_liquid(X, C, P, I, J, Q, H, R, i, ticks, side):
    """Return by how much liquid of so many ticks may warm the node of a switch, or cool it (side -1) [K]."""
    if I[i + SW_TANK] >= 0:
        tank = I[i + SW_TANK]
        change = change_of_tank(X, P, I, J, Q, H, R, tank, ticks, side)
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
        full = P[I[m + 1] + RUN_MASS]
        ends = P[I[m + 1] + RUN_BELOW]
        lowest, highest, _, known = look_at_arrivals(
            X, P, I, J, Q, H, R, I[m + 2], I[m + 3], ends + full, float(ticks), 0.0, 0.0
        )
        if known < ticks:
            return UNKNOWN
        lowest, highest = look_inside(I, J, Q, H, I[m + 2], I[m + 3], ends, ends + full, lowest, highest)
        # at most the whole content is exchanged for what comes
        change += ua * C[I[i + SW_NODE]] * min(flow * ticks / full, 1.0) * (highest - lowest) * ticks
    return change


@inner
def _beyond(P, decays, lag, over, behind, rate, ticks):
    """Return how far beyond its threshold a switch's filter is after some ticks, below 0 if not there yet.

    Its reading is `over` the threshold now and goes on straight at `rate`; it is `behind` itself.
    f += (r - f) (1 - d) in each tick; P holds d to the power of 0, 1, 2 ... from `decays` on.
    """
    if lag == 0.0:
        return over + rate * ticks
    lags = rate * P[decays + 1] / (1.0 - P[decays + 1])
    return over + rate * ticks - lags + (lags - over - behind) * P[decays + ticks]


@inner
def ticks_of_slow(X, C, F, P, I, J, Q, H, R, i, p, threshold, side, ticks):
    """Return the tick in which a slow reading may pass a threshold first, at most `ticks`.

    Until then it surely stays where it is.  It goes on at its present rate; that may bend as fast
    as the rates of the nodes that it is joined to differ from its own, or as it did last; and
    liquid may come that is warmer or colder than what is there.  Where it has a filter, that has
    to pass: a reading that goes straight to the furthest of all this brings it no less far.
    """
    lag = P[p + SW_LAG]
    decays = I[i + SW_DECAYS]
    over = side * (X[I[i + SW_READING]] - threshold)
    behind = side * (threshold - X[I[i + SW_FILTERED]]) if lag > 0.0 else -over
    forced = F[I[i + SW_READING]] == 1  # then it steps only at an edge of its table
    if not behind > 0.0:
        return 1
    if forced and over < 0.0:
        return ticks
    rate = 0.0 if forced else abs(X[I[i + SW_SLOPE]])
    bend = 0.0 if forced else X[I[i + SW_BEND]]
    node = -1 if forced else I[i + SW_NODE]
    if node >= 0:
        own = abs(R[node])
        rate = own if I[i + SW_TANK] >= 0 else max(rate, own)
        joined = 0.0
        for k in range(I[i + SW_NEDGES]):
            m = I[i + SW_EDGES] + 2 * k
            other = I[m + 1]
            joined += X[I[m]] * (rate + abs(R[other]))
        bend = max(bend, joined * C[node])
    if not bend < UNKNOWN:
        return 1
    rate = SURE * rate + SLOWEST
    n = ticks - 1
    if lag == 0.0:
        # the n for which n (rate + bend n) is what is left
        n = int(min(2.0 * behind / (rate + math.sqrt(rate * rate + 4.0 * bend * behind)), float(n)))
    looks = False  # at liquid, once all else is within bounds
    by_liquid = 0.0
    while n > 0:
        if looks:
            by_liquid = _change_by_liquid(X, C, P, I, J, Q, H, R, i, n, side)
        if by_liquid >= UNKNOWN:
            n -= 1
            continue
        beyond = _beyond(P, decays, lag, over + by_liquid, behind, rate + bend * n, n)
        if not beyond < 0.0:
            # in fewer ticks it goes less far; how many fewer is tried
            n = min(n - 1, int(n * behind / (behind + beyond)))
        elif looks or node < 0:
            break
        else:
            looks = True
    return n + 1
