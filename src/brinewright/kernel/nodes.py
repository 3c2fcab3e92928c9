"""Thermal nodes: energy moves from one to another, so it can neither appear nor vanish.

During a step a node's energy E runs ahead of its temperature; E0 is its energy at the
start of the step, so E - E0 is what came in from liquid and machines.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import ED_A, ED_B, ED_G, ED_I, HE_FROM, HE_I, HE_NODE, HE_WATTS, HEATS

SMALL = 1e-3
"""Below this the first terms of a series are right to 1e-10, and what they stand for is not."""


@inner
def _mean_difference(difference, change, key):
    """Return how much warmer a light node is than what it hangs on, as a mean over a step [K].

    At first it is `difference` warmer; `change` is by how much that would grow in the step if
    nothing were conducted, and `key` how often it would be closed at its first rate.
    The mean of D' = r - k D, exact for any step.
    """
    if key > SMALL:
        stays = -math.expm1(-key) / key
        return difference * stays + change * (1.0 - stays) / key
    stays = 1.0 - key * (0.5 - key / 6.0)
    return difference * stays + change * (0.5 - key * (1.0 / 6.0 - key / 24.0))


@inner
def conduct(X, E, C, E0, I, H, Z, node, end, edges, heated, dt):
    """Exchange along some edges and add declared heats, by the midpoint rule.

    Second order in `dt`; each edge's heat is moved as it was computed.  The nodes from `node` to
    before `end`, and these edges, hang together, and with no others.  At `edges` H tells where
    in I those between nodes start, then those to boundaries, which follow nothing, then those
    of light nodes, which follow within a step what they hang on; then where they end.
    """
    heats = H[3 * HEATS + 1]
    per_second = 1.0 / dt
    for n in range(node, end):
        Z[n] = (E[n] - E0[n]) * per_second
    giver = 0
    given = 0.0
    for r in range(heats, heats + heated * HE_I, HE_I):
        if I[r + HE_FROM] != giver:
            E[giver] -= given
            giver = I[r + HE_FROM]
            given = 0.0
        watts = X[I[r + HE_WATTS]]
        warmed = I[r + HE_NODE]
        Z[warmed] += watts
        E[warmed] += watts * dt
        given += watts * dt
    E[giver] -= given
    between, to_boundaries, of_light, last = H[edges], H[edges + 1], H[edges + 2], H[edges + 3]
    for r in range(between, to_boundaries, ED_I):
        a = I[r + ED_A]
        b = I[r + ED_B]
        flow = X[I[r + ED_G]] * (X[a] - X[b])
        Z[a] -= flow
        Z[b] += flow
    for r in range(to_boundaries, of_light, ED_I):
        a = I[r + ED_A]
        Z[a] -= X[I[r + ED_G]] * (X[a] - X[I[r + ED_B]])
    for r in range(of_light, last, ED_I):
        flow = _flow_of_light(X, E, C, E0, I, r, Z[I[r + ED_B]], dt)
        Z[I[r + ED_A]] = flow
        Z[I[r + ED_B]] += flow
    half = 0.5 * dt
    # Z now holds net watts, but what a light node gives; the midpoint of each end follows
    for r in range(between, to_boundaries, ED_I):
        a = I[r + ED_A]
        b = I[r + ED_B]
        heat = X[I[r + ED_G]] * ((X[a] + half * C[a] * Z[a]) - (X[b] + half * C[b] * Z[b])) * dt
        E[a] -= heat
        E[b] += heat
    boundary = 0
    taken = 0.0
    for r in range(to_boundaries, of_light, ED_I):
        a = I[r + ED_A]
        if I[r + ED_B] != boundary:
            E[boundary] += taken
            boundary = I[r + ED_B]
            taken = 0.0
        heat = X[I[r + ED_G]] * (X[a] + half * C[a] * Z[a] - X[boundary]) * dt
        E[a] -= heat
        taken += heat
    E[boundary] += taken
    for r in range(of_light, last, ED_I):
        a = I[r + ED_A]
        b = I[r + ED_B]
        flow = _flow_of_light(X, E, C, E0, I, r, Z[b] - Z[a], dt)
        E[a] -= flow * dt
        E[b] += flow * dt
        Z[a] = (E[a] - E0[a]) * per_second


@inner
def _flow_of_light(X, E, C, E0, I, r, others, dt):
    """Return the mean heat flow from a light node to what it hangs on, which `others` give so much [W]."""
    a = I[r + ED_A]
    b = I[r + ED_B]
    conductance = X[I[r + ED_G]]
    change = C[a] * (E[a] - E0[a]) - C[b] * others * dt
    return conductance * _mean_difference(X[a] - X[b], change, conductance * (C[a] + C[b]) * dt)


@inner
def warm(X, E, C, E0, R, node, plain, end, dt):
    """Bring the temperatures of plain nodes in step with their energies; keep the rates of all [K/s].

    Those before `plain` are plain; a law of its own settles the others.
    """
    per_second = 1.0 / dt
    for n in range(node, plain):
        now = E[n] * C[n]
        R[n] = (now - X[n]) * per_second
        X[n] = now
        E0[n] = E[n]
    for n in range(plain, end):
        R[n] = (E[n] - E0[n]) * C[n] * per_second
        E0[n] = E[n]


@inner
def conduct_in_parts(X, E, C, E0, R, I, H, Z, D, first, plain, end, edges, heated, dt, parts):
    """Conduct in equal parts of the step, each with its share of what came in, where nodes follow fast."""
    for node in range(first, end):
        D[node] = (E[node] - E0[node]) / parts
        R[node] = E0[node]
        E[node] = E0[node]
    for _ in range(parts):
        for node in range(first, end):
            E[node] += D[node]
        conduct(X, E, C, E0, I, H, Z, first, end, edges, heated, dt / parts)
        for node in range(first, end):
            if node < plain:
                X[node] = E[node] * C[node]
            else:  # near enough for the next part; its own law settles it at the end of the step
                X[node] += (E[node] - E0[node]) * C[node]
            E0[node] = E[node]
    for node in range(first, end):
        R[node] = (E[node] - R[node]) * C[node] / dt


@inner
def exchange(X, E, C, E0, R, I, H, Z, D, first, plain, end, edges, heated, stiffness, dt):
    """Let nodes conduct for a step [s], in as many parts as their `stiffness` [1/s] asks for."""
    parts = 1 + int(stiffness * dt / 0.5)
    if parts == 1:
        conduct(X, E, C, E0, I, H, Z, first, end, edges, heated, dt)
        warm(X, E, C, E0, R, first, plain, end, dt)
    else:
        conduct_in_parts(X, E, C, E0, R, I, H, Z, D, first, plain, end, edges, heated, dt, parts)
