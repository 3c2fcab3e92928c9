"""Power: feeders carry loads to buses, which machines, batteries, grids and transformers supply.

`connect` begins a step: what is closed and has power.  `supply` ends it: what was drawn is
met, or told as short; feeders above their limit open, buses shed loads or stop, and take
loads back when there has been enough power for long enough.
"""

from brinewright.jit import inner
from brinewright.kernel.buses import share_out, use_surplus, work
from brinewright.kernel.feeders import ROUNDING, collect, protect
from brinewright.kernel.layout import (
    BU_DRAWN,
    BU_I,
    BU_IMPORTED,
    BU_SHORT,
    BU_SPILLED,
    BUSES,
    TR_I,
    TR_POWER,
    TRANSFORMERS,
    WO_MACHINES,
    WO_NEED,
)
from brinewright.kernel.shedding import decide, look_ahead_of_power
from brinewright.kernel.stores import offer, settle_batteries, settle_grids


@inner
def supply(X, F, P, I, H, dt, since):
    """Meet what was drawn in the step just made, and decide what has power in the next.

    `since` is how long ago loads could last have changed [s]; 0 where they are the same as in the
    step before.
    """
    if H[3 * BUSES] == 0:
        return
    if since > 0.0:
        collect(X, P, I, H, since)
    offer(X, P, I, H, dt)
    turns = 2 if H[3 * TRANSFORMERS] > 0 else 1
    for turn in range(turns):
        if turn > 0:
            # the winding losses of what passes are known now
            offer(X, P, I, H, dt)
        for k in range(H[3 * TRANSFORMERS]):
            X[I[H[3 * TRANSFORMERS + 1] + k * TR_I + TR_POWER]] = 0.0
        share_out(X, P, I, H)
    look_ahead_of_power(X, P, I, H, dt, since)
    use_surplus(X, P, I, H)
    for b in range(H[3 * BUSES]):
        r = H[3 * BUSES + 1] + b * BU_I
        w = work(I, H, b)
        short = X[w + WO_NEED]
        X[I[r + BU_SHORT]] = short if short > ROUNDING * X[I[r + BU_DRAWN]] else 0.0
        X[I[r + BU_SPILLED]] = X[w + WO_MACHINES]
        X[I[r + BU_IMPORTED]] = 0.0
    settle_batteries(X, P, I, H, dt)
    settle_grids(X, P, I, H)
    protect(X, P, I, H, dt)
    for b in range(H[3 * BUSES]):
        decide(X, F, P, I, H, b, dt)
