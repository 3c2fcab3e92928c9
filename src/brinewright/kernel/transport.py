"""Liquid moves: packets leave runs, mix at junctions and tanks, and enter the next runs.

Junctions are taken in an order in which all that flows into one is known before it is
mixed.  A branch whose last run holds more than it gives in this step gives first and is
filled later; every closed way holds at least one such branch.
"""

import math

from brinewright.jit import inner
from brinewright.kernel import linked
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_CP,
    BR_EARLY,
    BR_FLOW,
    BR_HEAD,
    BR_I,
    BR_ITEMS,
    BR_P,
    BR_TAIL,
    BRANCHES,
    FIRST_IN_FIRST_OUT,
    IT_BLOCK,
    IT_I,
    IT_I_WIDTH,
    IT_IN,
    IT_OUT,
    IT_P,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JU_T,
    JU_TANK,
    JUNCTIONS,
    MIXED,
    PACKETS,
    RUN_STATE,
    RUNS,
    S_MASS,
    S_SUM,
    TANKS,
    TK_CP,
    TK_I,
    TK_FULL,
    TK_LAW,
    TK_LEVEL,
    TK_MASS,
    TK_NODE,
    TK_P,
    TK_RUN_I,
    TK_RUN_P,
)
from brinewright.kernel.parcels import enter, leave, pop, push, rest, temperature_at


@inner
def _downstream(X, I, r):
    return I[r + BR_HEAD] if X[I[r + BR_FLOW]] >= 0.0 else I[r + BR_TAIL]


@inner
def _upstream(X, I, r):
    return I[r + BR_TAIL] if X[I[r + BR_FLOW]] >= 0.0 else I[r + BR_HEAD]


@inner
def _last_item(X, I, r):
    """Return the item from which the branch gives: its last in the direction of flow."""
    if X[I[r + BR_FLOW]] >= 0.0:
        return I[r + BR_ITEMS] + (I[r + BR_COUNT] - 1) * IT_I_WIDTH
    return I[r + BR_ITEMS]


@inner
def plan(X, I, J, H, order, longest):
    """Order the junctions for steps of up to `longest` ticks; return the ticks allowed, 0 if none.

    `order` holds the order and, behind it, what each junction still waits for.  J is
    marked for the branches that give first.
    """
    n_branches = H[3 * BRANCHES]
    n_junctions = H[3 * JUNCTIONS]
    branches = H[3 * BRANCHES + 1]
    junctions = H[3 * JUNCTIONS + 1]
    ticks = longest
    while ticks >= 1:
        for k in range(n_junctions):
            order[n_junctions + k] = 0
        for b in range(n_branches):
            r = branches + b * BR_I
            held = X[I[I[_last_item(X, I, r) + IT_I] + RUN_STATE] + S_MASS]
            early = 0 if abs(X[I[r + BR_FLOW]]) * ticks > held * (1.0 - 1e-9) else 1
            J[I[r + BR_EARLY]] = early
            if early == 0:
                order[n_junctions + _downstream(X, I, r)] += 1
        done = 0
        for k in range(n_junctions):
            if order[n_junctions + k] == 0:
                order[done] = k
                done += 1
        seen = 0
        while seen < done:
            k = order[seen]
            seen += 1
            r = junctions + k * JU_I
            for side in range(2):
                first = I[r + JU_OUT] if side == 0 else I[r + JU_IN]
                number = I[r + JU_NOUT] if side == 0 else I[r + JU_NIN]
                for m in range(number):
                    b = branches + I[first + m] * BR_I
                    if J[I[b + BR_EARLY]] == 0 and _upstream(X, I, b) == k:
                        to = _downstream(X, I, b)
                        order[n_junctions + to] -= 1
                        if order[n_junctions + to] == 0:
                            order[done] = to
                            done += 1
        if done == n_junctions:
            return ticks
        ticks //= 2
    return 0


@inner
def _sum(M, T, start, n):
    """Return total mass [kg] and mass times temperature [kg K] of packets."""
    mass = 0.0
    heat = 0.0
    for k in range(start, start + n):
        mass += M[k]
        heat += M[k] * T[k]
    return mass, heat


@inner
def _merge(BM, BT, BN, streams, ends, masses, n_in, inflow, heat, JM, JT):
    """Interleave streams that meet at steady rates; return the number of packets in JM, JT.

    Each stream fills the step u in [0, 1] evenly, so equal parts of the step meet.
    `streams` holds the branches and, from `n_in` on, the packet each has reached; `ends`
    where in u that packet ends.  The last packet takes the rounding, so heat is conserved.
    """
    for k in range(n_in):
        streams[n_in + k] = 0
        ends[k] = BM[streams[k] * PACKETS] / masses[k]
    n = 0
    at = 0.0
    mass_left = inflow
    heat_left = heat
    while True:
        nearest = 1.0
        last = True
        for k in range(n_in):
            if streams[n_in + k] < BN[streams[k]] - 1:
                last = False
                nearest = min(nearest, ends[k])
        if last or n == PACKETS - 1:
            JM[n] = mass_left
            JT[n] = heat_left / mass_left
            return n + 1
        part = 0.0
        warm = 0.0
        for k in range(n_in):
            q = streams[k] * PACKETS + streams[n_in + k]
            share = (nearest - at) * masses[k]
            part += share
            warm += share * BT[q]
            if ends[k] <= nearest and streams[n_in + k] < BN[streams[k]] - 1:
                streams[n_in + k] += 1
                ends[k] += BM[q + 1] / masses[k]
        if part > 1e-9 * inflow:
            JM[n] = part
            JT[n] = warm / part
            n += 1
            mass_left -= part
            heat_left -= warm
            at = nearest


@inner
def _mix_tank(X, E, C, E0, I, P, t, p, inflow, heat, outflow):
    """Pass a step's inflow [kg], [kg K] through a mixed tank; return the mean temperature that leaves [K].

    dT/dt = q_in (T_in - T) / m(t), exact for steady flows; what leaves is the balance.
    """
    node = I[t + TK_NODE]
    before = X[I[t + TK_MASS]]
    temperature = X[node]
    after = before + inflow - outflow
    stored = E[node] / P[p + TK_CP]
    if inflow > 0.0:
        arriving = heat / inflow
        change = inflow - outflow
        if abs(change) < 1e-9 * before:
            left = math.exp(-inflow / before)
        else:
            left = math.exp(-inflow / change * math.log(after / before))
        end = arriving + (temperature - arriving) * left
    else:
        end = temperature
    leaving = temperature
    if outflow > 0.0:
        leaving = (stored + heat - after * end) / outflow
    X[I[t + TK_MASS]] = after
    E[node] += P[p + TK_CP] * (heat - outflow * leaving)
    E0[node] = E[node]
    C[node] = 1.0 / (P[p + TK_CP] * after)
    X[node] = E[node] * C[node]
    return leaving


@inner
def _run_through(X, E, C, F, P, I, J, QM, QS, BM, BT, BN, R, W, H, WM, WT, b, n, dt):
    """Send the `n` packets in WM, WT (from 0 on) through branch `b`; its outflow goes to BM, BT."""
    r = H[3 * BRANCHES + 1] + b * BR_I
    cp = P[H[3 * BRANCHES + 2] + b * BR_P + BR_CP]
    flow = abs(X[I[r + BR_FLOW]])
    back = X[I[r + BR_FLOW]] < 0.0
    items = I[r + BR_COUNT]
    half = WM.size // 2
    at = 0
    for k in range(items):
        item = I[r + BR_ITEMS] + (items - 1 - k if back else k) * IT_I_WIDTH
        block = I[item + IT_BLOCK]
        enters = I[item + IT_OUT] if back else I[item + IT_IN]
        leaves = I[item + IT_IN] if back else I[item + IT_OUT]
        if block == RUNS:
            i = I[item + IT_I]
            p = I[item + IT_P]
            X[enters] = WT[at + n - 1]
            if k == items - 1:
                start = b * PACKETS
                out = BN[b]
                if J[I[r + BR_EARLY]] == 0:
                    out = leave(X, E, P, I, J, QM, QS, R, i, p, flow, dt, BM, BT, start, back)
                BN[b] = enter(
                    X, E, P, I, J, QM, QS, R, i, p, flow, dt, WM, WT, at, n, BM, BT, start, out, back
                )
                X[leaves] = BT[start + BN[b] - 1]
            else:
                other = half - at
                out = leave(X, E, P, I, J, QM, QS, R, i, p, flow, dt, WM, WT, other, back)
                n = enter(X, E, P, I, J, QM, QS, R, i, p, flow, dt, WM, WT, at, n, WM, WT, other, out, back)
                at = other
                X[leaves] = WT[at + n - 1]
        else:
            total, heat = _sum(WM, WT, at, n)
            mean = heat / total
            X[enters] = mean
            gained = linked.cross(
                block, X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P], total, mean, cp, dt
            )
            rise = gained / (total * cp)
            for m in range(n):
                WT[at + m] += rise
            X[leaves] = mean + rise


@inner
def _stand_still(X, E, C, F, P, I, J, QM, QS, R, W, H, r, p, dt):
    """Let what stands in a branch exchange, and its devices know that nothing passes."""
    for k in range(I[r + BR_COUNT]):
        item = I[r + BR_ITEMS] + k * IT_I_WIDTH
        if I[item + IT_BLOCK] == RUNS:
            rest(X, E, P, I, J, QM, QS, R, I[item + IT_I], I[item + IT_P], dt)
            X[I[item + IT_OUT]] = temperature_at(X, I, J, QM, QS, I[item + IT_I], 0.0)
        else:
            X[I[item + IT_OUT]] = X[I[item + IT_IN]]
            linked.cross(
                I[item + IT_BLOCK], X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P],
                0.0, X[I[item + IT_IN]], P[p + BR_CP], dt,
            )  # fmt: skip


@inner
def transport(
    X, E, C, F, P, I, J, QM, QS, BM, BT, BN, E0, R, W, H, WM, WT, JM, JT, streams, masses, ends, order, dt
):
    """Move all liquid for `dt` [s] at the present flows."""
    n_branches = H[3 * BRANCHES]
    branches = H[3 * BRANCHES + 1]
    numbers = H[3 * BRANCHES + 2]
    junctions = H[3 * JUNCTIONS + 1]
    n_junctions = H[3 * JUNCTIONS]
    for b in range(n_branches):
        r = branches + b * BR_I
        flow = X[I[r + BR_FLOW]]
        if flow == 0.0:
            _stand_still(X, E, C, F, P, I, J, QM, QS, R, W, H, r, numbers + b * BR_P, dt)
        elif J[I[r + BR_EARLY]] == 1:
            item = _last_item(X, I, r)
            BN[b] = leave(
                X, E, P, I, J, QM, QS, R, I[item + IT_I], I[item + IT_P], abs(flow), dt,
                BM, BT, b * PACKETS, flow < 0.0,
            )  # fmt: skip
    single = dt <= 1.0
    for k in range(n_junctions):
        u = order[k]
        r = junctions + u * JU_I
        # what arrives
        n_in = 0
        inflow = 0.0
        heat = 0.0
        only = -1
        for side in range(2):
            first = I[r + JU_IN] if side == 0 else I[r + JU_OUT]
            number = I[r + JU_NIN] if side == 0 else I[r + JU_NOUT]
            for m in range(number):
                b = I[first + m]
                flow = X[I[branches + b * BR_I + BR_FLOW]]
                if (flow > 0.0 and side == 0) or (flow < 0.0 and side == 1):
                    mass, warm = _sum(BM, BT, b * PACKETS, BN[b])
                    inflow += mass
                    heat += warm
                    streams[n_in] = b
                    masses[n_in] = mass
                    n_in += 1
                    only = b
        outflow = 0.0
        for side in range(2):
            first = I[r + JU_OUT] if side == 0 else I[r + JU_IN]
            number = I[r + JU_NOUT] if side == 0 else I[r + JU_NIN]
            for m in range(number):
                flow = X[I[branches + I[first + m] * BR_I + BR_FLOW]]
                if (flow > 0.0 and side == 0) or (flow < 0.0 and side == 1):
                    outflow += abs(flow) * dt
        tank = I[r + JU_TANK]
        n = 0
        if tank >= 0:
            t = H[3 * TANKS + 1] + tank * TK_I
            p = H[3 * TANKS + 2] + tank * TK_P
            if I[t + TK_LAW] == MIXED:
                JT[0] = _mix_tank(X, E, C, E0, I, P, t, p, inflow, heat, outflow)
                JM[0] = outflow
                n = 1
            elif I[t + TK_LAW] == FIRST_IN_FIRST_OUT:
                i = I[t + TK_RUN_I]
                pr = I[t + TK_RUN_P]
                for m in range(n_in):
                    b = streams[m]
                    for q in range(BN[b]):
                        push(X, P, I, J, QM, QS, i, pr, BM[b * PACKETS + q], BT[b * PACKETS + q], False)
                if outflow > 0.0:
                    n = pop(X, I, J, QM, QS, i, outflow, JM, JT, 0, False)
                X[I[t + TK_MASS]] = X[I[i + RUN_STATE] + S_MASS]
                X[I[t + TK_NODE]] = X[I[i + RUN_STATE] + S_SUM] / X[I[i + RUN_STATE] + S_MASS]
            else:
                JT[0] = linked.through_layers(X, E, C, P, I, t, p, inflow, heat, outflow)
                JM[0] = outflow
                n = 1
            X[I[t + TK_LEVEL]] = X[I[t + TK_MASS]] / P[p + TK_FULL]
            X[I[r + JU_T]] = JT[0] if outflow > 0.0 else X[I[t + TK_NODE]]
        elif n_in > 0:
            if n_in == 1:
                n = BN[only]
                for q in range(n):
                    JM[q] = BM[only * PACKETS + q]
                    JT[q] = BT[only * PACKETS + q]
            elif single:
                n = 1
                JM[0] = inflow
                JT[0] = heat / inflow
            else:
                n = _merge(BM, BT, BN, streams, ends, masses, n_in, inflow, heat, JM, JT)
            X[I[r + JU_T]] = JT[n - 1]
        if outflow > 0.0:
            for side in range(2):
                first = I[r + JU_OUT] if side == 0 else I[r + JU_IN]
                number = I[r + JU_NOUT] if side == 0 else I[r + JU_NIN]
                for m in range(number):
                    b = I[first + m]
                    flow = X[I[branches + b * BR_I + BR_FLOW]]
                    if (flow > 0.0 and side == 0) or (flow < 0.0 and side == 1):
                        share = abs(flow) * dt / outflow
                        for q in range(n):
                            WM[q] = JM[q] * share
                            WT[q] = JT[q]
                        _run_through(
                            X, E, C, F, P, I, J, QM, QS, BM, BT, BN, R, W, H, WM, WT, b, n, dt)
