"""Flows of all circuits: solved when something opened, shut or ran full or empty, else kept.

A ranked circuit has few distinct states, so each keeps its latest solutions by the exact
capacities that led to them.
"""

from brinewright.jit import inner
from brinewright.kernel.flow_lists import plan
from brinewright.kernel.layout import (
    BR_CAPS,
    BR_FLOW,
    BR_I,
    BR_NCAPS,
    BRANCHES,
    H_LIMIT,
    IS_BRANCHES,
    IS_CAPS,
    IS_HELD,
    IS_HF,
    IS_HI,
    IS_I,
    IS_LAW,
    IS_NBRANCHES,
    IS_NCAPS,
    IS_NF,
    IS_NI,
    IS_NPLAN,
    IS_NTANKS,
    IS_PLAN,
    IS_STANDING,
    IS_TANKS,
    ISLANDS,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JUNCTIONS,
    PLENTY,
    RANKED,
    REMEMBERED,
    TANKS,
    TK_I,
    TK_JUNCTION,
    TK_MASS,
    TK_MAX,
    TK_MIN,
    TK_P,
)
from brinewright.kernel.pressure_island import solve_pressure_island
from brinewright.kernel.ranked import UNSETTLED, solve_ranked
from brinewright.laws.state import BUSY

NEVER = -1
NEAR = 1e-9
"""Share of what a tank holds that counts as none."""


@inner
def _capacity(X, I, r):
    """Return what a branch carries now: the least of all that stands in it [kg/s]."""
    least = PLENTY
    for k in range(I[r + BR_NCAPS]):
        least = min(least, X[I[I[r + BR_CAPS] + k]])
    return max(least, 0.0)


@inner
def _through(X, I, H, junction, which):
    """Return what can come in (0) or go out (1) of a tank's junction at full capacity [kg/s]."""
    r = H[3 * JUNCTIONS + 1] + junction * JU_I
    first = I[r + JU_IN] if which == 0 else I[r + JU_OUT]
    number = I[r + JU_NIN] if which == 0 else I[r + JU_NOUT]
    total = 0.0
    for m in range(number):
        total += _capacity(X, I, H[3 * BRANCHES + 1] + I[first + m] * BR_I)
    return total


@inner
def _can(left, mass, through):
    """Return what a tank can give, or take [kg/s]: within one tick of a limit only what is left [kg]."""
    if left < NEAR * mass:
        return 0.0
    return left if left < through else PLENTY


@inner
def _is_as_before(X, P, I, H, r, HF, HI):
    """Tell whether a ranked circuit has the capacities, and its tanks the limits, that it was solved for.

    Behind all else its floats keep what it was solved for: each capacity, and for each tank what
    can come in and what can go out.
    """
    same = HI[I[r + IS_HI]] == 1
    kept = I[r + IS_HELD]
    for k in range(I[r + IS_NCAPS]):
        capacity = X[I[I[r + IS_CAPS] + k]]
        if HF[kept + k] != capacity:
            HF[kept + k] = capacity
            same = False
    if not same:
        return False
    through = kept + I[r + IS_NCAPS]
    key = I[r + IS_HF] + I[r + IS_NBRANCHES]
    nt = I[r + IS_NTANKS]
    for k in range(nt):
        tank = I[I[r + IS_TANKS] + k]
        p = H[3 * TANKS + 2] + tank * TK_P
        mass = X[I[H[3 * TANKS + 1] + tank * TK_I + TK_MASS]]
        if HF[key + k] != _can(mass - P[p + TK_MIN], mass, HF[through + 2 * k + 1]):
            return False
        if HF[key + nt + k] != _can(P[p + TK_MAX] - mass, mass, HF[through + 2 * k]):
            return False
    return True


@inner
def _ranked(X, P, I, H, r, plans, HF, HI, counters):
    """Bring one ranked circuit up to date; return 1 if flows changed, 0 if not, NEVER if unsolved."""
    if _is_as_before(X, P, I, H, r, HF, HI):
        return 0
    nb = I[r + IS_NBRANCHES]
    nt = I[r + IS_NTANKS]
    n_key = nb + 2 * nt
    f = I[r + IS_HF]
    h = I[r + IS_HI]
    branches = H[3 * BRANCHES + 1]
    same = HI[h] == 1
    partial = False
    for k in range(nb):
        cap = _capacity(X, I, branches + I[I[r + IS_BRANCHES] + k] * BR_I)
        if HF[f + k] != cap:
            HF[f + k] = cap
            same = False
    for k in range(nt):
        tank = I[I[r + IS_TANKS] + k]
        t = H[3 * TANKS + 1] + tank * TK_I
        p = H[3 * TANKS + 2] + tank * TK_P
        mass = X[I[t + TK_MASS]]
        through = I[r + IS_HELD] + I[r + IS_NCAPS] + 2 * k
        for which in range(2):
            HF[through + which] = _through(X, I, H, I[t + TK_JUNCTION], which)
        draw = _can(mass - P[p + TK_MIN], mass, HF[through + 1])
        fill = _can(P[p + TK_MAX] - mass, mass, HF[through])
        partial = partial or 0.0 < draw < PLENTY or 0.0 < fill < PLENTY
        if HF[f + nb + k] != draw or HF[f + nb + nt + k] != fill:
            HF[f + nb + k] = draw
            HF[f + nb + nt + k] = fill
            same = False
    if same:
        return 0
    flows = f + n_key
    width = n_key + nb + 1
    cache = flows + nb + I[r + IS_NF]
    for c in range(min(HI[h + 1], REMEMBERED)):
        at = cache + c * width
        equal = True
        for k in range(n_key):
            if HF[at + k] != HF[f + k]:
                equal = False
                break
        if equal:
            for k in range(nb):
                X[I[branches + I[I[r + IS_BRANCHES] + k] * BR_I + BR_FLOW]] = HF[at + n_key + k]
            X[I[r + IS_STANDING]] = HF[at + n_key + nb]
            HI[h] = 1
            return 1
    work_i = h + 2
    code = solve_ranked(
        plans[I[r + IS_PLAN] : I[r + IS_PLAN] + I[r + IS_NPLAN]],
        HF[f : f + nb],
        HF[f + nb : f + nb + nt],
        HF[f + nb + nt : f + n_key],
        HF[flows : flows + nb],
        HI[work_i : work_i + nb],
        HF[flows + nb : flows + nb + I[r + IS_NF]],
        HI[work_i + nb : work_i + nb + I[r + IS_NI]],
    )
    counters[3] += 1
    if code == UNSETTLED:
        return NEVER
    standing = 0.0
    for k in range(nb):
        X[I[branches + I[I[r + IS_BRANCHES] + k] * BR_I + BR_FLOW]] = HF[flows + k]
        standing += HI[work_i + k]
    X[I[r + IS_STANDING]] = standing
    HI[h] = 1
    if not partial:
        at = cache + (HI[h + 1] % REMEMBERED) * width
        HI[h + 1] += 1
        for k in range(n_key):
            HF[at + k] = HF[f + k]
        for k in range(nb):
            HF[at + n_key + k] = HF[flows + k]
        HF[at + n_key + nb] = standing
    return 1


@inner
def _tank_ticks(X, P, I, H, ticks):
    """Return for how many ticks no tank runs full or empty at the present flows."""
    for k in range(H[3 * TANKS]):
        t = H[3 * TANKS + 1] + k * TK_I
        p = H[3 * TANKS + 2] + k * TK_P
        r = H[3 * JUNCTIONS + 1] + I[t + TK_JUNCTION] * JU_I
        rate = 0.0
        inward = 0.0
        outward = 0.0
        for m in range(I[r + JU_NIN]):
            flow = X[I[H[3 * BRANCHES + 1] + I[I[r + JU_IN] + m] * BR_I + BR_FLOW]]
            rate += flow
            inward += max(flow, 0.0)
        for m in range(I[r + JU_NOUT]):
            flow = X[I[H[3 * BRANCHES + 1] + I[I[r + JU_OUT] + m] * BR_I + BR_FLOW]]
            rate -= flow
            outward += max(flow, 0.0)
        left = 1e18
        if rate < 0.0:
            left = (X[I[t + TK_MASS]] - P[p + TK_MIN]) / -rate - 1.0
        elif rate > 0.0:
            left = (P[p + TK_MAX] - X[I[t + TK_MASS]]) / rate - 1.0
        ticks = min(ticks, max(1, int(min(left, 1e9))))
    return ticks


@inner
def flow(X, P, I, J, H, order, plans, HI, HF, counters):
    """Bring all flows up to date; return the ticks they may stay, 0 if no order, NEVER if unsolved.

    Where pressures moved a flow they will move it again in the next tick, so they take one
    tick at a time until they rest.  `counters[5]` is the longest step that was planned for.
    """
    changed = counters[4] == 0
    steady = True
    for k in range(H[3 * ISLANDS]):
        r = H[3 * ISLANDS + 1] + k * IS_I
        if I[r + IS_LAW] == RANKED:
            code = _ranked(X, P, I, H, r, plans, HF, HI, counters)
        else:
            code = solve_pressure_island(X, P, I, H, k, HF, HI, counters)
            if code == 1:
                steady = False
        if code == NEVER:
            return NEVER
        if code == 1:
            changed = True
    longest = H[H_LIMIT] if steady else 1
    if changed or longest > counters[5]:
        counters[4] = plan(X, P, I, J, H, order, longest)
        counters[5] = longest
        if counters[4] == 0:
            return 0
    if changed:
        X[BUSY] = 1.0
    if not steady:
        return 1
    return _tank_ticks(X, P, I, H, counters[4])
