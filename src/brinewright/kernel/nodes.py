"""Thermal nodes: energy moves from one to another, so it can neither appear nor vanish."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    ED_A,
    ED_B,
    ED_G,
    ED_I,
    EDGES,
    HE_FROM,
    HE_I,
    HE_NODE,
    HE_WATTS,
    HEATS,
)


@inner
def conduct(X, E, C, P, I, H, Z, dt):
    """Exchange along all edges and add all declared heats, by the midpoint rule.

    Second order in `dt`; each edge's heat is computed once and moved once.
    """
    first = H[3 * EDGES + 1]
    count = H[3 * EDGES]
    heats = H[3 * HEATS + 1]
    n_heats = H[3 * HEATS]
    for k in range(n_heats):
        r = heats + k * HE_I
        Z[I[r + HE_NODE]] += X[I[r + HE_WATTS]]
    for k in range(count):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        flow = X[I[r + ED_G]] * (X[a] - X[b])
        Z[a] -= flow
        Z[b] += flow
    half = 0.5 * dt
    # Z now holds net watts; the midpoint temperature of each end follows from it
    for k in range(count):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        g = X[I[r + ED_G]]
        heat = g * ((X[a] + half * C[a] * Z[a]) - (X[b] + half * C[b] * Z[b])) * dt
        E[a] -= heat
        E[b] += heat
    for k in range(n_heats):
        r = heats + k * HE_I
        node = I[r + HE_NODE]
        heat = X[I[r + HE_WATTS]] * dt
        E[node] += heat
        E[I[r + HE_FROM]] -= heat
        Z[node] = 0.0
    for k in range(count):
        r = first + k * ED_I
        Z[I[r + ED_A]] = 0.0
        Z[I[r + ED_B]] = 0.0


@inner
def settle_nodes(X, E, C, nodes):
    """Bring the temperatures of plain nodes back in step with their energies."""
    for k in range(nodes.size):
        node = nodes[k]
        X[node] = E[node] * C[node]
