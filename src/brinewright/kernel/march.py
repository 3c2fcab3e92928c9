"""The march through time: one step after another, each of one or more ticks."""

from brinewright.jit import compiled, pointer
from brinewright.kernel import linked, linked_apart
from brinewright.kernel.ahead import look_ahead
from brinewright.kernel.apart import actuate_apart, exchange_apart, record, switch_apart, tick_apart
from brinewright.kernel.control import (
    command,
    derate,
    follow_schedules,
    force,
    read_sensors,
    think,
    watch,
)
from brinewright.kernel.electric import supply
from brinewright.kernel.feeders import connect
from brinewright.kernel.hydraulics import flow
from brinewright.kernel.layout import (
    H_APART,
    H_EDGES,
    H_LIMIT,
    H_NODES,
    H_RECORDED,
    H_SETTLED,
    H_SWITCHES,
    HEATS,
    NODES,
)
from brinewright.kernel.nodes import exchange
from brinewright.kernel.quiet import quiet_ticks
from brinewright.kernel.quiet_power import stays_supplied
from brinewright.kernel.switches import switch_some
from brinewright.kernel.transport import transport
from brinewright.laws.state import BUSY, STEP, STIRRED, TIME

DONE, STOPPED, NO_ORDER, NO_FLOW, NOT_A_NUMBER = 0, 1, 2, 3, 4


@compiled
def march(
    X_,
    E_,
    C_,
    F_,
    P_,
    I_,
    J_,
    Q_,
    B_,
    BN_,
    E0_,
    R_,
    W,
    H_,  # state and tables
    V_,
    Y_,
    streams_,
    masses_,
    ends_,
    order_,
    Z_,
    D_,
    S_,
    HI,
    HF,  # work space
    TR,
    TT,
    channels,
    EV,
    LOW_,
    HIGH_,
    SUM_,
    counters,  # what is recorded
    until,
    stiffness,
):
    """Run from the present state to time `until` [s]; return an outcome code.

    `counters` holds: samples written, events written, steps made, hydraulic solutions.
    Samples are taken at the times TT; `stiffness` [1/s] says in how many parts nodes
    conduct: those of the machines that tick apart, behind all others.
    """
    X = pointer(X_)
    E = pointer(E_)
    C = pointer(C_)
    F = pointer(F_)
    P = pointer(P_)
    I = pointer(I_)
    J = pointer(J_)
    Q = pointer(Q_)
    B = pointer(B_)
    BN = pointer(BN_)
    E0 = pointer(E0_)
    R = pointer(R_)
    H = pointer(H_)
    V = pointer(V_)
    Y = pointer(Y_)
    streams = pointer(streams_)
    masses = pointer(masses_)
    ends = pointer(ends_)
    order = pointer(order_)
    Z = pointer(Z_)
    D = pointer(D_)
    S = pointer(S_)
    LOW = pointer(LOW_)
    HIGH = pointer(HIGH_)
    SUM = pointer(SUM_)
    while X[TIME] < until - 0.5:
        t = X[TIME]
        if counters[0] < TR.shape[0] and t >= TT[counters[0]] - 0.5:
            for k in range(channels.size):
                TR[counters[0], k] = X[channels[k]]
            counters[0] += 1
        # 1 what was commanded is done, what is scheduled or forced comes
        force(X, F, P, I, J, H, t)
        connect(X, F, I, H)
        linked.actuate(X, F, P, I, W, H, 1.0)
        actuate_apart(X, F, P, I, H)
        derate(X, I, H)
        ticks = flow(X, P, I, J, H, order, I_, HI, HF, counters)
        if ticks <= 0:
            return NO_ORDER if ticks == 0 else NO_FLOW
        # 2 how long nothing will be decided
        ticks = min(ticks, H[H_LIMIT], int(until - t + 0.5))
        if counters[0] < TR.shape[0]:
            ticks = min(ticks, int(TT[counters[0]] - t + 0.5))
        alone = ticks > 1 and H[H_APART] == 1 and stays_supplied(X, I, H)
        if X[STIRRED] != 0.0 and not alone:
            X[BUSY] = 1.0
        if ticks > 1:
            ticks = quiet_ticks(X, C, F, P, I, J, Q, H, R, t, ticks, alone)
        stirred = X[BUSY] != 0.0
        X[BUSY] = 0.0  # from here on it tells the next tick that something was decided
        dt = float(ticks)
        X[STEP] = dt
        follow_schedules(X, F, P, I, J, H, t + 0.5 * dt)
        # 3 liquid moves and exchanges, machines act, nodes conduct
        linked_apart.prepare(X, P, I, H)
        linked.prepare(X, E, C, F, P, I, W, H, dt)
        look_ahead(X, I, J, Q, H, dt)
        linked.meet(X, I, P, H, dt)
        transport(
            X, E, C, F, P, I, J, Q, B, BN, E0, R, W, H, V, Y, streams, masses, ends, order, dt,
        )  # fmt: skip
        n_events = counters[1]
        stops = False
        last = ticks
        if alone and ticks > 1:
            linked.act(X, E, C, F, P, I, W, H, dt)
            last, n_events, stops = tick_apart(
                X, E, C, F, P, I, J, Q, E0, R, W, H, Z, D, S, stiffness[1], EV, n_events, LOW, HIGH,
                SUM, ticks,
            )  # fmt: skip
            linked_apart.act(X, E, C, P, I, H, float(last))
        else:
            linked_apart.act(X, E, C, P, I, H, dt)
            linked.act(X, E, C, F, P, I, W, H, dt)
        supply(X, F, P, I, H, float(last), dt if last == ticks else 0.0)
        exchange_apart(X, E, C, E0, R, I, H, Z, D, stiffness[1], float(last))
        exchange(
            X, E, C, E0, R, I, H, Z, D, NODES, H[H_SETTLED], H[H_NODES], H_EDGES, H[3 * HEATS],
            stiffness[0], dt,
        )  # fmt: skip
        linked_apart.settle(X, E, C, P, I, W, H)
        linked_apart.observe(X, E, P, I, H, float(last))
        linked.observe(X, E, P, I, H, dt)
        # 4 the next snapshot, and what is decided on it
        X[TIME] = t + dt
        read_sensors(X, F, P, I, J, Q, H)
        switch_some(X, F, P, I, H, SUM, 0, H[H_SWITCHES], dt, stirred)
        switch_apart(X, F, P, I, H, SUM, float(last))
        think(X, F, P, I, H, SUM, dt)
        command(X, F, I, H, SUM, dt)
        n_events, over = watch(X, P, I, H, EV, n_events, float(last))
        counters[1] = n_events
        counters[2] += 1
        record(X, LOW, HIGH, SUM, 0, H[H_RECORDED], float(last))
        if X[TIME] != X[TIME]:
            return NOT_A_NUMBER
        if stops or over:
            return STOPPED
    if counters[0] < TR.shape[0] and X[TIME] >= TT[counters[0]] - 0.5:
        for k in range(channels.size):
            TR[counters[0], k] = X[channels[k]]
        counters[0] += 1
    return DONE
