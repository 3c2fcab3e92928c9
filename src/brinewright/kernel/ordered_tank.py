"""A tank from which liquid leaves in the order in which it came: one long queue of parcels."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    RUN_STATE,
    S_MASS,
    S_SCALE,
    S_SHIFT,
    S_SUM,
    TK_AROUND,
    TK_CP,
    TK_LOSS,
    TK_NODE,
    TK_RUN_I,
    TK_UA,
)
from brinewright.kernel.parcels import SMALLEST_SCALE, rebase, relaxed


@inner
def keep_in_order(X, E, E0, P, I, J, Q, t, p, dt):
    """Let every parcel of the tank take its share of what touched the tank, and of its loss, for `dt` [s].

    The queue holds the energy; the tank's node only takes in what touches it, and passes it on.
    """
    node = I[t + TK_NODE]
    i = I[t + TK_RUN_I]
    x = I[i + RUN_STATE]
    cp = P[p + TK_CP]
    mass = X[x + S_MASS]
    if E[node] != 0.0:
        X[x + S_SHIFT] += E[node] / (mass * cp)
        X[x + S_SUM] += E[node] / cp
        E[node] = 0.0
    E0[node] = 0.0
    around = I[t + TK_AROUND]
    if around >= 0:
        share = relaxed(X[I[t + TK_UA]] * dt / (mass * cp))
        gain = share * (X[around] * mass - X[x + S_SUM])
        X[x + S_SUM] += gain
        X[x + S_SHIFT] += share * (X[around] - X[x + S_SHIFT])
        X[x + S_SCALE] *= 1.0 - share
        E[around] -= gain * cp
        X[I[t + TK_LOSS]] = -gain * cp / dt
        if X[x + S_SCALE] < SMALLEST_SCALE:
            rebase(X, I, J, Q, i)
