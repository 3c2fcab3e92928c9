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
    BA_STORED,
    BATTERIES,
    BU_BACK,
    BU_BALANCE,
    BU_BATTERY,
    BU_EXPORT,
    BU_GENERATION,
    BU_GRID,
    BU_GRID_POWER,
    BU_I,
    BU_LIVE,
    BU_MADE,
    BU_NBATTERY,
    BU_NGENERATION,
    BU_P,
    BU_SHEDS,
    BU_SHORT,
    BU_USED,
    BUSES,
    FD_AFTER,
    FD_AGAIN,
    FD_BUS,
    FD_CLOCK,
    FD_CLOSED,
    FD_FIXED_LOSS,
    FD_I,
    FD_LIMIT,
    FD_LOAD_LOSS,
    FD_LOSS,
    FD_OPENS,
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
from brinewright.laws.state import BUSY, put


@inner
def supply(X, F, P, I, H, dt):
    """Balance every bus for the step just made and decide what is powered in the next.

    Feeders stand in order: each before the one that feeds it.
    """
    loads = H[3 * LOADS + 1]
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
        lost = _feeder(X, F, P, I, r, feeders_p + f * FD_P, dt)
        passed = X[I[r + FD_POWER]] + lost
        above = I[r + FD_UP]
        if above >= 0:
            X[I[feeders + above * FD_I + FD_POWER]] += passed
        else:
            X[I[buses + I[r + FD_BUS] * BU_I + BU_USED]] += passed
    for b in range(H[3 * BUSES]):
        _balance(X, F, P, I, H, buses + b * BU_I, buses_p + b * BU_P, b, dt)
    for k in range(H[3 * LOADS]):
        r = loads + k * LD_I
        up = I[r + LD_FEEDER]
        live = X[I[buses + I[feeders + up * FD_I + FD_BUS] * BU_I + BU_LIVE]]
        while up >= 0:
            live *= X[I[feeders + up * FD_I + FD_CLOSED]]
            up = I[feeders + up * FD_I + FD_UP]
        on = live if X[I[r + LD_CLOCK]] >= 0.0 else 0.0
        if X[I[r + LD_ON]] != on and F[I[r + LD_ON]] == 0:
            X[I[r + LD_ON]] = on


@inner
def _feeder(X, F, P, I, r, p, dt):
    """Return what one feeder loses [W]; open it above its limit, or close it again, in its time."""
    carried = X[I[r + FD_POWER]]
    limit = P[p + FD_LIMIT]
    clock = I[r + FD_CLOCK]
    closed = X[I[r + FD_CLOSED]] != 0.0
    lost = 0.0
    if closed:
        share = carried / limit if limit > 0.0 else 0.0
        lost = P[p + FD_FIXED_LOSS] + P[p + FD_LOAD_LOSS] * share * share
    X[I[r + FD_LOSS]] = lost
    if I[r + FD_OPENS] == 0:
        return lost
    if closed and carried > limit * (1.0 + 1e-9):
        X[clock] += dt
        if X[clock] > P[p + FD_AFTER]:
            put(X, F, I[r + FD_CLOSED], 0.0)
            X[clock] = 0.0
    elif closed:
        X[clock] = 0.0
    elif P[p + FD_AGAIN] > 0.0:
        X[clock] += dt
        if X[clock] >= P[p + FD_AGAIN]:
            put(X, F, I[r + FD_CLOSED], 1.0)
            X[clock] = 0.0
    return lost


@inner
def _balance(X, F, P, I, H, r, p, b, dt):
    """Balance one bus: machines, battery, grid; then shed or take back loads."""
    made = 0.0
    for k in range(I[r + BU_NGENERATION]):
        made += X[I[I[r + BU_GENERATION] + k]]
    used = X[I[r + BU_USED]]
    X[I[r + BU_MADE]] = made
    net = made - used
    X[I[r + BU_BALANCE]] = net
    batteries = H[3 * BATTERIES + 1]
    numbers = H[3 * BATTERIES + 2]
    spare = 0.0
    for k in range(I[r + BU_NBATTERY]):
        record = I[I[r + BU_BATTERY] + k]
        i = batteries + record * BA_I
        q = numbers + record * BA_P
        stored = X[I[i + BA_STORED]]
        power = 0.0
        if net >= 0.0:
            into = min(net, P[q + BA_MAX_IN], (P[q + BA_CAPACITY] - stored) / (P[q + BA_IN] * dt))
            power = -max(into, 0.0)
            stored -= power * P[q + BA_IN] * dt
        else:
            out = min(-net, P[q + BA_MAX_OUT], (stored - P[q + BA_FLOOR]) * P[q + BA_OUT] / dt)
            power = max(out, 0.0)
            stored -= power / P[q + BA_OUT] * dt
        net += power
        X[I[i + BA_STORED]] = stored
        X[I[i + BA_POWER]] = power
        X[I[i + BA_CHARGE]] = stored / P[q + BA_CAPACITY]
        if stored > P[q + BA_FLOOR]:
            spare += P[q + BA_MAX_OUT] - max(power, 0.0)
    grid = X[I[r + BU_GRID]]
    traded = min(max(-net, 0.0), grid)
    if net > 0.0:
        traded = -min(net, X[I[r + BU_EXPORT]])
    X[I[r + BU_GRID_POWER]] = traded
    net += traded
    short = max(-net, 0.0)
    if short < 1e-9 * used:
        short = 0.0
    X[I[r + BU_SHORT]] = short
    spare += grid - max(traded, 0.0) + max(net, 0.0)
    if short > 0.0:
        freed = _shed(X, P, I, H, b, P[p + BU_BACK], short) if I[r + BU_SHEDS] == 1 else 0.0
        # what cannot be covered by shedding stops everything
        if freed < short * (1.0 - 1e-9):
            put(X, F, I[r + BU_LIVE], 0.0)
            X[BUSY] = 1.0
    else:
        if X[I[r + BU_LIVE]] == 0.0 and spare > 0.0:
            put(X, F, I[r + BU_LIVE], 1.0)
        _take_back(X, P, I, H, b, spare, dt)


@inner
def _shed(X, P, I, H, b, back, short):
    """Drop loads in their order until `short` [W] is freed; return what was freed [W]."""
    loads = H[3 * LOADS + 1]
    feeders = H[3 * FEEDERS + 1]
    freed = 0.0
    while freed < short:
        first = -1
        for k in range(H[3 * LOADS]):
            m = loads + k * LD_I
            if (
                I[feeders + I[m + LD_FEEDER] * FD_I + FD_BUS] == b
                and I[m + LD_SHED] > 0
                and X[I[m + LD_CLOCK]] >= 0.0
                and X[I[m + LD_POWER]] > 0.0
                and (first < 0 or I[m + LD_SHED] < I[loads + first * LD_I + LD_SHED])
            ):
                first = k
        if first < 0:
            return freed
        m = loads + first * LD_I
        X[I[m + LD_CLOCK]] = -max(back, 1e-9)
        freed += X[I[m + LD_POWER]]
    return freed


@inner
def _take_back(X, P, I, H, b, spare, dt):
    """Let the load that was dropped last come back when its time is up and there is power for it."""
    loads = H[3 * LOADS + 1]
    feeders = H[3 * FEEDERS + 1]
    last = -1
    for k in range(H[3 * LOADS]):
        m = loads + k * LD_I
        clock = I[m + LD_CLOCK]
        if I[feeders + I[m + LD_FEEDER] * FD_I + FD_BUS] == b and X[clock] < 0.0:
            X[clock] = min(X[clock] + dt, -1e-9)
            if X[clock] > -1e-6 and (last < 0 or I[m + LD_SHED] > I[loads + last * LD_I + LD_SHED]):
                last = k
    if last >= 0 and spare >= P[H[3 * LOADS + 2] + last * LD_P + LD_RATED]:
        X[I[loads + last * LD_I + LD_CLOCK]] = 0.0
