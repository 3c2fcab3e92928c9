"""The march through time: one step after another, each of one or more ticks."""

from brinewright.jit import compiled, inner, pointer
from brinewright.kernel import linked
from brinewright.kernel.ahead import look_ahead
from brinewright.kernel.control import (
    command,
    derate,
    follow_schedules,
    force,
    read_sensors,
    switch_all,
    think,
    watch,
)
from brinewright.kernel.electric import supply
from brinewright.kernel.feeders import connect
from brinewright.kernel.hydraulics import flow
from brinewright.kernel.layout import H_LIMIT, H_RECORDED
from brinewright.kernel.nodes import conduct, conduct_in_parts, warm
from brinewright.kernel.parcels import show_runs
from brinewright.kernel.quiet import quiet_ticks
from brinewright.kernel.transport import transport
from brinewright.laws.state import BUSY, STEP, TIME

DONE, STOPPED, NO_ORDER, NO_FLOW, NOT_A_NUMBER = 0, 1, 2, 3, 4


@inner
def _record(X, LOW, HIGH, SUM, recorded, dt):
    """Keep least, greatest and time integral of every recorded value."""
    for k in range(recorded):
        value = X[k]
        SUM[k] += value * dt
        if value < LOW[k]:
            LOW[k] = value
        if value > HIGH[k]:
            HIGH[k] = value


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
    nodes,
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
    n_plain,
):
    """Run from the present state to time `until` [s]; return an outcome code.

    `counters` holds: samples written, events written, steps made, hydraulic solutions.
    Samples are taken at the times TT; `stiffness` [1/s] says in how many parts nodes conduct.
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
    LOW = pointer(LOW_)
    HIGH = pointer(HIGH_)
    SUM = pointer(SUM_)
    recorded = H[H_RECORDED]
    while X[TIME] < until - 0.5:
        t = X[TIME]
        if counters[0] < TR.shape[0] and t >= TT[counters[0]] - 0.5:
            for k in range(channels.size):
                TR[counters[0], k] = X[channels[k]]
            counters[0] += 1
        # 1 what was commanded is done, what is scheduled or forced comes
        force(X, F, P, I, J, H, t)
        connect(X, F, I, H)
        linked.actuate(X, E, C, F, P, I, W, H, 1.0)
        derate(X, I, H)
        ticks = flow(X, P, I, J, H, order, I_, HI, HF, counters)
        if ticks <= 0:
            return NO_ORDER if ticks == 0 else NO_FLOW
        # 2 how long nothing will be decided
        ticks = min(ticks, H[H_LIMIT], int(until - t + 0.5))
        if counters[0] < TR.shape[0]:
            ticks = min(ticks, int(TT[counters[0]] - t + 0.5))
        if ticks > 1:
            ticks = quiet_ticks(X, C, F, P, I, J, Q, H, Z, t, ticks)
        X[BUSY] = 0.0  # from here on it tells the next tick that something was decided
        dt = float(ticks)
        X[STEP] = dt
        follow_schedules(X, F, P, I, J, H, t + 0.5 * dt)
        # 3 liquid moves and exchanges, machines act, nodes conduct
        linked.prepare(X, E, C, F, P, I, W, H, dt)
        look_ahead(X, I, J, Q, H, dt)
        linked.meet(X, I, P, H, dt)
        transport(
            X, E, C, F, P, I, J, Q, B, BN, E0, R, W, H, V, Y, streams, masses, ends, order, dt,
        )  # fmt: skip
        linked.act(X, E, C, F, P, I, W, H, dt)
        supply(X, F, P, I, H, dt)
        parts = 1 + int(stiffness * dt / 0.5)
        if parts == 1:
            conduct(X, E, C, E0, P, I, H, Z, nodes, dt)
            warm(X, E, C, E0, R, nodes, n_plain, dt)
        else:
            conduct_in_parts(X, E, C, E0, R, P, I, H, Z, D, nodes, n_plain, dt, parts)
        linked.settle(X, E, C, F, P, I, W, H, dt)
        show_runs(X, P, I, H)
        linked.observe(X, E, C, F, P, I, W, H, dt)
        # 4 the next snapshot, and what is decided on it
        X[TIME] = t + dt
        read_sensors(X, F, P, I, J, Q, H)
        switch_all(X, F, P, I, H, dt)
        think(X, F, P, I, H, dt)
        command(X, F, I, H)
        n_events, stops = watch(X, P, I, H, EV, counters[1], dt)
        counters[1] = n_events
        counters[2] += 1
        _record(X, LOW, HIGH, SUM, recorded, dt)
        if X[TIME] != X[TIME]:
            return NOT_A_NUMBER
        if stops:
            return STOPPED
    if counters[0] < TR.shape[0] and X[TIME] >= TT[counters[0]] - 0.5:
        for k in range(channels.size):
            TR[counters[0], k] = X[channels[k]]
        counters[0] += 1
    return DONE
