"""How many ticks may be stepped over because the power supply decides nothing in them."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BA_BUS,
    BA_CAPACITY,
    BA_FLOOR,
    BA_I,
    BA_P,
    BA_POWER,
    BA_STORED,
    BATTERIES,
    BU_BACK,
    BU_CLOCK,
    BU_FALL,
    BU_I,
    BU_LEAST,
    BU_LIVE,
    BU_MACHINES,
    BU_MARGIN,
    BU_NAPART,
    BU_NMACHINES,
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
    LD_I,
    LD_SHED,
    LOADS,
)

SURE = 1.25
"""Factor on a power that is taken to last."""


@inner
def stays_supplied(X, I, H):
    """Tell whether buses dropped nothing and have all they need even without what may tick by itself."""
    for k in range(H[3 * BUSES]):
        r = H[3 * BUSES + 1] + k * BU_I
        if X[I[r + BU_LIVE]] == 0.0 or (I[r + BU_NAPART] > 0 and not X[I[r + BU_LEAST]] > 0.0):
            return False
    shed = 0.0
    for k in range(H[3 * LOADS]):
        shed += X[I[H[3 * LOADS + 1] + k * LD_I + LD_SHED]]
    return shed == 0.0


@inner
def until_battery_ends(X, P, I, H, ticks):
    """Return for how many ticks no battery runs empty or full at its present power."""
    i = H[3 * BATTERIES + 1]
    p = H[3 * BATTERIES + 2]
    for _ in range(H[3 * BATTERIES]):
        power = X[I[i + BA_POWER]]
        stored = X[I[i + BA_STORED]]
        if power > 0.0:
            ticks = max(1, min(ticks, int((stored - P[p + BA_FLOOR]) / (2.0 * power))))
        elif power < 0.0:  # nothing is decided where it is full
            ticks = max(1, min(ticks, int((P[p + BA_CAPACITY] - stored) / (SURE * -power))))
        i += BA_I
        p += BA_P
    return ticks


@inner
def _until_battery_is_empty(X, P, I, H, ticks):
    """Return for how many ticks no battery runs empty, even if what may tick by itself makes nothing."""
    for k in range(H[3 * BATTERIES]):
        r = H[3 * BATTERIES + 1] + k * BA_I
        b = H[3 * BUSES + 1] + I[r + BA_BUS] * BU_I
        power = X[I[r + BA_POWER]]
        for m in range(I[b + BU_NMACHINES] - I[b + BU_NAPART], I[b + BU_NMACHINES]):
            power += X[I[I[b + BU_MACHINES] + m]]
        if power > 0.0:
            left = X[I[r + BA_STORED]] - P[H[3 * BATTERIES + 2] + k * BA_P + BA_FLOOR]
            ticks = max(1, min(ticks, int(left / (2.0 * power))))
    return ticks


@inner
def until_power_decides(X, P, I, H, ticks, apart):
    """Return for how many ticks no feeder opens or closes by itself, and no bus or battery can run short.

    Where some machines tick `apart`, whatever they make or do not make.
    """
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
        margin = X[I[r + BU_LEAST]] if apart else X[I[r + BU_MARGIN]]
        slope = X[I[r + BU_FALL]] if apart else X[I[r + BU_SLOPE]]
        if clock > 0.0:
            ticks = max(1, min(ticks, int(P[H[3 * BUSES + 2] + k * BU_P + BU_BACK] - clock)))
        if margin < 2.0 * slope * ticks:
            ticks = max(1, int(margin / (2.0 * slope)))
    return _until_battery_is_empty(X, P, I, H, ticks) if apart else until_battery_ends(X, P, I, H, ticks)
