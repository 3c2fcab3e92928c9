"""A tank from which liquid leaves in the order in which it came: one long queue of parcels."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    QU_FIRST,
    QU_J,
    QU_ROOM,
    TK_AROUND,
    TK_CP,
    TK_LOSS,
    TK_MASS,
    TK_NODE,
    TK_QUEUE,
    TK_UA,
)
from brinewright.kernel.parcels import relaxed


@inner
def keep_in_order(X, E, E0, P, I, J, Q, t, p, dt):
    """Let every parcel of the tank take its share of what touched the tank, and of its loss, for `dt` [s].

    The queue holds the energy; the tank's node only takes in what touches it, and passes it on.
    Returns mass times temperature of all parcels [kg K].
    """
    node = I[t + TK_NODE]
    v = I[t + TK_QUEUE]
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    cp = P[p + TK_CP]
    mass = X[I[t + TK_MASS]]
    shift = E[node] / (mass * cp)
    E[node] = 0.0
    E0[node] = 0.0
    around = I[t + TK_AROUND]
    share = 0.0
    towards = 0.0
    if around >= 0:
        share = relaxed(X[I[t + TK_UA]] * dt / (mass * cp))
        towards = X[around]
    gain = 0.0
    total = 0.0
    place = J[j]
    for _ in range(J[j + 1]):
        q = 3 * (I[v + QU_FIRST] + place)
        place += 1
        if place == room:
            place = 0
        before = Q[q + 1] + shift
        change = share * (towards - before)
        gain += Q[q] * change
        Q[q + 1] = before + change
        total += Q[q] * Q[q + 1]
    if around >= 0:
        E[around] -= gain * cp
        X[I[t + TK_LOSS]] = -gain * cp / dt
    return total
