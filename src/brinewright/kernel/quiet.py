"""How many ticks may be stepped over because nothing is decided in them.

Plug flow already holds what will reach a sensor, so its switch can be foreseen exactly.  A
slow reading (tank, room, vessel) is bounded by its rate, by how that may bend, and by the
liquid on its way to it.  Whatever is decided is followed by a single tick that shows its effect.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.arrivals import HOPS, UNSURE, as_it_comes, met_behind, only_feed, pass_runs
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BR_TAIL,
    BRANCHES,
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
    QU_FIRST,
    QU_J,
    QU_MASS,
    QU_NRUNS,
    QU_ROOM,
    QUEUES,
    SC_I,
    SC_J,
    SC_N,
    SC_P,
    SC_PERIOD,
    SC_POINTS,
    SCHEDULES,
    SE_BRANCH,
    SE_FLOW,
    SE_FROM_OUTLET,
    SE_I,
    SE_ITEM,
    SE_PW,
    SENSORS,
    SW_DIFFERENTIAL,
    SW_FILTERED,
    SW_I,
    SW_JUMPS,
    SW_LAG,
    SW_NATURE,
    SW_NODE,
    SW_OUT,
    SW_P,
    SW_READING,
    SW_SENSE,
    SW_SENSOR,
    SW_SET,
    SW_SHOWN,
    SWITCHES,
    TANKS,
    TIMER,
    TK_I,
    TK_LAW,
    TK_NODE,
    WA_FOR,
    WA_I,
    WA_LIMIT,
    WA_P,
    WA_SENSE,
    WA_SLOPE,
    WA_STATE,
    WA_VALUE,
    WATCHES,
)
from brinewright.kernel.quiet_power import until_power_decides
from brinewright.kernel.quiet_slow import SURE, UNKNOWN, change_of_tank, stays, ticks_of_slow
from brinewright.laws.state import BUSY

CLOSE = 1e-4
"""How near a limit a tank is no longer told from it [K], seen from a line behind it."""
ALMOST = 1.0 - 1e-6
"""A tick [s], but for rounding: what comes just at the end of one comes in it."""
ENTERED = 1.0 - 1e-9
"""Share of a stretch before the end of the parcel that came last."""
STILL = 1e-9
"""What moves by less than this share of its limit in a step stands still."""


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
def _foresee(X, P, I, J, Q, H, R, branch, item, from_outlet, limit, side, more, ticks):
    """Return for how many ticks all liquid that reaches a place in a stretch stays on one side of a limit.

    It is taken as it will be when it comes, give or take a share of how it changes until then.
    Where a parcel comes that is not on that side, and `more` is 1, the tick in which it comes counts
    too; what was there before it comes second [K], else nothing that is a number.
    """
    branches = H[3 * BRANCHES + 1]
    r = branches + branch * BR_I
    flow = X[I[r + BR_FLOW]]
    if flow < 0.0:
        return 1, math.nan
    still = flow == 0.0
    offset = 0.0  # what devices on the way to the place add to the temperature
    keeps = 1.0  # how what is upstream comes to the place: keeps * temperature + adds
    adds = 0.0
    elapsed = 0.0
    shown = math.nan
    # at the very inlet it is the last parcel that is read
    skip = min(from_outlet, ENTERED * P[I[I[r + BR_ITEMS] + item * IT_I_WIDTH + IT_P] + QU_MASS])
    hops = 0
    while True:
        entry = I[r + BR_ITEMS] + item * IT_I_WIDTH
        if I[entry + IT_BLOCK] != QUEUES:
            if I[entry + IT_STEADY] == 0:
                return max(1, int(elapsed)), math.nan
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
                front = max(rear - Q[q], skip)
                until = skip if still else 0.5 * (front + rear)
                run, at, keeps, adds = pass_runs(
                    X, P, I, R, v, run, 0, at, full, until, flow, elapsed, keeps, adds
                )
                # as its first liquid comes, and its last
                way = 0.0 if still else max(front - at, 0.0) / flow
                early = keeps * as_it_comes(X, P, I, R, v, run, way, elapsed, Q[q + 1]) + adds
                way = float(ticks) if still else (rear - at) / flow
                late = keeps * as_it_comes(X, P, I, R, v, run, way, elapsed, Q[q + 1]) + adds
                unsure = UNSURE * abs(late - Q[q + 1] - offset)
                if skip > 0.0 and not still:
                    lasts = min((rear - front) / flow, ticks - elapsed)
                    unsure += met_behind(X, P, I, v, skip, Q[q], lasts, early, side)
                if not stays(max(side * early, side * late) + unsure, side * limit, 1.0):
                    return max(1, int(elapsed + more * ALMOST)), shown
                if still:
                    return ticks, math.nan
                shown = late
                # where the parcel that came last is read, what comes is mixed into it, and shows at once
                if not (skip > 0.0 and front == skip and rear >= ENTERED * full):
                    elapsed += (rear - front) / flow
                if elapsed >= ticks:
                    return ticks, math.nan
            run, at, keeps, adds = pass_runs(
                X, P, I, R, v, run, -1, at, full, full, flow, elapsed, keeps, adds
            )
            skip = 0.0
        item -= 1
        if item < 0:
            # upstream through the junction, if just one stream feeds it
            u = H[3 * JUNCTIONS + 1] + I[r + BR_TAIL] * JU_I
            tank = I[u + JU_TANK]
            if tank >= 0:
                t = H[3 * TANKS + 1] + tank * TK_I
                if I[t + TK_LAW] == MIXED:
                    here = X[I[t + TK_NODE]]
                    unsure = UNSURE * abs(keeps * here + adds - here - offset) + CLOSE
                    room = side * (limit - keeps * here - adds) - unsure
                    own = SURE * abs(R[I[t + TK_NODE]])
                    n = ticks
                    while n > elapsed and room > 0.0:
                        since = n - int(elapsed)
                        drift = keeps * (change_of_tank(X, P, I, J, Q, H, R, tank, since, side) + own * since)
                        if drift < room:
                            return n, math.nan
                        # in fewer ticks it drifts less, and not more than in proportion
                        n = int(elapsed) + int(
                            since * (0.5 if drift >= UNKNOWN else min(room / drift, 0.999))
                        )
                return max(1, int(elapsed)), math.nan
            feeds = only_feed(X, I, H, I[r + BR_TAIL])
            hops += 1
            if feeds < 0 or hops > HOPS:
                return max(1, int(elapsed)), math.nan
            r = branches + feeds * BR_I
            flow = X[I[r + BR_FLOW]]
            item = I[r + BR_COUNT] - 1


@inner
def _until_followed(X, P, I, J, Q, H, R, i, p, threshold, side, ticks):
    """Return the tick in which the filter of a switch passes a threshold that the reading has passed.

    So long, at most `ticks`, as the reading stays what it is; else the ticks for which it does.
    f' = (r - f) / lag, and the first ticks in which f stays are lag ln((r - f) / (r - threshold)).
    """
    reading = X[I[i + SW_READING]]
    lag = P[p + SW_LAG]
    over = side * (reading - threshold)
    behind = side * (threshold - X[I[i + SW_FILTERED]])
    if not (lag > 0.0 and over > 0.0 and behind > 0.0):
        return 1
    unsure = UNSURE * over
    ticks = min(ticks, 1 + int(lag * math.log1p(behind / (over + unsure))))
    s = H[3 * SENSORS + 1] + I[i + SW_SENSOR] * SE_I
    q = H[3 * SENSORS + 2] + I[i + SW_SENSOR] * SE_PW
    for turn in range(2):
        if ticks > 1:
            away = side if turn == 0 else -side
            ticks, _ = _foresee(
                X, P, I, J, Q, H, R, I[s + SE_BRANCH], I[s + SE_ITEM], P[q + SE_FROM_OUTLET],
                reading + away * unsure, away, 0, ticks,
            )  # fmt: skip
    return ticks


@inner
def until_switched(X, C, F, P, I, J, Q, H, R, begin, end, ticks):
    """Return for how many ticks no switch from `begin` to before `end` changes, but at their end."""
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
        nature = I[i + SW_NATURE]
        s = H[3 * SENSORS + 1] + I[i + SW_SENSOR] * SE_I
        if nature == NATURE_PIPE and I[i + SW_NODE] >= 0 and X[I[s + SE_FLOW]] > 0.0:
            nature = NATURE_SLOW  # what it reads is in the tank that liquid leaves
        if nature == NATURE_PIPE:
            forced = F[I[i + SW_READING]] == 1  # then it steps only at an edge of its table
            if not stays(X[I[i + SW_READING]], threshold, side):
                if forced:
                    return 1
                ticks = _until_followed(X, P, I, J, Q, H, R, i, p, threshold, side, ticks)
            elif not forced:
                q = H[3 * SENSORS + 2] + I[i + SW_SENSOR] * SE_PW
                ticks, shown = _foresee(
                    X, P, I, J, Q, H, R, I[s + SE_BRANCH], I[s + SE_ITEM], P[q + SE_FROM_OUTLET],
                    threshold, side, 1, ticks,
                )  # fmt: skip
                if shown == shown:  # its filter has to know that the reading jumps in the last tick
                    X[I[i + SW_JUMPS]] = float(ticks)
                    X[I[i + SW_SHOWN]] = shown
        elif nature == NATURE_SLOW:
            ticks = ticks_of_slow(X, C, F, P, I, J, Q, H, R, i, p, threshold, side, ticks)
        elif nature == NATURE_FAST:
            return 1
        i += SW_I
        p += SW_P
    return ticks


@inner
def _until_told(X, P, I, H, ticks):
    """Return for how many ticks no watched value passes its limit, if it goes on as it went last.

    The tick after it is the last of the step, so what happened is told to the tick, or nearly.
    """
    i = H[3 * WATCHES + 1]
    p = H[3 * WATCHES + 2]
    for _ in range(H[3 * WATCHES]):
        state = X[I[i + WA_STATE]]
        sense = float(I[i + WA_SENSE])
        rate = sense * X[I[i + WA_SLOPE]]
        left = sense * (P[p + WA_LIMIT] - X[I[i + WA_VALUE]])
        if state > 0.0:
            ticks = min(ticks, max(1, int(P[p + WA_FOR] - state) + 1))
        elif state == 0.0 and left >= 0.0 and left < rate * ticks > STILL * abs(P[p + WA_LIMIT]):
            ticks = int(left / rate) + 1
        i += WA_I
        p += WA_P
    return ticks


@inner
def quiet_ticks(X, C, F, P, I, J, Q, H, R, t, ticks, apart):
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
    ticks = until_power_decides(X, P, I, H, _until_told(X, P, I, H, ticks), apart)
    return until_switched(X, C, F, P, I, J, Q, H, R, 0, H[H_SWITCHES] if apart else H[3 * SWITCHES], ticks)
