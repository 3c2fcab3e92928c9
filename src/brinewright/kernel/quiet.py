"""How many ticks may be stepped over because nothing is decided in them.

Plug flow already holds what will reach a sensor, so its switch can be foreseen exactly;
a slow reading (tank, room, vessel) is bounded by twice the rate it just had, taken anew
on the tick after every decision.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BA_CAPACITY,
    BA_FLOOR,
    BA_I,
    BA_P,
    BA_POWER,
    BA_STORED,
    BATTERIES,
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BR_TAIL,
    BRANCHES,
    BU_BACK,
    BU_CLOCK,
    BU_I,
    BU_MARGIN,
    BU_P,
    BU_SLOPE,
    BUSES,
    FD_AFTER,
    FD_AGAIN,
    FD_CLOCK,
    FD_I,
    FD_LIMIT,
    FD_OPENS,
    FD_P,
    FD_POWER,
    FD_SLOPE,
    FD_TRIPPED,
    FEEDERS,
    FO_END,
    FO_I,
    FO_J,
    FO_N,
    FO_P,
    FO_POINTS,
    FORCES,
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
    SC_RAMP,
    SCHEDULES,
    SE_BRANCH,
    SE_FROM_OUTLET,
    SE_I,
    SE_ITEM,
    SE_PW,
    SENSORS,
    SW_DIFFERENTIAL,
    SW_FILTERED,
    SW_I,
    SW_NATURE,
    SW_OUT,
    SW_P,
    SW_READING,
    SW_SENSE,
    SW_SENSOR,
    SW_SET,
    SW_SLOPE,
    SWITCHES,
    TANKS,
    TIMER,
    TK_I,
    TK_LAW,
    TK_NODE,
)
from brinewright.laws.state import BUSY

TANK_GUARD = 0.05
"""A mixed tank is taken to stay within this [K] over one step of the look-ahead."""
SLOWEST = 1e-5
"""Rate [unit/s] added to a slow reading's own, so that a standing one is not trusted for ever."""


@inner
def _until_edge(P, J, points, n, j, period, t):
    """Return the time [s] from `t` to the next point of a table."""
    at = t - math.floor(t / period) * period if period > 0.0 else t
    k = J[j]
    if k >= n or P[points + 2 * k] > at:
        k = 0
    while k < n and P[points + 2 * k] <= at + 1e-9:
        k += 1
    if k < n:
        return P[points + 2 * k] - at
    return P[points] + period - at if period > 0.0 else 1e18


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
    skip = from_outlet
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
                part = 1.0 - math.exp(-X[I[i + RUN_UA]] * ticks / (X[x + S_MASS] * P[p + RUN_CP]))
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
                if I[t + TK_LAW] == MIXED and _stays(
                    X[I[t + TK_NODE]] + offset + side * TANK_GUARD, threshold, side
                ):
                    return ticks
                return max(1, int(elapsed))
            feeds = -1
            for m in range(I[u + JU_NIN]):
                b = I[I[u + JU_IN] + m]
                if X[I[branches + b * BR_I + BR_FLOW]] > 0.0:
                    if feeds >= 0:
                        return max(1, int(elapsed))
                    feeds = b
            for m in range(I[u + JU_NOUT]):
                if X[I[branches + I[I[u + JU_OUT] + m] * BR_I + BR_FLOW]] < 0.0:
                    return max(1, int(elapsed))
            hops += 1
            if feeds < 0 or hops > 4:
                return max(1, int(elapsed))
            r = branches + feeds * BR_I
            flow = X[I[r + BR_FLOW]]
            item = I[r + BR_COUNT] - 1


@inner
def _slow(X, I, i, threshold, side, ticks):
    """Bound a slow reading by twice its last rate."""
    raw = X[I[i + SW_READING]]
    filtered = X[I[i + SW_FILTERED]]
    if not _stays(raw, threshold, side):
        return 1
    nearest = min(abs(raw - threshold), abs(filtered - threshold))
    return max(1, min(ticks, int(nearest / (1.2 * X[I[i + SW_SLOPE]] + SLOWEST))))


@inner
def _until_power_decides(X, P, I, H, ticks):
    """Return for how many ticks no feeder opens or closes by itself and no bus can run short."""
    for k in range(H[3 * FEEDERS]):
        r = H[3 * FEEDERS + 1] + k * FD_I
        p = H[3 * FEEDERS + 2] + k * FD_P
        if I[r + FD_OPENS] == 1:
            clock = X[I[r + FD_CLOCK]]
            room = P[p + FD_LIMIT] - X[I[r + FD_POWER]]
            slope = X[I[r + FD_SLOPE]]
            if X[I[r + FD_TRIPPED]] != 0.0:
                if P[p + FD_AGAIN] > 0.0:
                    ticks = max(1, min(ticks, int(P[p + FD_AGAIN] - clock)))
            elif clock > 0.0:
                ticks = max(1, min(ticks, int(P[p + FD_AFTER] - clock)))
            elif slope > 0.0 and room < 2.0 * slope * ticks:
                ticks = max(1, int(room / (2.0 * slope)))
    for k in range(H[3 * BUSES]):
        r = H[3 * BUSES + 1] + k * BU_I
        clock = X[I[r + BU_CLOCK]]
        margin = X[I[r + BU_MARGIN]]
        if clock > 0.0:
            ticks = max(1, min(ticks, int(P[H[3 * BUSES + 2] + k * BU_P + BU_BACK] - clock)))
        if margin < 2.0 * X[I[r + BU_SLOPE]] * ticks:
            ticks = max(1, int(margin / (2.0 * X[I[r + BU_SLOPE]])))
    return ticks


@inner
def _at_edge(P, J, points, n, j, period, t):
    """Tell whether a table has just stepped to another value."""
    return _until_edge(P, J, points, n, j, period, t - 1.0) <= 1.0


@inner
def quiet_ticks(X, F, P, I, J, Q, H, t, ticks):
    """Return how many ticks, at most `ticks`, can be made as one step from time `t`."""
    if X[BUSY] != 0.0:
        return 1
    i = H[3 * SCHEDULES + 1]
    p = H[3 * SCHEDULES + 2]
    for _ in range(H[3 * SCHEDULES]):
        if I[i + SC_RAMP] == 0:
            if _at_edge(P, J, I[i + SC_POINTS], I[i + SC_N], I[i + SC_J], P[p + SC_PERIOD], t):
                return 1
            wait = _until_edge(P, J, I[i + SC_POINTS], I[i + SC_N], I[i + SC_J], P[p + SC_PERIOD], t)
            ticks = min(ticks, max(1, int(wait + 1e-9)))
        i += SC_I
        p += SC_P
    i = H[3 * FORCES + 1]
    p = H[3 * FORCES + 2]
    for _ in range(H[3 * FORCES]):
        wait = _until_edge(P, J, I[i + FO_POINTS], I[i + FO_N], I[i + FO_J], 0.0, t)
        if abs(t - P[p + FO_END]) < 1.0 or _at_edge(P, J, I[i + FO_POINTS], I[i + FO_N], I[i + FO_J], 0.0, t):
            return 1
        if P[p + FO_END] > t:
            wait = min(wait, P[p + FO_END] - t)
        ticks = min(ticks, max(1, int(min(wait, 1e9) + 1e-9)))
        i += FO_I
        p += FO_P
    i = H[3 * LOGICS + 1]
    for _ in range(H[3 * LOGICS]):
        if I[i + LO_DOES] == TIMER and X[I[i + LO_CLOCK]] > 0.0:
            return 1
        i += LO_I
    ticks = _until_power_decides(X, P, I, H, ticks)
    i = H[3 * BATTERIES + 1]
    p = H[3 * BATTERIES + 2]
    for _ in range(H[3 * BATTERIES]):
        power = X[I[i + BA_POWER]]
        stored = X[I[i + BA_STORED]]
        left = stored - P[p + BA_FLOOR] if power > 0.0 else P[p + BA_CAPACITY] - stored
        if power != 0.0 and left > 0.0:
            ticks = max(1, min(ticks, int(left / (2.0 * abs(power)))))
        i += BA_I
        p += BA_P
    i = H[3 * SWITCHES + 1]
    p = H[3 * SWITCHES + 2]
    for _ in range(H[3 * SWITCHES]):
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
            ticks = _slow(X, I, i, threshold, side, ticks)
        elif I[i + SW_NATURE] == NATURE_FAST:
            return 1
        i += SW_I
        p += SW_P
    return ticks
