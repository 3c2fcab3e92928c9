"""Power: feeders carry loads up to a bus, which machines, a battery and the grid supply.

A bus balances every step: what is made, less what is used, goes to or comes from the
battery, then the grid; what still lacks is a shortfall, and the next loads in shedding
order are dropped from the next tick on.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BA_CAPACITY,
    BA_CHARGE,
    BA_FLOOR,
    BA_I,
    BA_IN,
    BA_MAX_IN,
    BA_MAX_OUT,
    BA_OUT,
    BA_P,
    BA_POWER,
    BATTERIES,
    BU_BACK,
    BU_BATTERY,
    BU_GENERATION,
    BU_GRID,
    BU_I,
    BU_IMPORT,
    BU_LIVE,
    BU_MADE,
    BU_NBATTERY,
    BU_NGENERATION,
    BU_P,
    BU_SHORT,
    BU_USED,
    BUSES,
    FD_BUS,
    FD_CLOSED,
    FD_DROP,
    FD_FIXED,
    FD_HEAT,
    FD_I,
    FD_LIMIT,
    FD_LOSS,
    FD_OVER,
    FD_P,
    FD_POWER,
    FD_UP,
    FEEDERS,
    LD_CLOCK,
    LD_FEEDER,
    LD_I,
    LD_ON,
    LD_P,
    LD_POWER,
    LD_RATED,
    LD_SHED,
    LOADS,
)
from brinewright.kernel.nodes import put


@inner
def supply(X, F, P, I, H, dt):
    """Balance every bus for the step just made and decide what is powered in the next.

    Loads and feeders stand in order: a feeder's own feeder comes after it.
    """
    loads = H[3 * LOADS + 1]
    loads_p = H[3 * LOADS + 2]
    feeders = H[3 * FEEDERS + 1]
    feeders_p = H[3 * FEEDERS + 2]
    buses = H[3 * BUSES + 1]
    buses_p = H[3 * BUSES + 2]
    for f in range(H[3 * FEEDERS]):
        X[I[feeders + f * FD_I + FD_POWER]] = 0.0
    for b in range(H[3 * BUSES]):
        X[I[buses + b * BU_I + BU_USED]] = 0.0
    for k in range(H[3 * LOADS]):
        r = loads + k * LD_I
        X[I[feeders + I[r + LD_FEEDER] * FD_I + FD_POWER]] += X[I[r + LD_POWER]]
    for f in range(H[3 * FEEDERS]):
        r = feeders + f * FD_I
        p = feeders_p + f * FD_P
        carried = X[I[r + FD_POWER]]
        limit = P[p + FD_LIMIT]
        lost = 0.0
        if X[I[r + FD_CLOSED]] != 0.0:
            share = carried / limit if limit > 0.0 else 0.0
            lost = P[p + FD_FIXED] + P[p + FD_LOSS] * share * share
        X[I[r + FD_HEAT]] = lost
        if limit > 0.0 and carried > limit * (1.0 + 1e-9) and I[r + FD_OVER] == 1:
            put(X, F, I[r + FD_CLOSED], 0.0)
        above = I[r + FD_UP]
        if above >= 0:
            X[I[feeders + above * FD_I + FD_POWER]] += carried + lost
        else:
            X[I[buses + I[r + FD_BUS] * BU_I + BU_USED]] += carried + lost
    for b in range(H[3 * BUSES]):
        _balance(X, F, P, I, H, buses + b * BU_I, buses_p + b * BU_P, b, dt)
    for k in range(H[3 * LOADS]):
        r = loads + k * LD_I
        feeder = feeders + I[r + LD_FEEDER] * FD_I
        live = X[I[buses + I[feeder + FD_BUS] * BU_I + BU_LIVE]]
        up = I[r + LD_FEEDER]
        while up >= 0:
            live *= X[I[feeders + up * FD_I + FD_CLOSED]]
            up = I[feeders + up * FD_I + FD_UP]
        put(X, F, I[r + LD_ON], live if X[I[r + LD_CLOCK]] >= 0.0 else 0.0)


@inner
def _balance(X, F, P, I, H, r, p, b, dt):
    """Balance one bus; shed or take back one load at a time."""
    made = 0.0
    for k in range(I[r + BU_NGENERATION]):
        made += X[I[I[r + BU_GENERATION] + k]]
    X[I[r + BU_MADE]] = made
    net = made - X[I[r + BU_USED]]
    batteries = H[3 * BATTERIES + 1]
    numbers = H[3 * BATTERIES + 2]
    spare = 0.0
    for k in range(I[r + BU_NBATTERY]):
        record = I[I[r + BU_BATTERY] + k]
        i = batteries + record * BA_I
        q = numbers + record * BA_P
        charge = X[I[i + BA_CHARGE]]
        if net >= 0.0:
            into = min(net, P[q + BA_MAX_IN], (P[q + BA_CAPACITY] - charge) / (P[q + BA_IN] * dt))
            into = max(into, 0.0)
            X[I[i + BA_CHARGE]] = charge + into * P[q + BA_IN] * dt
            X[I[i + BA_POWER]] = -into
            net -= into
            spare += P[q + BA_MAX_OUT] if charge > P[q + BA_FLOOR] else 0.0
        else:
            out = min(-net, P[q + BA_MAX_OUT], (charge - P[q + BA_FLOOR]) * P[q + BA_OUT] / dt)
            out = max(out, 0.0)
            X[I[i + BA_CHARGE]] = charge - out / P[q + BA_OUT] * dt
            X[I[i + BA_POWER]] = out
            net += out
            spare += max(P[q + BA_MAX_OUT] - out, 0.0) if charge > P[q + BA_FLOOR] else 0.0
    grid = X[I[r + BU_GRID]]
    imported = min(max(-net, 0.0), grid)
    X[I[r + BU_IMPORT]] = imported
    net += imported
    short = max(-net, 0.0)
    if short < 1e-9 * X[I[r + BU_USED]]:
        short = 0.0
    X[I[r + BU_SHORT]] = short
    spare += grid - imported + max(net, 0.0)
    loads = H[3 * LOADS + 1]
    loads_p = H[3 * LOADS + 2]
    feeders = H[3 * FEEDERS + 1]
    if short > 0.0:
        # drop in order until the shortfall is covered; nothing left to drop: the bus goes dead
        freed = 0.0
        for _ in range(H[3 * LOADS]):
            first = -1
            for k in range(H[3 * LOADS]):
                m = loads + k * LD_I
                if I[feeders + I[m + LD_FEEDER] * FD_I + FD_BUS] != b:
                    continue
                if I[m + LD_SHED] > 0 and X[I[m + LD_CLOCK]] >= 0.0 and X[I[m + LD_POWER]] > 0.0 and (
                    first < 0 or I[m + LD_SHED] < I[loads + first * LD_I + LD_SHED]
                ):
                    first = k
            if first < 0:
                break
            m = loads + first * LD_I
            X[I[m + LD_CLOCK]] = -P[p + BU_BACK]
            freed += X[I[m + LD_POWER]]
            if freed >= short:
                break
        put(X, F, I[r + BU_LIVE], 1.0 if freed >= short * (1.0 - 1e-9) else 0.0)
    else:
        if X[I[r + BU_LIVE]] == 0.0 and spare > 0.0:
            put(X, F, I[r + BU_LIVE], 1.0)
        last = -1
        for k in range(H[3 * LOADS]):
            m = loads + k * LD_I
            if I[feeders + I[m + LD_FEEDER] * FD_I + FD_BUS] == b and X[I[m + LD_CLOCK]] < 0.0:
                X[I[m + LD_CLOCK]] = min(X[I[m + LD_CLOCK]] + dt, -1e-9)
                if X[I[m + LD_CLOCK]] > -1e-6 and (
                    last < 0 or I[m + LD_SHED] > I[loads + last * LD_I + LD_SHED]
                ):
                    last = k
        if last >= 0 and spare >= P[loads_p + last * LD_P + LD_RATED]:
            X[I[loads + last * LD_I + LD_CLOCK]] = 0.0
