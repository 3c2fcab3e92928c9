"""What brings power: feeders and transformers close, carry, lose and open."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BU_DRAWN,
    BU_I,
    BU_LIVE,
    BU_STARTING,
    BUSES,
    FD_AFTER,
    FD_AGAIN,
    FD_ASKED,
    FD_BUS,
    FD_CLOCK,
    FD_CLOSED,
    FD_COMMAND,
    FD_DROP,
    FD_I,
    FD_LIMIT,
    FD_LOAD_DROP,
    FD_LOAD_LOSS,
    FD_LOSS,
    FD_OPENS,
    FD_P,
    FD_POWER,
    FD_SLOPE,
    FD_TRIPPED,
    FEEDERS,
    GR_CLOSED,
    GR_COMMAND,
    GR_I,
    GRIDS,
    LD_ASKS,
    LD_BEFORE,
    LD_FEEDER,
    LD_I,
    LD_ON,
    LD_P,
    LD_POWER,
    LD_RATED,
    LD_SHED,
    LD_STARTING,
    LOADS,
    TR_CLOSED,
    TR_COMMAND,
    TR_I,
    TR_LOSS,
    TR_OPENS,
    TR_P,
    TR_POWER,
    TR_RATING,
    TR_TRIPPED,
    TRANSFORMERS,
)
from brinewright.laws.state import BUSY, put

ROUNDING = 1e-9
"""Share of what is carried or drawn that is no overload and no shortfall, only rounding."""


@inner
def _close(X, F, closed, command, tripped):
    """Close what is commanded to be closed and has not tripped; switching it off resets it."""
    if X[command] == 0.0:
        X[tripped] = 0.0
    before = X[closed]
    put(X, F, closed, X[command] * (1.0 - X[tripped]))
    if X[closed] != before:
        X[BUSY] = 1.0


@inner
def connect(X, F, I, H):
    """Close and open feeders, transformers and grids as commanded; tell each load whether it has power."""
    feeders = H[3 * FEEDERS + 1]
    buses = H[3 * BUSES + 1]
    for k in range(H[3 * FEEDERS]):
        r = feeders + k * FD_I
        _close(X, F, I[r + FD_CLOSED], I[r + FD_COMMAND], I[r + FD_TRIPPED])
    for k in range(H[3 * TRANSFORMERS]):
        r = H[3 * TRANSFORMERS + 1] + k * TR_I
        _close(X, F, I[r + TR_CLOSED], I[r + TR_COMMAND], I[r + TR_TRIPPED])
    for k in range(H[3 * GRIDS]):
        r = H[3 * GRIDS + 1] + k * GR_I
        put(X, F, I[r + GR_CLOSED], X[I[r + GR_COMMAND]])
    for k in range(H[3 * LOADS]):
        r = H[3 * LOADS + 1] + k * LD_I
        feeder = feeders + I[r + LD_FEEDER] * FD_I
        live = X[I[buses + I[feeder + FD_BUS] * BU_I + BU_LIVE]]
        on = I[r + LD_ON]
        before = X[on]
        put(X, F, on, live * X[I[feeder + FD_CLOSED]] * (1.0 - X[I[r + LD_SHED]]))
        if X[on] != before:
            X[BUSY] = 1.0


@inner
def collect(X, P, I, H, dt):
    """Add up what loads draw and ask for, feeder by feeder and bus by bus, with what feeders lose."""
    loads = H[3 * LOADS + 1]
    feeders = H[3 * FEEDERS + 1]
    buses = H[3 * BUSES + 1]
    for k in range(H[3 * FEEDERS]):
        r = feeders + k * FD_I
        X[I[r + FD_SLOPE]] = X[I[r + FD_POWER]]
        X[I[r + FD_POWER]] = 0.0
        X[I[r + FD_ASKED]] = 0.0
    for b in range(H[3 * BUSES]):
        X[I[buses + b * BU_I + BU_DRAWN]] = 0.0
        X[I[buses + b * BU_I + BU_STARTING]] = 0.0
    for k in range(H[3 * TRANSFORMERS]):
        X[I[H[3 * TRANSFORMERS + 1] + k * TR_I + TR_LOSS]] = 0.0
    for k in range(H[3 * LOADS]):
        r = loads + k * LD_I
        p = H[3 * LOADS + 2] + k * LD_P
        feeder = feeders + I[r + LD_FEEDER] * FD_I
        drawn = X[I[r + LD_POWER]]
        X[I[feeder + FD_POWER]] += drawn
        asked = drawn
        if X[I[r + LD_ON]] == 0.0 and drawn == 0.0:
            asked = P[p + LD_RATED] * X[I[r + LD_ASKS]]
        X[I[feeder + FD_ASKED]] += asked
        if drawn > 0.0 and X[I[r + LD_BEFORE]] == 0.0:
            X[I[buses + I[feeder + FD_BUS] * BU_I + BU_STARTING]] += P[p + LD_STARTING]
        X[I[r + LD_BEFORE]] = drawn
    for k in range(H[3 * FEEDERS]):
        r = feeders + k * FD_I
        p = H[3 * FEEDERS + 2] + k * FD_P
        carried = X[I[r + FD_POWER]]
        share = carried / P[p + FD_LIMIT] if P[p + FD_LIMIT] > 0.0 else 0.0
        lost = P[p + FD_LOAD_LOSS] * share * share
        X[I[r + FD_LOSS]] = lost
        X[I[r + FD_DROP]] = P[p + FD_LOAD_DROP] * share
        X[I[r + FD_POWER]] = carried + lost
        X[I[r + FD_SLOPE]] = abs(carried + lost - X[I[r + FD_SLOPE]]) / dt
        X[I[buses + I[r + FD_BUS] * BU_I + BU_DRAWN]] += carried + lost


@inner
def protect(X, P, I, H, dt):
    """Open feeders and transformers above their limits, and let feeders close again, each in its time."""
    for k in range(H[3 * FEEDERS]):
        r = H[3 * FEEDERS + 1] + k * FD_I
        p = H[3 * FEEDERS + 2] + k * FD_P
        if I[r + FD_OPENS] == 0:
            continue
        clock = I[r + FD_CLOCK]
        if X[I[r + FD_TRIPPED]] != 0.0:
            X[clock] += dt
            if P[p + FD_AGAIN] > 0.0 and X[clock] >= P[p + FD_AGAIN]:
                X[I[r + FD_TRIPPED]] = 0.0
                X[clock] = 0.0
        elif X[I[r + FD_POWER]] > P[p + FD_LIMIT] * (1.0 + ROUNDING):
            X[clock] += dt
            if X[clock] > P[p + FD_AFTER]:
                X[I[r + FD_TRIPPED]] = 1.0
                X[clock] = 0.0
        else:
            X[clock] = 0.0
    for k in range(H[3 * TRANSFORMERS]):
        r = H[3 * TRANSFORMERS + 1] + k * TR_I
        p = H[3 * TRANSFORMERS + 2] + k * TR_P
        if I[r + TR_OPENS] == 1 and abs(X[I[r + TR_POWER]]) > P[p + TR_RATING] * (1.0 + ROUNDING):
            X[I[r + TR_TRIPPED]] = 1.0
