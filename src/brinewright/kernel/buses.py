"""How power gets from where it is made to where it is needed, over buses that transformers join.

Machines give first, then batteries, then grids.  Each comes from as near as can be had:
from the bus itself, then over as few transformers as possible, within their ratings; only
what cannot be had so overloads a transformer.  What machines make too much charges
batteries, then goes to grids that take it; the rest is spilled.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BU_I,
    BU_LIVE,
    BU_WORK,
    BUSES,
    TR_BUS,
    TR_CLOSED,
    TR_I,
    TR_P,
    TR_POWER,
    TR_RATING,
    TR_SUPPLY,
    TRANSFORMERS,
    WO_BATTERIES,
    WO_CHARGE,
    WO_DEPTH,
    WO_EXPORT,
    WO_GRIDS,
    WO_MACHINES,
    WO_NEED,
    WO_WAY,
)

SMALLEST = 1e-9
"""Share of a rating that counts as none."""


@inner
def work(I, H, bus):
    """Return where the working values of a bus start in X."""
    return I[H[3 * BUSES + 1] + bus * BU_I + BU_WORK]


@inner
def _is_live(X, I, H, bus):
    return X[I[H[3 * BUSES + 1] + bus * BU_I + BU_LIVE]] != 0.0


@inner
def _room(X, P, I, H, transformer, towards):
    """Return what a transformer may pass more towards one of its buses, within its rating [W]."""
    r = H[3 * TRANSFORMERS + 1] + transformer * TR_I
    rating = P[H[3 * TRANSFORMERS + 2] + transformer * TR_P + TR_RATING]
    passed = X[I[r + TR_POWER]] if towards == I[r + TR_BUS] else -X[I[r + TR_POWER]]
    room = rating - passed
    return room if room > SMALLEST * rating else 0.0


@inner
def search(X, P, I, H, bus, what, within):
    """Look from a bus outward for one that has `what`; return it, or -1 when all in reach have been seen.

    Marks on each bus how many transformers away it is and over which one.  `within` keeps
    to ratings.  With `what` < 0 all in reach are marked.
    """
    for b in range(H[3 * BUSES]):
        X[work(I, H, b) + WO_DEPTH] = -1.0
    here = work(I, H, bus)
    X[here + WO_DEPTH] = 0.0
    X[here + WO_WAY] = -1.0
    if what >= 0 and X[here + what] > 0.0:
        return bus
    depth = 0.0
    found = True
    while found:
        found = False
        for t in range(H[3 * TRANSFORMERS]):
            r = H[3 * TRANSFORMERS + 1] + t * TR_I
            if X[I[r + TR_CLOSED]] == 0.0:
                continue
            for side in range(2):
                near = I[r + TR_SUPPLY] if side == 0 else I[r + TR_BUS]
                far = I[r + TR_BUS] if side == 0 else I[r + TR_SUPPLY]
                if (
                    X[work(I, H, near) + WO_DEPTH] == depth
                    and X[work(I, H, far) + WO_DEPTH] < 0.0
                    and _is_live(X, I, H, far)
                    and (not within or _room(X, P, I, H, t, near) > 0.0)
                ):
                    X[work(I, H, far) + WO_DEPTH] = depth + 1.0
                    X[work(I, H, far) + WO_WAY] = t
                    found = True
        depth += 1.0
        if what >= 0:
            for b in range(H[3 * BUSES]):
                if X[work(I, H, b) + WO_DEPTH] == depth and X[work(I, H, b) + what] > 0.0:
                    return b
    return -1


@inner
def _before(X, I, H, bus):
    """Return the bus that comes before this one on the way that was found, and the transformer between."""
    t = int(X[work(I, H, bus) + WO_WAY])
    r = H[3 * TRANSFORMERS + 1] + t * TR_I
    return (I[r + TR_SUPPLY] if bus == I[r + TR_BUS] else I[r + TR_BUS]), t


@inner
def _bring(X, P, I, H, bus, source, power, within):
    """Pass up to `power` [W] from a source to a bus along the way that was found; return what passed."""
    at = source
    while within and at != bus:
        nearer, t = _before(X, I, H, at)
        power = min(power, _room(X, P, I, H, t, nearer))
        at = nearer
    at = source
    while at != bus:
        nearer, t = _before(X, I, H, at)
        r = H[3 * TRANSFORMERS + 1] + t * TR_I
        X[I[r + TR_POWER]] += power if nearer == I[r + TR_BUS] else -power
        at = nearer
    return power


@inner
def _cover(X, P, I, H, need, source, within):
    """Meet what each bus needs from what others have, the nearest first."""
    alone = H[3 * TRANSFORMERS] == 0
    for b in range(H[3 * BUSES]):
        w = work(I, H, b)
        if alone:
            power = min(X[w + need], X[w + source]) if _is_live(X, I, H, b) else 0.0
            X[w + need] -= power
            X[w + source] -= power
            continue
        while X[w + need] > 0.0 and _is_live(X, I, H, b):
            other = search(X, P, I, H, b, source, within)
            if other < 0:
                break
            there = work(I, H, other) + source
            power = _bring(X, P, I, H, b, other, min(X[w + need], X[there]), within)
            X[w + need] -= power
            X[there] -= power


@inner
def share_out(X, P, I, H):
    """Let all needs be met: from machines, batteries, grids; if it must be beyond the ratings."""
    for turn in range(2 if H[3 * TRANSFORMERS] > 0 else 1):
        _cover(X, P, I, H, WO_NEED, WO_MACHINES, turn == 0)
        _cover(X, P, I, H, WO_NEED, WO_BATTERIES, turn == 0)
        _cover(X, P, I, H, WO_NEED, WO_GRIDS, turn == 0)


@inner
def use_surplus(X, P, I, H):
    """Let what machines make too much charge batteries, then go to grids, within ratings."""
    _cover(X, P, I, H, WO_CHARGE, WO_MACHINES, True)
    _cover(X, P, I, H, WO_EXPORT, WO_MACHINES, True)


@inner
def spare(X, P, I, H, bus, what):
    """Return what could still be had at a bus [W], with `what` its batteries give: now, or for long."""
    if H[3 * TRANSFORMERS] == 0:
        w = work(I, H, bus)
        return X[w + WO_MACHINES] + X[w + WO_GRIDS] + max(X[w + what], 0.0)
    search(X, P, I, H, bus, -1, True)
    total = 0.0
    for b in range(H[3 * BUSES]):
        w = work(I, H, b)
        if X[w + WO_DEPTH] >= 0.0:
            total += X[w + WO_MACHINES] + X[w + WO_GRIDS] + max(X[w + what], 0.0)
    return total
