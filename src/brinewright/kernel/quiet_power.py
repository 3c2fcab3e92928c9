"""How many ticks may be stepped over because the power supply decides nothing in them."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BA_CAPACITY,
    BA_FLOOR,
    BA_I,
    BA_P,
    BA_POWER,
    BA_STORED,
    BATTERIES,
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
)


@inner
def until_power_decides(X, P, I, H, ticks):
    """Return for how many ticks no feeder opens or closes by itself, and no bus or battery can run short."""
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
    i = H[3 * BATTERIES + 1]
    p = H[3 * BATTERIES + 2]
    for _ in range(H[3 * BATTERIES]):
        power = X[I[i + BA_POWER]]
        stored = X[I[i + BA_STORED]]
        left = stored - P[p + BA_FLOOR] if power > 0.0 else P[p + BA_CAPACITY] - stored
        if power != 0.0:
            ticks = max(1, min(ticks, int(left / (2.0 * abs(power)))))
        i += BA_I
        p += BA_P
    return ticks
