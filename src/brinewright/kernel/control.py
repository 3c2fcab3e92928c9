"""Readings, logic, commands, schedules, forced signals and watches.

All switches read one snapshot; what they command is acted on at the next tick.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    AND,
    CO_I,
    CO_IN,
    CO_NIN,
    CO_OUT,
    COMMANDS,
    DE_CAPACITY,
    DE_I,
    DE_OUT,
    DE_SHARE,
    DERATINGS,
    FO_ACTIVE,
    FO_BACK,
    FO_END,
    FO_I,
    FO_J,
    FO_N,
    FO_OUT,
    FO_P,
    FO_POINTS,
    FO_SAVED,
    FORCES,
    LATCH,
    LO_CLOCK,
    LO_DOES,
    LO_I,
    LO_IN,
    LO_NIN,
    LO_NRESET,
    LO_OFF,
    LO_ON,
    LO_OUT,
    LO_P,
    LO_RESET,
    LOGICS,
    NOT,
    OR,
    SC_I,
    SC_J,
    SC_N,
    SC_NOUTS,
    SC_OUTS,
    SC_P,
    SC_PERIOD,
    SC_POINTS,
    SC_RAMP,
    SCHEDULES,
    SE_AMBIENT,
    SE_FLOW,
    SE_FROM_OUTLET,
    SE_I,
    SE_MOUTH,
    SE_PW,
    SE_READING,
    SE_SOURCE,
    SE_STILL,
    SE_TYPE,
    SENSORS,
    STILL_AMBIENT,
    STILL_LOCAL,
    WA_BACK,
    WA_BEFORE,
    WA_FOR,
    WA_I,
    WA_LIMIT,
    WA_P,
    WA_SENSE,
    WA_SLOPE,
    WA_STATE,
    WA_STOPS,
    WA_VALUE,
    WATCHES,
)
from brinewright.kernel.parcel_readings import temperature_at
from brinewright.kernel.switches import lasted
from brinewright.laws.state import BUSY, TIME, decide, put


@inner
def read_sensors(X, F, P, I, J, Q, H):
    """Take all readings from the present state."""
    i = H[3 * SENSORS + 1]
    p = H[3 * SENSORS + 2]
    for _ in range(H[3 * SENSORS]):
        place = I[i + SE_READING]
        if F[place] == 0:
            if I[i + SE_TYPE] == 1:
                X[place] = X[I[i + SE_SOURCE]]
            elif I[i + SE_MOUTH] >= 0 and X[I[i + SE_FLOW]] > 0.0:
                # what comes out of a tank is what is in it; parcels show its mean over a step
                X[place] = X[I[i + SE_MOUTH]]
            elif I[i + SE_STILL] == STILL_LOCAL or X[I[i + SE_FLOW]] != 0.0:
                X[place] = temperature_at(I, J, Q, I[i + SE_SOURCE], P[p + SE_FROM_OUTLET])
            elif I[i + SE_STILL] == STILL_AMBIENT:
                X[place] = X[I[i + SE_AMBIENT]]
        i += SE_I
        p += SE_PW


@inner
def _agrees(X, I, place):
    """Read a signal by its signed place: negative means "not"."""
    s = I[place]
    if s >= 0:
        return X[s] != 0.0
    return X[-s - 1] == 0.0


@inner
def think(X, F, P, I, H, SUM, dt):
    """Evaluate the logic elements, in the order in which compile sorted them."""
    i = H[3 * LOGICS + 1]
    p = H[3 * LOGICS + 2]
    for _ in range(H[3 * LOGICS]):
        does = I[i + LO_DOES]
        every = True
        some = False
        for k in range(I[i + LO_NIN]):
            if _agrees(X, I, I[i + LO_IN] + k):
                some = True
            else:
                every = False
        out = I[i + LO_OUT]
        value = X[out]
        if does == AND:
            value = 1.0 if every else 0.0
        elif does == OR:
            value = 1.0 if some else 0.0
        elif does == NOT:
            value = 0.0 if some else 1.0
        elif does == LATCH:
            reset = False
            for k in range(I[i + LO_NRESET]):
                if _agrees(X, I, I[i + LO_RESET] + k):
                    reset = True
            # the reset stands over the set: the safe side of a latch is its defined rest
            if reset:
                value = 0.0
            elif some:
                value = 1.0
        else:
            clock = I[i + LO_CLOCK]
            wanted = 1.0 if every else 0.0
            if wanted == value:
                X[clock] = 0.0
            else:
                # what starts it is decided at the end of a step, however long that was
                X[clock] += dt if X[clock] > 0.0 else 1.0
                if X[clock] >= (P[p + LO_ON] if wanted == 1.0 else P[p + LO_OFF]):
                    value = wanted
                    X[clock] = 0.0
        before = X[out]
        decide(X, F, out, value)
        lasted(X, SUM, H, out, before, dt)
        i += LO_I
        p += LO_P


@inner
def command(X, F, I, H, SUM, dt):
    """Write the commands: a target goes to its made position while all its signals agree."""
    i = H[3 * COMMANDS + 1]
    for _ in range(H[3 * COMMANDS]):
        made = 1.0
        for k in range(I[i + CO_NIN]):
            if not _agrees(X, I, I[i + CO_IN] + k):
                made = 0.0
        before = X[I[i + CO_OUT]]
        decide(X, F, I[i + CO_OUT], made)
        lasted(X, SUM, H, I[i + CO_OUT], before, dt)
        i += CO_I


@inner
def _seek(P, J, points, n, j, at):
    """Return the index of the last point at or before `at`; remembers it in J."""
    k = J[j]
    if k >= n or P[points + 2 * k] > at:
        k = 0
    while k + 1 < n and P[points + 2 * (k + 1)] <= at:
        k += 1
    J[j] = k
    return k


@inner
def follow_schedules(X, F, P, I, J, H, t):
    """Set every value that follows a schedule, for time `t` [s]."""
    i = H[3 * SCHEDULES + 1]
    p = H[3 * SCHEDULES + 2]
    for _ in range(H[3 * SCHEDULES]):
        period = P[p + SC_PERIOD]
        at = t - math.floor(t / period) * period if period > 0.0 else t
        points = I[i + SC_POINTS]
        n = I[i + SC_N]
        k = _seek(P, J, points, n, I[i + SC_J], at)
        value = P[points + 2 * k + 1]
        begin = P[points + 2 * k]
        if at < begin:  # before the first point: the last one still holds
            value = P[points + 2 * n - 1] if period > 0.0 else value
        if I[i + SC_RAMP] == 1:
            if k + 1 < n:
                end = P[points + 2 * k + 2]
                after = P[points + 2 * k + 3]
                if at >= begin:
                    value += (after - value) * (at - begin) / (end - begin)
            elif period > 0.0:
                end = P[points] + period
                value += (P[points + 1] - value) * (at - begin) / (end - begin)
        for m in range(I[i + SC_NOUTS]):
            put(X, F, I[I[i + SC_OUTS] + m], value)
        i += SC_I
        p += SC_P


@inner
def force(X, F, P, I, J, H, t):
    """Hold what is forced at time `t` [s] and let go of what is no longer."""
    first = H[3 * FORCES + 1]
    first_p = H[3 * FORCES + 2]
    for k in range(H[3 * FORCES]):
        i = first + k * FO_I
        if X[I[i + FO_ACTIVE]] != 0.0 and t >= P[first_p + k * FO_P + FO_END]:
            out = I[i + FO_OUT]
            X[BUSY] = 1.0
            X[I[i + FO_ACTIVE]] = 0.0
            F[out] = 0
            if I[i + FO_BACK] == 1:
                X[out] = X[I[i + FO_SAVED]]
    for k in range(H[3 * FORCES]):
        i = first + k * FO_I
        points = I[i + FO_POINTS]
        if t >= P[points] and t < P[first_p + k * FO_P + FO_END]:
            out = I[i + FO_OUT]
            if X[I[i + FO_ACTIVE]] == 0.0:
                X[I[i + FO_ACTIVE]] = 1.0
                X[I[i + FO_SAVED]] = X[out]
            value = P[points + 2 * _seek(P, J, points, I[i + FO_N], I[i + FO_J], t) + 1]
            if X[out] != value or F[out] == 0:
                X[BUSY] = 1.0  # what it drives is told at the end of this very tick
            F[out] = 1
            X[out] = value


@inner
def derate(X, I, H):
    """Let forced shares reduce capacities [kg/s]."""
    for k in range(H[3 * DERATINGS]):
        i = H[3 * DERATINGS + 1] + k * DE_I
        X[I[i + DE_OUT]] = X[I[i + DE_CAPACITY]] * X[I[i + DE_SHARE]]


@inner
def watch(X, P, I, H, EV, n_events, dt):
    """Record each limit that is passed; return the number of events and whether one stops the run."""
    i = H[3 * WATCHES + 1]
    p = H[3 * WATCHES + 2]
    stops = False
    for k in range(H[3 * WATCHES]):
        value = X[I[i + WA_VALUE]]
        before = X[I[i + WA_BEFORE]]
        state = I[i + WA_STATE]
        over = float(I[i + WA_SENSE]) * (value - P[p + WA_LIMIT])
        if value == before and (over <= 0.0 or X[state] < 0.0):
            # nothing to tell; what rests for long is not taken for moving
            X[I[i + WA_SLOPE]] *= 0.5
            i += WA_I
            p += WA_P
            continue
        X[I[i + WA_BEFORE]] = value
        X[I[i + WA_SLOPE]] = (value - before) / dt if before == before else 0.0
        if over > 0.0:
            # X[state] counts the seconds over the limit; -1 means told already
            if X[state] >= 0.0:
                X[state] += dt
                if X[state] > P[p + WA_FOR]:
                    X[state] = -1.0
                    if n_events < EV.shape[0]:
                        EV[n_events, 0] = X[TIME]
                        EV[n_events, 1] = k
                        EV[n_events, 2] = value
                        n_events += 1
                    if I[i + WA_STOPS] == 1:
                        stops = True
        elif over < -P[p + WA_BACK]:
            X[state] = 0.0
        i += WA_I
        p += WA_P
    return n_events, stops
