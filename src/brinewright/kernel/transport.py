"""Liquid moves: packets leave runs, mix at junctions and tanks, and enter the next runs.

Junctions are taken in an order in which all that flows into one is known before it is
mixed.  A branch whose last run holds more than it gives in this step gives first and is
filled later; every closed way holds at least one such branch.
"""

import math

from brinewright.jit import inner
from brinewright.kernel import linked
from brinewright.kernel.flow_lists import last_item
from brinewright.kernel.layered_tank import through_layers
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_CP,
    BR_EARLY,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BR_P,
    BRANCHES,
    FIRST_IN_FIRST_OUT,
    IT_BLOCK,
    IT_I,
    IT_I_WIDTH,
    IT_IN,
    IT_OUT,
    IT_P,
    JU_FLOW,
    JU_I,
    JU_T,
    JU_TANK,
    JUNCTIONS,
    MIXED,
    PACKETS,
    RUN_SLOT,
    RUN_STATE,
    RUNS,
    S_MASS,
    S_SUM,
    TANKS,
    TK_CP,
    TK_FULL,
    TK_I,
    TK_LAW,
    TK_LEVEL,
    TK_MASS,
    TK_NODE,
    TK_OUTFLOW,
    TK_P,
    TK_RUN_I,
    TK_RUN_P,
)
from brinewright.kernel.ordered_tank import keep_in_order
from brinewright.kernel.parcel_readings import temperature_at
from brinewright.kernel.parcels import carry, pop, push, put_packet, rest


@inner
def _sum(O, start, n):
    """Return total mass [kg] and mass times temperature [kg K] of packets."""
    mass = 0.0
    heat = 0.0
    for k in range(3 * start, 3 * (start + n), 3):
        mass += O[k]
        heat += O[k] * O[k + 1]
    return mass, heat


@inner
def _new_mark(J):
    """Return a mark that no packet has yet."""
    J[0] += 1
    return float(J[0])


@inner
def _merge(B, BN, J, streams, ends, masses, n_in, inflow, heat, Y):
    """Interleave streams that meet at steady rates; return the number of packets in Y.

    Each stream fills the step u in [0, 1] evenly, so equal parts of the step meet.
    `streams` holds the branches and, from `n_in` on, the packet each has reached; `ends`
    where in u that packet ends.  The last packet takes the rounding, so heat is conserved.
    """
    for k in range(n_in):
        streams[n_in + k] = 0
        ends[k] = B[3 * streams[k] * PACKETS] / masses[k]
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
            return put_packet(Y, 0, n, mass_left, heat_left / mass_left, _new_mark(J))
        part = 0.0
        warm = 0.0
        for k in range(n_in):
            q = 3 * (streams[k] * PACKETS + streams[n_in + k])
            share = (nearest - at) * masses[k]
            part += share
            warm += share * B[q + 1]
            if ends[k] <= nearest and streams[n_in + k] < BN[streams[k]] - 1:
                streams[n_in + k] += 1
                ends[k] += B[q + 3] / masses[k]
        if part > 1e-9 * inflow:
            n = put_packet(Y, 0, n, part, warm / part, _new_mark(J))
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
    leaving = 0.5 * (temperature + end)
    if outflow > 1e-4 * after:  # below, the balance has no digits left and the mean is as good
        leaving = (stored + heat - after * end) / outflow
    X[I[t + TK_MASS]] = after
    E[node] += P[p + TK_CP] * (heat - outflow * leaving)
    E0[node] = E[node]
    C[node] = 1.0 / (P[p + TK_CP] * after)
    X[node] = E[node] * C[node]
    return leaving


@inner
def _run_through(X, E, C, F, P, I, J, Q, B, BN, R, W, H, V, b, n, dt):
    """Send the `n` packets in V (from row 0 on) through branch `b`; its outflow goes to B."""
    r = H[3 * BRANCHES + 1] + b * BR_I
    cp = P[H[3 * BRANCHES + 2] + b * BR_P + BR_CP]
    flow = abs(X[I[r + BR_FLOW]])
    back = X[I[r + BR_FLOW]] < 0.0
    items = I[r + BR_COUNT]
    at = 0
    for k in range(items):
        item = I[r + BR_ITEMS] + (items - 1 - k if back else k) * IT_I_WIDTH
        block = I[item + IT_BLOCK]
        enters = I[item + IT_OUT] if back else I[item + IT_IN]
        leaves = I[item + IT_IN] if back else I[item + IT_OUT]
        if block == RUNS:
            i = I[item + IT_I]
            p = I[item + IT_P]
            X[enters] = V[3 * (at + n - 1) + 1]
            if k == items - 1:
                start = b * PACKETS
                late = J[I[r + BR_EARLY]] == 0
                BN[b] = carry(
                    X, E, P, I, J, Q, R, i, p, flow, dt, late, True, V, at, n, B, start, 0 if late else BN[b],
                    back,
                )  # fmt: skip
                X[leaves] = B[3 * (start + BN[b] - 1) + 1]
            else:
                other = PACKETS - at
                n = carry(X, E, P, I, J, Q, R, i, p, flow, dt, True, True, V, at, n, V, other, 0, back)
                at = other
                X[leaves] = V[3 * (at + n - 1) + 1]
        else:
            total, heat = _sum(V, at, n)
            mean = heat / total
            X[enters] = mean
            gained = linked.cross(
                block, X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P], total, mean, cp, dt
            )
            rise = gained / (total * cp)
            for m in range(3 * at + 1, 3 * (at + n) + 1, 3):
                V[m] += rise
            X[leaves] = mean + rise


@inner
def _stand_still(X, E, C, F, P, I, J, Q, R, W, H, r, p, dt):
    """Let what stands in a branch exchange, and its devices know that nothing passes."""
    for k in range(I[r + BR_COUNT]):
        item = I[r + BR_ITEMS] + k * IT_I_WIDTH
        if I[item + IT_BLOCK] == RUNS:
            rest(X, E, P, I, J, Q, R, I[item + IT_I], I[item + IT_P], dt)
            X[I[item + IT_OUT]] = temperature_at(X, I, J, Q, I[item + IT_I], 0.0)
        else:
            X[I[item + IT_OUT]] = X[I[item + IT_IN]]
            linked.cross(
                I[item + IT_BLOCK], X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P],
                0.0, X[I[item + IT_IN]], P[p + BR_CP], dt,
            )  # fmt: skip


@inner
def transport(X, E, C, F, P, I, J, Q, B, BN, E0, R, W, H, V, Y, streams, masses, ends, order, dt):
    """Move all liquid for `dt` [s] at the present flows."""
    branches = H[3 * BRANCHES + 1]
    numbers = H[3 * BRANCHES + 2]
    junctions = H[3 * JUNCTIONS + 1]
    n_junctions = H[3 * JUNCTIONS]
    at = 2 * n_junctions
    for k in range(order[at]):
        b = order[at + 1 + k]
        _stand_still(X, E, C, F, P, I, J, Q, R, W, H, branches + b * BR_I, numbers + b * BR_P, dt)
    at += 1 + order[at]
    for k in range(order[at]):
        b = order[at + 1 + k]
        r = branches + b * BR_I
        flow = X[I[r + BR_FLOW]]
        item = last_item(X, I, r)
        BN[b] = carry(
            X, E, P, I, J, Q, R, I[item + IT_I], I[item + IT_P], abs(flow), dt, True, False, V, 0, 0,
            B, b * PACKETS, 0, flow < 0.0,
        )  # fmt: skip
    at += 1 + order[at]
    single = dt <= 1.0
    for k in range(n_junctions):
        u = order[k]
        r = junctions + u * JU_I
        # what arrives, and what leaves
        n_in = order[at]
        inflow = 0.0
        heat = 0.0
        back_inflow = 0.0
        back_heat = 0.0
        outflow = 0.0
        back_outflow = 0.0
        only = -1
        for m in range(n_in):
            code = order[at + 1 + m]
            only = code >> 1
            mass, warm = _sum(B, only * PACKETS, BN[only])
            inflow += mass
            heat += warm
            if code & 1 == 1:
                back_inflow += mass
                back_heat += warm
            streams[m] = only
            masses[m] = mass
        at += 1 + n_in
        n_out = order[at]
        for m in range(n_out):
            code = order[at + 1 + m]
            away = abs(X[I[branches + (code >> 1) * BR_I + BR_FLOW]]) * dt
            outflow += away
            if code & 1 == 1:
                back_outflow += away
        X[I[r + JU_FLOW]] = inflow / dt
        tank = I[r + JU_TANK]
        n = 0
        back_leaving = 0.0
        layered = False
        if tank >= 0:
            t = H[3 * TANKS + 1] + tank * TK_I
            p = H[3 * TANKS + 2] + tank * TK_P
            X[I[t + TK_OUTFLOW]] = outflow / dt
            if I[t + TK_LAW] == MIXED:
                leaving = _mix_tank(X, E, C, E0, I, P, t, p, inflow, heat, outflow)
                n = put_packet(Y, 0, 0, outflow, leaving, _new_mark(J))
            elif I[t + TK_LAW] == FIRST_IN_FIRST_OUT:
                i = I[t + TK_RUN_I]
                pr = I[t + TK_RUN_P]
                keep_in_order(X, E, E0, P, I, J, Q, t, p, dt)
                for m in range(n_in):
                    for q in range(BN[streams[m]]):
                        row = 3 * (streams[m] * PACKETS + q)
                        push(X, P, I, J, Q, i, pr, P[pr + RUN_SLOT], B[row], B[row + 1], B[row + 2], False)
                if outflow > 0.0:
                    n = pop(X, I, J, Q, i, outflow, Y, 0)
                else:
                    Y[1] = temperature_at(X, I, J, Q, i, 0.0)
                x = I[i + RUN_STATE]
                X[I[t + TK_MASS]] = X[x + S_MASS]
                X[I[t + TK_NODE]] = X[x + S_SUM] / X[x + S_MASS]
                C[I[t + TK_NODE]] = 1.0 / (X[x + S_MASS] * P[p + TK_CP])
            else:
                layered = True
                leaving, back_leaving = through_layers(
                    X, E, C, E0, P, I, t, p, inflow - back_inflow, heat - back_heat, back_inflow, back_heat,
                    outflow - back_outflow, back_outflow, dt,
                )  # fmt: skip
                n = put_packet(Y, 0, 0, outflow, leaving, _new_mark(J))
            X[I[t + TK_LEVEL]] = X[I[t + TK_MASS]] / P[p + TK_FULL]
            X[I[r + JU_T]] = Y[1]
        elif n_in > 0:
            if n_in == 1:
                n = BN[only]
                for q in range(3 * n):
                    Y[q] = B[3 * only * PACKETS + q]
            elif single:
                n = put_packet(Y, 0, 0, inflow, heat / inflow, _new_mark(J))
            else:
                n = _merge(B, BN, J, streams, ends, masses, n_in, inflow, heat, Y)
            X[I[r + JU_T]] = Y[3 * n - 2]
        for m in range(n_out):
            code = order[at + 1 + m]
            b = code >> 1
            share = abs(X[I[branches + b * BR_I + BR_FLOW]]) * dt / outflow
            for q in range(0, 3 * n, 3):
                V[q] = Y[q] * share
                V[q + 1] = Y[q + 1]
                V[q + 2] = Y[q + 2]
            if layered and code & 1 == 1:
                V[1] = back_leaving
            _run_through(X, E, C, F, P, I, J, Q, B, BN, R, W, H, V, b, n, dt)
        at += 1 + n_out
