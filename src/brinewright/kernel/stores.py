"""What each bus needs, and what machines, batteries and grids on it give and take."""

from brinewright.jit import inner
from brinewright.kernel.buses import work
from brinewright.kernel.layout import (
    BA_BUS,
    BA_CAPACITY,
    BA_CHARGE,
    BA_COMMAND,
    BA_FLOOR,
    BA_GIVES,
    BA_I,
    BA_IN,
    BA_LOSS,
    BA_MAX_IN,
    BA_MAX_OUT,
    BA_OUT,
    BA_P,
    BA_POWER,
    BA_STANDING,
    BA_STORED,
    BA_TAKES,
    BATTERIES,
    BU_BACK,
    BU_BALANCE,
    BU_DRAWN,
    BU_I,
    BU_IMPORTED,
    BU_LIVE,
    BU_MACHINES,
    BU_MADE,
    BU_NMACHINES,
    BU_P,
    BUSES,
    GR_BUS,
    GR_CLOSED,
    GR_EXPORT,
    GR_EXPORTED,
    GR_I,
    GR_IMPORT,
    GR_P,
    GR_POWER,
    GRIDS,
    TR_BUS,
    TR_CLOSED,
    TR_CORE,
    TR_I,
    TR_LOSS,
    TR_P,
    TR_POWER,
    TR_RATING,
    TR_SUPPLY,
    TR_WINDING,
    TRANSFORMERS,
    WO_BATTERIES,
    WO_CHARGE,
    WO_EXPORT,
    WO_GRIDS,
    WO_LASTING,
    WO_MACHINES,
    WO_NEED,
)


@inner
def offer(X, P, I, H, dt):
    """Write down what each bus needs and what machines, batteries and grids on it can give and take [W].

    A transformer takes its loss from what supplies it, with what it passed when last asked.
    """
    for k in range(H[3 * TRANSFORMERS]):
        r = H[3 * TRANSFORMERS + 1] + k * TR_I
        p = H[3 * TRANSFORMERS + 2] + k * TR_P
        share = X[I[r + TR_POWER]] / P[p + TR_RATING]
        lost = (P[p + TR_CORE] + P[p + TR_WINDING] * share * share) * X[I[r + TR_CLOSED]]
        lost *= X[I[H[3 * BUSES + 1] + I[r + TR_SUPPLY] * BU_I + BU_LIVE]]
        drawn = I[H[3 * BUSES + 1] + I[r + TR_SUPPLY] * BU_I + BU_DRAWN]
        # a second offer of the same step replaces the loss of the first
        X[drawn] += lost - X[I[r + TR_LOSS]]
        X[I[r + TR_LOSS]] = lost
    for b in range(H[3 * BUSES]):
        r = H[3 * BUSES + 1] + b * BU_I
        w = work(I, H, b)
        made = 0.0
        for k in range(I[r + BU_NMACHINES]):
            made += X[I[I[r + BU_MACHINES] + k]]
        net = made - X[I[r + BU_DRAWN]]
        X[I[r + BU_MADE]] = made
        X[I[r + BU_BALANCE]] = net
        X[w + WO_NEED] = max(-net, 0.0)
        X[w + WO_MACHINES] = max(net, 0.0)
        X[w + WO_BATTERIES] = 0.0
        X[w + WO_LASTING] = 0.0
        X[w + WO_CHARGE] = 0.0
        X[w + WO_GRIDS] = 0.0
        X[w + WO_EXPORT] = 0.0
    for k in range(H[3 * BATTERIES]):
        r = H[3 * BATTERIES + 1] + k * BA_I
        w = work(I, H, I[r + BA_BUS])
        horizon = max(P[H[3 * BUSES + 2] + I[r + BA_BUS] * BU_P + BU_BACK], dt)
        can_give = gives(X, P, I, H, k, dt)
        can_take = takes(X, P, I, H, k, dt)
        X[I[r + BA_GIVES]] = can_give
        X[I[r + BA_TAKES]] = can_take
        X[w + WO_BATTERIES] += can_give
        X[w + WO_LASTING] += gives(X, P, I, H, k, horizon)
        X[w + WO_CHARGE] += can_take
    for k in range(H[3 * GRIDS]):
        r = H[3 * GRIDS + 1] + k * GR_I
        p = H[3 * GRIDS + 2] + k * GR_P
        w = work(I, H, I[r + GR_BUS])
        X[w + WO_GRIDS] += P[p + GR_IMPORT] * X[I[r + GR_CLOSED]]
        X[w + WO_EXPORT] += P[p + GR_EXPORT] * X[I[r + GR_CLOSED]]


@inner
def gives(X, P, I, H, k, time):
    """Return what a battery can give for so long [W], after its standing loss."""
    r = H[3 * BATTERIES + 1] + k * BA_I
    p = H[3 * BATTERIES + 2] + k * BA_P
    usable = X[I[r + BA_STORED]] - P[p + BA_STANDING] * time - P[p + BA_FLOOR]
    return X[I[r + BA_COMMAND]] * min(P[p + BA_MAX_OUT], max(usable, 0.0) * P[p + BA_OUT] / time)


@inner
def takes(X, P, I, H, k, time):
    """Return what a battery can take for so long [W]."""
    r = H[3 * BATTERIES + 1] + k * BA_I
    p = H[3 * BATTERIES + 2] + k * BA_P
    room = max(P[p + BA_CAPACITY] - X[I[r + BA_STORED]], 0.0)
    return X[I[r + BA_COMMAND]] * min(P[p + BA_MAX_IN], room / (P[p + BA_IN] * time))


@inner
def settle_batteries(X, P, I, H, dt):
    """Hand out to the batteries of each bus what they gave and took, one after another."""
    for b in range(H[3 * BUSES]):
        # what is left of what they could give and take
        unused = X[work(I, H, b) + WO_BATTERIES]
        unfilled = X[work(I, H, b) + WO_CHARGE]
        for turn in range(H[3 * BATTERIES]):
            k = H[3 * BATTERIES] - 1 - turn
            r = H[3 * BATTERIES + 1] + k * BA_I
            p = H[3 * BATTERIES + 2] + k * BA_P
            if I[r + BA_BUS] != b:
                continue
            can_give = X[I[r + BA_GIVES]]
            can_take = X[I[r + BA_TAKES]]
            given = max(can_give - unused, 0.0)
            taken = max(can_take - unfilled, 0.0)
            unused = max(unused - can_give, 0.0)
            unfilled = max(unfilled - can_take, 0.0)
            stored = X[I[r + BA_STORED]]
            standing = min(P[p + BA_STANDING] * dt, stored)
            stored += taken * P[p + BA_IN] * dt - given / P[p + BA_OUT] * dt - standing
            X[I[r + BA_STORED]] = stored
            X[I[r + BA_POWER]] = given - taken
            X[I[r + BA_CHARGE]] = stored / P[p + BA_CAPACITY]
            X[I[r + BA_LOSS]] = (
                taken * (1.0 - P[p + BA_IN]) + given * (1.0 / P[p + BA_OUT] - 1.0) + standing / dt
            )


@inner
def settle_grids(X, P, I, H):
    """Hand out to the grids of each bus what they gave and took; tell each bus what came from outside it."""
    buses = H[3 * BUSES + 1]
    for b in range(H[3 * BUSES]):
        unused = X[work(I, H, b) + WO_GRIDS]
        unfilled = X[work(I, H, b) + WO_EXPORT]
        for turn in range(H[3 * GRIDS]):
            k = H[3 * GRIDS] - 1 - turn
            r = H[3 * GRIDS + 1] + k * GR_I
            p = H[3 * GRIDS + 2] + k * GR_P
            if I[r + GR_BUS] != b:
                continue
            can_give = P[p + GR_IMPORT] * X[I[r + GR_CLOSED]]
            can_take = P[p + GR_EXPORT] * X[I[r + GR_CLOSED]]
            taken = max(can_take - unfilled, 0.0)
            X[I[r + GR_POWER]] = max(can_give - unused, 0.0) - taken
            X[I[r + GR_EXPORTED]] = taken
            unused = max(unused - can_give, 0.0)
            unfilled = max(unfilled - can_take, 0.0)
            X[I[buses + b * BU_I + BU_IMPORTED]] += X[I[r + GR_POWER]]
    for k in range(H[3 * TRANSFORMERS]):
        r = H[3 * TRANSFORMERS + 1] + k * TR_I
        X[I[buses + I[r + TR_BUS] * BU_I + BU_IMPORTED]] += X[I[r + TR_POWER]]
        X[I[buses + I[r + TR_SUPPLY] * BU_I + BU_IMPORTED]] -= X[I[r + TR_POWER]]
