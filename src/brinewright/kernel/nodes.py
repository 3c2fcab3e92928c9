"""Thermal nodes: energy moves from one to another, so it can neither appear nor vanish.

During a step a node's energy E runs ahead of its temperature; E0 is its energy at the
start of the step, so E - E0 is what came in from liquid and machines.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import ED_A, ED_B, ED_G, ED_I, EDGES, HE_FROM, HE_I, HE_NODE, HE_WATTS, HEATS


@inner
def conduct(X, E, C, E0, P, I, H, Z, nodes, dt):
    """Exchange along all edges and add all declared heats, by the midpoint rule.

    Second order in `dt`; each edge's heat is computed once and moved once.
    """
    first = H[3 * EDGES + 1]
    heats = H[3 * HEATS + 1]
    for k in range(nodes.size):
        Z[nodes[k]] = (E[nodes[k]] - E0[nodes[k]]) / dt
    for k in range(H[3 * HEATS]):
        r = heats + k * HE_I
        watts = X[I[r + HE_WATTS]]
        Z[I[r + HE_NODE]] += watts
        E[I[r + HE_NODE]] += watts * dt
        E[I[r + HE_FROM]] -= watts * dt
    for k in range(H[3 * EDGES]):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        flow = X[I[r + ED_G]] * (X[a] - X[b])
        Z[a] -= flow
        Z[b] += flow
    half = 0.5 * dt
    # Z now holds net watts; the midpoint temperature of each end follows from it
    for k in range(H[3 * EDGES]):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        heat = X[I[r + ED_G]] * ((X[a] + half * C[a] * Z[a]) - (X[b] + half * C[b] * Z[b])) * dt
        E[a] -= heat
        E[b] += heat


@inner
def warm(X, E, C, E0, R, nodes, n_plain, dt):
    """Bring the temperatures of plain nodes in step with their energies; keep the rates of all [K/s].

    The first `n_plain` of `nodes` are plain; a law of its own settles the others.
    """
    for k in range(nodes.size):
        node = nodes[k]
        if k < n_plain:
            now = E[node] * C[node]
            R[node] = (now - X[node]) / dt
            X[node] = now
        else:
            R[node] = (E[node] - E0[node]) * C[node] / dt
        E0[node] = E[node]


@inner
def conduct_in_parts(X, E, C, E0, R, P, I, H, Z, D, nodes, n_plain, dt, parts):
    """Conduct in equal parts of the step, each with its share of what came in, where nodes follow fast."""
    for k in range(nodes.size):
        node = nodes[k]
        D[node] = (E[node] - E0[node]) / parts
        R[node] = E0[node]
        E[node] = E0[node]
    for _ in range(parts):
        for k in range(nodes.size):
            E[nodes[k]] += D[nodes[k]]
        conduct(X, E, C, E0, P, I, H, Z, nodes, dt / parts)
        for k in range(nodes.size):
            node = nodes[k]
            if k < n_plain:
                X[node] = E[node] * C[node]
            else:  # near enough for the next part; its own law settles it at the end of the step
                X[node] += (E[node] - E0[node]) * C[node]
            E0[node] = E[node]
    for k in range(nodes.size):
        node = nodes[k]
        R[node] = (E[node] - R[node]) * C[node] / dt
