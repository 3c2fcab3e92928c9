"""What a bus does that is short: it sheds loads or stops, and takes them back in time."""

from brinewright.jit import inner
from brinewright.kernel.buses import spare, work
from brinewright.kernel.feeders import ROUNDING
from brinewright.kernel.layout import (
    BA_BUS,
    BA_GIVES,
    BA_I,
    BATTERIES,
    BU_BACK,
    BU_CLOCK,
    BU_DIP,
    BU_FALL,
    BU_I,
    BU_LEAST,
    BU_LIVE,
    BU_LOWEST,
    BU_MACHINES,
    BU_MARGIN,
    BU_NAPART,
    BU_NMACHINES,
    BU_NOMINAL,
    BU_P,
    BU_SHEDS,
    BU_SHORT,
    BU_SLOPE,
    BU_STARTING,
    BU_STRENGTH,
    BU_VOLTAGE,
    BUSES,
    FD_BUS,
    FD_CLOSED,
    FD_I,
    FEEDERS,
    LD_ASKS,
    LD_FEEDER,
    LD_I,
    LD_ORDER,
    LD_P,
    LD_POWER,
    LD_RATED,
    LD_SHED,
    LOADS,
    WO_BATTERIES,
    WO_LASTING,
    WO_SPARE,
)
from brinewright.kernel.stores import gives
from brinewright.laws.electric import starting_dip
from brinewright.laws.state import put


@inner
def look_ahead_of_power(X, P, I, H, dt, since):
    """Keep how much power each bus has to spare now, how fast that changes, and what it has for long.

    How fast is told when loads have just been asked, `since` seconds after they were before.
    """
    for k in range(H[3 * BATTERIES]):
        r = H[3 * BATTERIES + 1] + k * BA_I
        X[work(I, H, I[r + BA_BUS]) + WO_LASTING] -= X[I[r + BA_GIVES]]
    for b in range(H[3 * BUSES]):
        w = work(I, H, b)
        X[w + WO_LASTING] += X[w + WO_BATTERIES]
    for b in range(H[3 * BUSES]):
        r = H[3 * BUSES + 1] + b * BU_I
        margin = spare(X, P, I, H, b, WO_BATTERIES)
        # what a battery can give is told for one tick, so that steps of any length compare
        for k in range(H[3 * BATTERIES] if dt > 1.0 else 0):
            battery = H[3 * BATTERIES + 1] + k * BA_I
            if I[battery + BA_BUS] == b:
                margin += gives(X, P, I, H, k, 1.0) - X[I[battery + BA_GIVES]]
        least = margin
        for k in range(I[r + BU_NMACHINES] - I[r + BU_NAPART], I[r + BU_NMACHINES]):
            least -= X[I[I[r + BU_MACHINES] + k]]
        if since > 0.0:
            X[I[r + BU_SLOPE]] = abs(margin - X[I[r + BU_MARGIN]]) / since
            X[I[r + BU_FALL]] = abs(least - X[I[r + BU_LEAST]]) / since
        X[I[r + BU_MARGIN]] = margin
        X[I[r + BU_LEAST]] = least
        X[work(I, H, b) + WO_SPARE] = spare(X, P, I, H, b, WO_LASTING)


@inner
def decide(X, F, P, I, H, b, dt):
    """Let a bus that is short shed loads or stop, and take back what was dropped when power suffices."""
    r = H[3 * BUSES + 1] + b * BU_I
    p = H[3 * BUSES + 2] + b * BU_P
    live = I[r + BU_LIVE]
    clock = I[r + BU_CLOCK]
    had = X[work(I, H, b) + WO_SPARE]
    dip = 0.0
    if P[p + BU_STRENGTH] > 0.0:
        dip = starting_dip(X[I[r + BU_STARTING]], P[p + BU_STRENGTH])
    X[I[r + BU_VOLTAGE]] = P[p + BU_NOMINAL] * (1.0 - dip) * X[live]
    X[I[r + BU_DIP]] = 1.0 if X[live] != 0.0 and 1.0 - dip < P[p + BU_LOWEST] else 0.0
    if X[live] == 0.0:
        wanted = _rated(X, P, I, H, b, 0 if I[r + BU_SHEDS] == 1 else -1)
        X[clock] = X[clock] + dt if had >= wanted and had > 0.0 else 0.0
        if X[clock] > 0.0 and X[clock] >= P[p + BU_BACK]:
            put(X, F, live, 1.0)
            X[clock] = 0.0
        return
    short = X[I[r + BU_SHORT]]
    stops = X[I[r + BU_DIP]] != 0.0
    if not stops and short > 0.0:
        stops = I[r + BU_SHEDS] == 0 or not _shed(X, I, H, b, short)
    if stops:
        put(X, F, live, 0.0)
        if I[r + BU_SHEDS] == 1:
            # what has an order comes back in its turn
            _shed(X, I, H, b, 1e300)
    last = _last_shed(X, I, H, b)
    if stops or short > 0.0 or last == 0 or had < _rated(X, P, I, H, b, last):
        X[clock] = 0.0
        return
    X[clock] += dt
    if X[clock] >= P[p + BU_BACK]:
        _mark(X, I, H, b, last, 0.0)
        X[clock] = 0.0


@inner
def _rated(X, P, I, H, b, order):
    """Return the rated power of the loads of an order that would run [W]; 0: never shed, -1: all."""
    rated = 0.0
    for k in range(H[3 * LOADS]):
        r = H[3 * LOADS + 1] + k * LD_I
        feeder = H[3 * FEEDERS + 1] + I[r + LD_FEEDER] * FD_I
        if I[feeder + FD_BUS] == b and (order < 0 or I[r + LD_ORDER] == order):
            rated += P[H[3 * LOADS + 2] + k * LD_P + LD_RATED] * X[I[r + LD_ASKS]] * X[I[feeder + FD_CLOSED]]
    return rated


@inner
def _mark(X, I, H, b, order, shed):
    """Shed all loads of one order, or take them back."""
    for k in range(H[3 * LOADS]):
        r = H[3 * LOADS + 1] + k * LD_I
        if I[H[3 * FEEDERS + 1] + I[r + LD_FEEDER] * FD_I + FD_BUS] == b and I[r + LD_ORDER] == order:
            X[I[r + LD_SHED]] = shed


@inner
def _last_shed(X, I, H, b):
    """Return the order that was shed last and comes back first; 0 for none."""
    last = 0
    for k in range(H[3 * LOADS]):
        r = H[3 * LOADS + 1] + k * LD_I
        if (
            I[H[3 * FEEDERS + 1] + I[r + LD_FEEDER] * FD_I + FD_BUS] == b
            and X[I[r + LD_SHED]] != 0.0
            and I[r + LD_ORDER] > last
        ):
            last = I[r + LD_ORDER]
    return last


@inner
def _shed(X, I, H, b, short):
    """Drop loads, order by order, until `short` [W] is freed; tell whether it was."""
    freed = 0.0
    while freed < short * (1.0 - ROUNDING):
        order = 0
        for k in range(H[3 * LOADS]):
            r = H[3 * LOADS + 1] + k * LD_I
            if (
                I[H[3 * FEEDERS + 1] + I[r + LD_FEEDER] * FD_I + FD_BUS] == b
                and X[I[r + LD_SHED]] == 0.0
                and I[r + LD_ORDER] > 0
                and (order == 0 or I[r + LD_ORDER] < order)
            ):
                order = I[r + LD_ORDER]
        if order == 0:
            return False
        for k in range(H[3 * LOADS]):
            r = H[3 * LOADS + 1] + k * LD_I
            if I[H[3 * FEEDERS + 1] + I[r + LD_FEEDER] * FD_I + FD_BUS] == b and I[r + LD_ORDER] == order:
                freed += X[I[r + LD_POWER]]
                X[I[r + LD_SHED]] = 1.0
    return True
