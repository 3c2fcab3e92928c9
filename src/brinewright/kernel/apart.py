"""Machines that tick by themselves inside a longer step of the liquid.

What liquid gives to their nodes comes at a steady rate while nothing is decided about the
liquid; what they give to it comes at the end of its step.  So a relay that chatters in every
other tick makes the steps of its own machines short, and not those of the whole plant.
"""

from brinewright.jit import inner
from brinewright.kernel import linked_apart
from brinewright.kernel.control import watch
from brinewright.kernel.electric import supply
from brinewright.kernel.layout import (
    H_APART_EDGES,
    H_APART_NODES,
    H_APART_SETTLED,
    H_NODES,
    H_QUICK,
    H_RECORDED,
    H_SWITCHES,
    SWITCHES,
)
from brinewright.kernel.nodes import exchange
from brinewright.kernel.quiet import until_switched
from brinewright.kernel.quiet_power import until_battery_ends
from brinewright.kernel.switches import switch_some
from brinewright.laws.state import BUSY, STIRRED, TIME


@inner
def record(X, LOW, HIGH, SUM, begin, end, dt):
    """Keep least, greatest and time integral of recorded values from `begin` to before `end`."""
    for k in range(begin, end):
        value = X[k]
        SUM[k] += value * dt
        LOW[k] = min(LOW[k], value)
        HIGH[k] = max(HIGH[k], value)


@inner
def actuate_apart(X, F, P, I, H):
    """Let those machines do what they decided; while one moves they are stirred, and nobody else is."""
    busy = X[BUSY]
    X[BUSY] = X[STIRRED]
    linked_apart.actuate(X, F, P, I, H, 1.0)
    X[STIRRED] = X[BUSY]
    X[BUSY] = busy


@inner
def switch_apart(X, F, P, I, H, SUM, dt):
    """Let the switches of those machines follow; a change stirs them, and nobody else."""
    busy = X[BUSY]
    X[BUSY] = 0.0
    switch_some(X, F, P, I, H, SUM, H[H_SWITCHES], H[3 * SWITCHES], dt, X[STIRRED] != 0.0)
    X[STIRRED] = X[BUSY]
    X[BUSY] = busy


@inner
def exchange_apart(X, E, C, E0, R, I, H, Z, D, stiffness, dt):
    """Let the nodes of those machines conduct among themselves."""
    exchange(
        X, E, C, E0, R, I, H, Z, D, H[H_NODES], H[H_APART_SETTLED], H[H_APART_NODES], H_APART_EDGES,
        0, stiffness, dt,
    )  # fmt: skip


@inner
def tick_apart(X, E, C, F, P, I, J, Q, E0, R, W, H, Z, D, S, stiffness, EV, n_events, LOW, HIGH, SUM, ticks):
    """Make all their steps in a step of `ticks` but the last; return the ticks of that one, events, stop.

    S keeps what the liquid gives to each of their nodes in a tick [J].
    """
    for node in range(H[H_NODES], H[H_APART_NODES]):
        S[node] = (E[node] - E0[node]) / ticks
        E[node] = E0[node]
    since = float(ticks)
    left = ticks
    stops = False
    while True:
        n = 1
        if left > 1 and X[STIRRED] == 0.0:
            n = until_battery_ends(X, P, I, H, left)
            n = until_switched(X, C, F, P, I, J, Q, H, R, H[H_SWITCHES], H[3 * SWITCHES], n)
        dt = float(n)
        for node in range(H[H_NODES], H[H_APART_NODES]):
            E[node] += S[node] * dt
        if n == left:
            if ticks > n:  # all others were in these ticks what they are now
                record(X, LOW, HIGH, SUM, 0, H[H_NODES], float(ticks - n))
                record(X, LOW, HIGH, SUM, H[H_QUICK], H[H_RECORDED], float(ticks - n))
            return n, n_events, stops
        linked_apart.act(X, E, C, P, I, H, dt)
        supply(X, F, P, I, H, dt, since)
        exchange_apart(X, E, C, E0, R, I, H, Z, D, stiffness, dt)
        linked_apart.settle(X, E, C, P, I, W, H)
        linked_apart.observe(X, E, P, I, H, dt)
        X[TIME] += dt
        switch_apart(X, F, P, I, H, SUM, dt)
        n_events, over = watch(X, P, I, H, EV, n_events, dt)
        stops = stops or over
        record(X, LOW, HIGH, SUM, H[H_NODES], H[H_QUICK], dt)
        actuate_apart(X, F, P, I, H)
        linked_apart.prepare(X, P, I, H)
        since = 0.0
        left -= n
