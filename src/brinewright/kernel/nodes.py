"""Thermal nodes: energy moves from one to another, so it can neither appear nor vanish.

During a step a node's energy E runs ahead of its temperature; E0 is its energy at the
start of the step, so E - E0 is what came in from liquid and machines.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import ED_A, ED_B, ED_G, ED_I, EDGES, HE_FROM, HE_I, HE_NODE, HE_WATTS, HEATS


@inner
def conduct(X, E, C, E0, P, I, H, Z, nodes, node, end, edge, last, heated, dt):
    """Exchange along some edges and add declared heats, by the midpoint rule.

    Second order in `dt`; each edge's heat is computed once and moved once.  `nodes` from `node`
    to before `end`, and edges from `edge` to before `last`, hang together, and with no others.
    """
    first = H[3 * EDGES + 1]
    heats = H[3 * HEATS + 1]
    for k in range(node, end):
        Z[nodes[k]] = (E[nodes[k]] - E0[nodes[k]]) / dt
    for k in range(heated):
        r = heats + k * HE_I
        watts = X[I[r + HE_WATTS]]
        Z[I[r + HE_NODE]] += watts
        E[I[r + HE_NODE]] += watts * dt
        E[I[r + HE_FROM]] -= watts * dt
    for k in range(edge, last):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        flow = X[I[r + ED_G]] * (X[a] - X[b])
        Z[a] -= flow
        Z[b] += flow
    half = 0.5 * dt
    # Z now holds net watts; the midpoint temperature of each end follows from it
    for k in range(edge, last):
        r = first + k * ED_I
        a = I[r + ED_A]
        b = I[r + ED_B]
        heat = X[I[r + ED_G]] * ((X[a] + half * C[a] * Z[a]) - (X[b] + half * C[b] * Z[b])) * dt
        E[a] -= heat
        E[b] += heat


@inner
def warm(X, E, C, E0, R, nodes, node, plain, end, dt):
    """Bring the temperatures of plain nodes in step with their energies; keep the rates of all [K/s].

    Those before `plain` are plain; a law of its own settles the others.
    """
    for k in range(node, plain):
        n = nodes[k]
        now = E[n] * C[n]
        R[n] = (now - X[n]) / dt
        X[n] = now
        E0[n] = E[n]
    for k in range(plain, end):
        n = nodes[k]
        R[n] = (E[n] - E0[n]) * C[n] / dt
        E0[n] = E[n]


@inner
def conduct_in_parts(X, E, C, E0, R, P, I, H, Z, D, nodes, first, plain, end, edge, last, heated, dt, parts):
    """Conduct in equal parts of the step, each with its share of what came in, where nodes follow fast."""
    for k in range(first, end):
        node = nodes[k]
        D[node] = (E[node] - E0[node]) / parts
        R[node] = E0[node]
        E[node] = E0[node]
    for _ in range(parts):
        for k in range(first, end):
            E[nodes[k]] += D[nodes[k]]
        conduct(X, E, C, E0, P, I, H, Z, nodes, first, end, edge, last, heated, dt / parts)
        for k in range(first, end):
            node = nodes[k]
            if k < plain:
                X[node] = E[node] * C[node]
            else:  # near enough for the next part; its own law settles it at the end of the step
                X[node] += (E[node] - E0[node]) * C[node]
            E0[node] = E[node]
    for k in range(first, end):
        node = nodes[k]
        R[node] = (E[node] - R[node]) * C[node] / dt


@inner
def exchange(X, E, C, E0, R, P, I, H, Z, D, nodes, first, plain, end, edge, last, heated, stiffness, dt):
    """Let nodes conduct for a step [s], in as many parts as their `stiffness` [1/s] asks for."""
    parts = 1 + int(stiffness * dt / 0.5)
    if parts == 1:
        conduct(X, E, C, E0, P, I, H, Z, nodes, first, end, edge, last, heated, dt)
        warm(X, E, C, E0, R, nodes, first, plain, end, dt)
    else:
        conduct_in_parts(
            X, E, C, E0, R, P, I, H, Z, D, nodes, first, plain, end, edge, last, heated, dt, parts
        )
