"""Liquid moves: packets leave runs, mix at junctions and tanks, and enter the next runs.

Junctions are taken in an order in which all that flows into one is known before it is
mixed.  A branch whose last stretch holds more than it gives in this step gives first and is
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
    QU_MASS,
    QU_SLOT,
    QUEUES,
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
    TK_QUEUE,
    TK_QUEUE_P,
)
from brinewright.kernel.ordered_tank import keep_in_order
from brinewright.kernel.parcel_readings import temperature_at
from brinewright.kernel.parcels import pop, push, put_packet, relaxed
from brinewright.kernel.stretch import begin, cut, finish, give, move, take


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
def _left_of_mixture(inflow, change, before):
    """Return what is left of a tank's content in it, (m / (m + dm)) to the power q_in / dm, as a share.

    Where little comes and goes by its terms, exact to 1e-12.
    """
    share = change / before
    if abs(share) < 0.02:
        # the logarithm of 1 + share, over share
        log = 1.0 - share * (
            0.5 - share * (1.0 / 3.0 - share * (0.25 - share * (0.2 - share * (1.0 / 6.0 - share / 7.0))))
        )
        return 1.0 - relaxed(inflow / before * log)
    return math.exp(-inflow / change * math.log(1.0 + share))


@inner
def _mix_tank(X, E, C, E0, I, P, t, p, N, first, n, inflow, heat, outflow):
    """Pass a step's inflow through a mixed tank, packet by packet; return the mean that leaves [K].

    dT/dt = q_in (T_in - T) / m(t), exact for steady flows; what leaves is the balance.  `inflow`
    [kg] and `heat` [kg K] are those of the `n` packets in N together.
    """
    node = I[t + TK_NODE]
    stored = E[node] / P[p + TK_CP]
    temperature = X[node]
    ended = temperature
    mass = X[I[t + TK_MASS]]
    grows = inflow - outflow
    after = mass + grows
    for q in range(3 * first, 3 * (first + n), 3):
        change = grows * (N[q] / inflow)
        ended = N[q + 1] + (ended - N[q + 1]) * _left_of_mixture(N[q], change, mass)
        mass += change
    leaving = 0.5 * (temperature + ended)
    if outflow > 1e-4 * after:  # below, the balance has no digits left and the mean is as good
        leaving = (stored + heat - after * ended) / outflow
    X[I[t + TK_MASS]] = after
    E[node] += P[p + TK_CP] * (heat - outflow * leaving)
    E0[node] = E[node]
    C[node] = 1.0 / (P[p + TK_CP] * after)
    X[node] = E[node] * C[node]
    return leaving


@inner
def _through_stretch(X, E, P, I, J, Q, R, v, p, flow, dt, gives, N, first, n, O, start, given, back):
    """Lead `n` packets into a stretch, and what it cannot hold out of it; return the packets out.

    It gives first, but where it `gives` not, as it has `given` so many packets already.
    """
    gone = flow * dt
    full = P[p + QU_MASS]
    if gives:
        begin(X, P, I, R, v, p, dt, back)
        given = give(X, P, I, J, Q, v, p, 0.0, min(gone, full), flow, O, start, 0, back)
    passing = max(gone - full, 0.0)
    take(X, P, I, J, Q, v, p, passing, flow, N, first, n, back)
    if passing > 1e-12 * full:
        given = give(X, P, I, J, Q, v, p, full, passing, flow, O, start, given, back)
    move(X, P, I, J, Q, v, p, gone, dt, back)
    finish(X, E, P, I, v, p, dt, back)
    return given


@inner
def _run_through(X, E, C, F, P, I, J, Q, B, BN, R, W, H, V, b, N, first, n, dt):
    """Send `n` packets from row `first` of N on through branch `b`; its outflow goes to B.

    Between its items they are in the first third of V or the second; the last is the caller's.
    """
    r = H[3 * BRANCHES + 1] + b * BR_I
    cp = P[H[3 * BRANCHES + 2] + b * BR_P + BR_CP]
    flow = abs(X[I[r + BR_FLOW]])
    back = X[I[r + BR_FLOW]] < 0.0
    items = I[r + BR_COUNT]
    here = N
    at = first
    other = 0
    for k in range(items):
        item = I[r + BR_ITEMS] + (items - 1 - k if back else k) * IT_I_WIDTH
        block = I[item + IT_BLOCK]
        enters = I[item + IT_OUT] if back else I[item + IT_IN]
        leaves = I[item + IT_IN] if back else I[item + IT_OUT]
        if block == QUEUES:
            X[enters] = here[3 * (at + n - 1) + 1]
            if k == items - 1:
                to = B
                start = b * PACKETS
                gives = J[I[r + BR_EARLY]] == 0
            else:
                to = V
                start = other
                gives = True
            n = _through_stretch(
                X, E, P, I, J, Q, R, I[item + IT_I], I[item + IT_P], flow, dt, gives, here, at, n,
                to, start, BN[b], back,
            )  # fmt: skip
            here = to
            at = start
            other = PACKETS - other
            X[leaves] = here[3 * (at + n - 1) + 1]
        else:
            total, heat = _sum(here, at, n)
            mean = heat / total
            X[enters] = mean
            gained = linked.cross(
                block, X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P], total, mean, cp, dt
            )
            rise = gained / (total * cp)
            for m in range(3 * n):
                V[3 * other + m] = here[3 * at + m]
            here = V
            at = other
            other = PACKETS - other
            for m in range(3 * at + 1, 3 * (at + n) + 1, 3):
                V[m] += rise
            X[leaves] = mean + rise
    BN[b] = n


@inner
def _stand_still(X, E, C, F, P, I, J, Q, R, W, H, r, p, dt):
    """Let what stands in a branch exchange, and its devices know that nothing passes."""
    for k in range(I[r + BR_COUNT]):
        item = I[r + BR_ITEMS] + k * IT_I_WIDTH
        if I[item + IT_BLOCK] == QUEUES:
            v = I[item + IT_I]
            begin(X, P, I, R, v, I[item + IT_P], dt, False)
            cut(P, I, J, Q, v, I[item + IT_P])
            move(X, P, I, J, Q, v, I[item + IT_P], 0.0, dt, False)
            finish(X, E, P, I, v, I[item + IT_P], dt, False)
            X[I[item + IT_OUT]] = temperature_at(I, J, Q, v, 0.0)
        else:
            X[I[item + IT_OUT]] = X[I[item + IT_IN]]
            linked.cross(
                I[item + IT_BLOCK], X, E, C, F, P, I, W, H, I[item + IT_I], I[item + IT_P],
                0.0, X[I[item + IT_IN]], P[p + BR_CP], dt,
            )  # fmt: skip


@inner
def _in_order(X, E, C, E0, P, I, J, Q, B, BN, t, p, streams, n_in, outflow, Y, dt):
    """Lead what comes to a tank behind all that is in it, and let the first leave; return the packets out."""
    v = I[t + TK_QUEUE]
    slot = P[I[t + TK_QUEUE_P] + QU_SLOT]
    heat = keep_in_order(X, E, E0, P, I, J, Q, t, p, dt)
    mass = X[I[t + TK_MASS]]
    for m in range(n_in):
        for q in range(3 * streams[m] * PACKETS, 3 * (streams[m] * PACKETS + BN[streams[m]]), 3):
            push(I, J, Q, v, B[q], B[q + 1], B[q + 2], slot, 1e18, False)
            mass += B[q]
            heat += B[q] * B[q + 1]
    n = 0
    if outflow > 0.0:
        n = pop(I, J, Q, v, outflow, Y, 0)
        for q in range(0, 3 * n, 3):
            mass -= Y[q]
            heat -= Y[q] * Y[q + 1]
    else:
        Y[1] = temperature_at(I, J, Q, v, 0.0)
    X[I[t + TK_MASS]] = mass
    X[I[t + TK_NODE]] = heat / mass
    C[I[t + TK_NODE]] = 1.0 / (mass * P[p + TK_CP])
    return n


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
        flow = abs(X[I[r + BR_FLOW]])
        back = X[I[r + BR_FLOW]] < 0.0
        item = last_item(X, I, r)
        v = I[item + IT_I]
        p = I[item + IT_P]
        begin(X, P, I, R, v, p, dt, back)
        BN[b] = give(X, P, I, J, Q, v, p, 0.0, flow * dt, flow, B, b * PACKETS, 0, back)
    at += 1 + order[at]
    single = dt <= 1.0
    for k in range(n_junctions):
        u = order[k]
        r = junctions + u * JU_I
        tank = I[r + JU_TANK]
        # what arrives, and what leaves
        n_in = order[at]
        inflow = 0.0
        heat = 0.0
        back_inflow = 0.0
        back_heat = 0.0
        outflow = 0.0
        back_outflow = 0.0
        only = order[at + 1] >> 1
        for m in range(n_in):
            code = order[at + 1 + m]
            b = code >> 1
            mass, warm = _sum(B, b * PACKETS, BN[b])
            inflow += mass
            heat += warm
            if code & 1 == 1:
                back_inflow += mass
                back_heat += warm
            streams[m] = b
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
        n = 0
        here = Y
        first = 0
        back_leaving = 0.0
        layered = False
        if n_in == 1:
            n = BN[only]
            here = B
            first = only * PACKETS
        elif n_in > 1:
            if single:
                n = put_packet(Y, 0, 0, inflow, heat / inflow, _new_mark(J))
            else:
                n = _merge(B, BN, J, streams, ends, masses, n_in, inflow, heat, Y)
        if tank >= 0:
            t = H[3 * TANKS + 1] + tank * TK_I
            p = H[3 * TANKS + 2] + tank * TK_P
            X[I[t + TK_OUTFLOW]] = outflow / dt
            if I[t + TK_LAW] == MIXED:
                leaving = _mix_tank(X, E, C, E0, I, P, t, p, here, first, n, inflow, heat, outflow)
                n = put_packet(Y, 0, 0, outflow, leaving, _new_mark(J))
            elif I[t + TK_LAW] == FIRST_IN_FIRST_OUT:
                n = _in_order(X, E, C, E0, P, I, J, Q, B, BN, t, p, streams, n_in, outflow, Y, dt)
            else:
                layered = True
                leaving, back_leaving = through_layers(
                    X, E, C, E0, P, I, t, p, inflow - back_inflow, heat - back_heat, back_inflow, back_heat,
                    outflow - back_outflow, back_outflow, dt,
                )  # fmt: skip
                n = put_packet(Y, 0, 0, outflow, leaving, _new_mark(J))
            here = Y
            first = 0
            X[I[t + TK_LEVEL]] = X[I[t + TK_MASS]] / P[p + TK_FULL]
            X[I[r + JU_T]] = Y[1]
        elif n_in > 0:
            X[I[r + JU_T]] = here[3 * (first + n) - 2]
        for m in range(n_out):
            code = order[at + 1 + m]
            b = code >> 1
            if n_out == 1 and not layered:
                _run_through(X, E, C, F, P, I, J, Q, B, BN, R, W, H, V, b, here, first, n, dt)
                continue
            share = abs(X[I[branches + b * BR_I + BR_FLOW]]) * dt / outflow
            for q in range(0, 3 * n, 3):
                V[6 * PACKETS + q] = here[3 * first + q] * share
                V[6 * PACKETS + q + 1] = here[3 * first + q + 1]
                V[6 * PACKETS + q + 2] = here[3 * first + q + 2]
            if layered and code & 1 == 1:
                V[6 * PACKETS + 1] = back_leaving
            _run_through(X, E, C, F, P, I, J, Q, B, BN, R, W, H, V, b, V, 2 * PACKETS, n, dt)
        at += 1 + n_out
