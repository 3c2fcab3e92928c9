"""A stratified tank: parcels from the bottom up, warm above cold, that move without smearing.

At X[layers] stands the number of parcels, then their masses [kg], then their temperatures [K],
with room for twice the declared number of layers.  What comes in pushes up what is above it,
what leaves lets it sink, so a thermocline is carried along and only conduction thickens it.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    TK_AROUND,
    TK_CP,
    TK_FULL,
    TK_HEIGHT,
    TK_INLET,
    TK_LAYERS,
    TK_LOSS,
    TK_MASS,
    TK_MAX,
    TK_NLAYERS,
    TK_NODE,
    TK_OUTLET,
    TK_SPREAD,
    TK_UA,
)
from brinewright.kernel.parcels import relaxed

ALIKE = 2e-3
"""Liquid that differs by less [K] joins a parcel of any size."""
EDGE = 0.25
"""Share of a layer below which no parcel is cut off."""


@inner
def _close(X, m, s, n, k):
    """Take parcel `k` of `n` out of the stack."""
    for q in range(k, n - 1):
        X[m + q] = X[m + q + 1]
        X[s + q] = X[s + q + 1]
    return n - 1


@inner
def _open(X, m, s, n, k):
    """Make a place at `k` in a stack of `n`."""
    for q in range(n, k, -1):
        X[m + q] = X[m + q - 1]
        X[s + q] = X[s + q - 1]
    return n + 1


@inner
def _mix(X, m, s, k, mass, temperature):
    """Mix `mass` [kg] into parcel `k`."""
    total = X[m + k] + mass
    X[s + k] += (temperature - X[s + k]) * (mass / total)
    X[m + k] = total


@inner
def _make_room(X, m, s, n):
    """Join the two neighbours whose mixing costs least; return the new number."""
    best = 0
    least = 1e300
    for k in range(n - 1):
        change = X[s + k + 1] - X[s + k]
        cost = X[m + k] * X[m + k + 1] / (X[m + k] + X[m + k + 1]) * change * change
        if cost < least:
            least = cost
            best = k
    _mix(X, m, s, best, X[m + best + 1], X[s + best + 1])
    return _close(X, m, s, n, best + 1)


@inner
def _insert(X, m, s, n, room, slot, at, mass, temperature):
    """Put `mass` [kg] into the stack where `at` [kg] lies below; return the new number of parcels.

    It joins a parcel there that is alike or not yet as thick as a layer; else it is a parcel of its own.
    """
    while n > room - 2:
        n = _make_room(X, m, s, n)
    below = 0.0
    k = 0
    while k < n - 1 and below + X[m + k] <= at:
        below += X[m + k]
        k += 1
    inside = min(max(at - below, 0.0), X[m + k])
    edge = EDGE * slot
    best = -1
    for q in range(max(k - 1, 0), min(k + 2, n)):
        near = q == k or (q < k and inside < edge) or (q > k and X[m + k] - inside < edge)
        fits = X[m + q] + mass <= slot or abs(X[s + q] - temperature) < ALIKE
        if near and fits and (best < 0 or abs(X[s + q] - temperature) < abs(X[s + best] - temperature)):
            best = q
    if best >= 0:
        _mix(X, m, s, best, mass, temperature)
        return n
    if inside >= edge and X[m + k] - inside >= edge:
        n = _open(X, m, s, n, k)
        X[m + k] = inside
        X[s + k] = X[s + k + 1]
        X[m + k + 1] -= inside
        k += 1
    elif inside >= edge:
        k += 1
    n = _open(X, m, s, n, k)
    X[m + k] = mass
    X[s + k] = temperature
    return n


@inner
def _draw(X, m, s, n, at, mass):
    """Take `mass` [kg] from where `at` [kg] lies below; return number, and mass times temperature."""
    total = 0.0
    for k in range(n):
        total += X[m + k]
    low = min(max(at - 0.5 * mass, 0.0), max(total - mass, 0.0))
    high = low + mass
    below = 0.0
    taken = 0.0
    heat = 0.0
    for k in range(n):
        held = X[m + k]
        piece = min(below + held, high) - max(below, low)
        below += held
        if piece > 0.0:
            if taken + piece > mass:
                piece = mass - taken
            X[m + k] = held - piece
            taken += piece
            heat += piece * X[s + k]
    k = 0
    while k < n and n > 1:
        if X[m + k] <= 1e-12 * total:
            n = _close(X, m, s, n, k)
        else:
            k += 1
    return n, heat


@inner
def _turn_over(X, m, s, n):
    """Mix what is warmer than what lies above it, until nothing is; return the new number."""
    k = 0
    while k < n - 1:
        if X[s + k] > X[s + k + 1]:
            _mix(X, m, s, k, X[m + k + 1], X[s + k + 1])
            n = _close(X, m, s, n, k + 1)
            k = max(k - 1, 0)
        else:
            k += 1
    return n


@inner
def _split(X, m, s, n, room, slot):
    """Cut parcels thicker than a layer and a half in two: conduction needs layers; return the number."""
    k = 0
    while k < n and n < room - 2:
        if X[m + k] > 1.5 * slot:
            n = _open(X, m, s, n, k)
            X[m + k] = 0.5 * X[m + k + 1]
            X[m + k + 1] = X[m + k]
            X[s + k] = X[s + k + 1]
        else:
            k += 1
    return n


@inner
def _even(X, m, s, k, spread, full, height, cp, dt):
    """Let parcels `k` and `k + 1` conduct for `dt` [s]: exact for the two alone."""
    first = X[m + k]
    second = X[m + k + 1]
    distance = 0.5 * (first + second) / full * height
    both = first * second / (first + second)
    share = relaxed(spread / distance * dt / (both * cp))
    heat = share * both * (X[s + k] - X[s + k + 1])
    X[s + k] -= heat / first
    X[s + k + 1] += heat / second


@inner
def through_layers(X, E, C, E0, P, I, t, p, inflow, heat, back_inflow, back_heat, outflow, back_outflow, dt):
    """Pass a step's liquid through a stratified tank; return what leaves by outlets and by inlets [K].

    `inflow` [kg] with `heat` [kg K] comes by the inlets, `back_inflow` by the outlets, where the flow is
    reversed; `outflow` leaves by the outlets, `back_outflow` by the inlets.
    """
    node = I[t + TK_NODE]
    x = I[t + TK_LAYERS]
    room = 2 * I[t + TK_NLAYERS]
    m = x + 1
    s = m + room
    n = int(X[x])
    cp = P[p + TK_CP]
    full = P[p + TK_FULL]
    slot = P[p + TK_MAX] / I[t + TK_NLAYERS]
    mass = X[I[t + TK_MASS]]
    stored = 0.0
    for k in range(n):
        stored += X[m + k] * X[s + k]
    # what touched the tank as a whole has warmed all of it alike
    change = (E[node] / cp - stored) / mass
    for k in range(n):
        X[s + k] += change
    around = I[t + TK_AROUND]
    if around >= 0:
        share = relaxed(X[I[t + TK_UA]] * dt / (mass * cp))
        gained = 0.0
        for k in range(n):
            rise = share * (X[around] - X[s + k])
            X[s + k] += rise
            gained += X[m + k] * rise
        E[node] += gained * cp
        E[around] -= gained * cp
        X[I[t + TK_LOSS]] = -gained * cp / dt
    n = _split(X, m, s, n, room, slot)
    for k in range(n - 1):
        _even(X, m, s, k, P[p + TK_SPREAD], full, P[p + TK_HEIGHT], cp, 0.5 * dt)
    for k in range(n - 2, -1, -1):
        _even(X, m, s, k, P[p + TK_SPREAD], full, P[p + TK_HEIGHT], cp, 0.5 * dt)
    n = _turn_over(X, m, s, n)
    inlet = P[p + TK_INLET] * full
    outlet = P[p + TK_OUTLET] * full
    if inflow > 0.0:
        n = _insert(X, m, s, n, room, slot, min(inlet, mass), inflow, heat / inflow)
        n = _turn_over(X, m, s, n)
    if back_inflow > 0.0:
        n = _insert(X, m, s, n, room, slot, min(outlet, mass), back_inflow, back_heat / back_inflow)
        n = _turn_over(X, m, s, n)
    now = mass + inflow + back_inflow
    leaving = 0.0
    back_leaving = 0.0
    taken = 0.0
    if outflow > 0.0:
        n, taken = _draw(X, m, s, n, min(outlet, now), outflow)
        leaving = taken / outflow
    if back_outflow > 0.0:
        n, drawn = _draw(X, m, s, n, min(inlet, now - outflow), back_outflow)
        back_leaving = drawn / back_outflow
        taken += drawn
    X[x] = float(n)
    X[I[t + TK_MASS]] = now - outflow - back_outflow
    E[node] += cp * (heat + back_heat - taken)
    E0[node] = E[node]
    C[node] = 1.0 / (cp * X[I[t + TK_MASS]])
    X[node] = E[node] * C[node]
    if outflow <= 0.0:
        leaving = _temperature_at(X, m, s, n, min(outlet, X[I[t + TK_MASS]]))
    if back_outflow <= 0.0:
        back_leaving = leaving
    return leaving, back_leaving


@inner
def _temperature_at(X, m, s, n, at):
    """Return the temperature where `at` [kg] lies below [K]."""
    below = 0.0
    for k in range(n - 1):
        below += X[m + k]
        if below > at:
            return X[s + k]
    return X[s + n - 1]
