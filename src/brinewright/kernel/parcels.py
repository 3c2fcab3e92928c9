"""Parcels of liquid in a run: plug flow without the smearing of cells.

A run is a queue of parcels of any size.  All of it exchanges heat with one node, and
that is the same affine map for every parcel, so a parcel keeps a frame temperature s and
the run keeps the frame: T = scale * s + shift.  An exchange then costs the same whatever
the number of parcels.  The energy of a run is its sum of mass times temperature, exact
by construction.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    PACKETS,
    RUN_CP,
    RUN_HEAT,
    RUN_J,
    RUN_MASS,
    RUN_NODE,
    RUN_QUEUE,
    RUN_ROOM,
    RUN_SLOT,
    RUN_STATE,
    RUN_UA,
    S_FACTOR,
    S_KEY,
    S_MASS,
    S_SCALE,
    S_SHIFT,
    S_SUM,
)

ALIKE = 2e-3
"""Neighbouring parcels closer than this [K] become one."""
SMALLEST_SCALE = 1e-3
"""Below this the frame is laid anew, before digits are lost."""


@inner
def push(X, P, I, J, QM, QS, i, p, mass, temperature, back):
    """Put a packet [kg], [K] into the run's inlet end, or into its outlet end if `back`."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    scale = X[x + S_SCALE]
    s = (temperature - X[x + S_SHIFT]) / scale
    count = J[j + 1]
    head = J[j]
    X[x + S_SUM] += mass * temperature
    X[x + S_MASS] += mass
    if count > 0:
        end = head if back else head + count - 1
        if end >= room:
            end -= room
        q = base + end
        held = QM[q]
        if abs(QS[q] - s) * scale < ALIKE or held + mass <= P[p + RUN_SLOT] or count >= room:
            total = held + mass
            QS[q] += (s - QS[q]) * (mass / total)
            QM[q] = total
            return
    if back:
        place = head - 1
        if place < 0:
            place += room
        J[j] = place
    else:
        place = head + count
        if place >= room:
            place -= room
    QM[base + place] = mass
    QS[base + place] = s
    J[j + 1] = count + 1


@inner
def pop(X, I, J, QM, QS, i, mass, OM, OT, start, back):
    """Take `mass` [kg] from the run's outlet end (inlet end if `back`) as packets; return their number.

    The packets go to OM [kg] and OT [K] from `start` on.
    """
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    scale = X[x + S_SCALE]
    shift = X[x + S_SHIFT]
    left = mass
    n = 0
    head = J[j]
    count = J[j + 1]
    taken = 0.0
    while left > 0.0 and count > 0:
        end = head + count - 1 if back else head
        if end >= room:
            end -= room
        q = base + end
        t = scale * QS[q] + shift
        piece = QM[q]
        if piece > left * (1.0 + 1e-12):
            QM[q] = piece - left
            piece = left
            left = 0.0
        else:
            left -= piece
            count -= 1
            if not back:
                head += 1
                if head == room:
                    head = 0
            if left < 1e-12 * mass:
                left = 0.0
        taken += piece * t
        if n == PACKETS:
            last = start + n - 1
            total = OM[last] + piece
            OT[last] += (t - OT[last]) * (piece / total)
            OM[last] = total
        else:
            OM[start + n] = piece
            OT[start + n] = t
            n += 1
    J[j] = head
    J[j + 1] = count
    X[x + S_SUM] -= taken
    X[x + S_MASS] -= mass
    return n


@inner
def rebase(X, I, J, QM, QS, i):
    """Write true temperatures into the parcels, start a fresh frame and a fresh sum."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    scale = X[x + S_SCALE]
    shift = X[x + S_SHIFT]
    for k in range(J[j + 1]):
        q = J[j] + k
        if q >= room:
            q -= room
        QS[base + q] = scale * QS[base + q] + shift
    X[x + S_SCALE] = 1.0
    X[x + S_SHIFT] = 0.0


@inner
def decay(x):
    """Return exp(-x); three terms where that is exact to 1e-13."""
    if x < 1e-3:
        return 1.0 - x * (1.0 - x * (0.5 - x / 6.0))
    return math.exp(-x)


@inner
def _soak(X, E, P, I, J, QM, QS, R, i, p, dt):
    """Let all that stands in a run exchange with its node for `dt` [s]; return the heat it takes [J].

    dT/dt = -UA (T - T_node) / (m cp), exact for a steady node temperature.
    """
    x = I[i + RUN_STATE]
    node = I[i + RUN_NODE]
    key = X[I[i + RUN_UA]] * dt / (P[p + RUN_MASS] * P[p + RUN_CP])
    if key != X[x + S_KEY]:
        X[x + S_KEY] = key
        X[x + S_FACTOR] = decay(key)
    a = X[x + S_FACTOR]
    b = (1.0 - a) * (X[node] + 0.5 * dt * R[node])
    gain = b * X[x + S_MASS] - (1.0 - a) * X[x + S_SUM]
    X[x + S_SUM] += gain
    X[x + S_SHIFT] = X[x + S_SHIFT] * a + b
    X[x + S_SCALE] *= a
    if X[x + S_SCALE] < SMALLEST_SCALE:
        rebase(X, I, J, QM, QS, i)
    return gain * P[p + RUN_CP]


@inner
def _exchanges(X, I, i):
    return I[i + RUN_NODE] >= 0 and X[I[i + RUN_UA]] > 0.0


@inner
def rest(X, E, P, I, J, QM, QS, R, i, p, dt):
    """Let a run in which nothing flows exchange with its node."""
    if _exchanges(X, I, i):
        heat = _soak(X, E, P, I, J, QM, QS, R, i, p, dt)
        E[I[i + RUN_NODE]] -= heat
        X[I[i + RUN_HEAT]] = heat / dt


@inner
def leave(X, E, P, I, J, QM, QS, R, i, p, flow, dt, OM, OT, start, back):
    """Let what a run holds flow out for `dt` [s], and exchange while it is inside; return the packets.

    At most the whole content leaves; each packet exchanges until the middle of its leaving.
    """
    x = I[i + RUN_STATE]
    n = pop(X, I, J, QM, QS, i, min(flow * dt, X[x + S_MASS]), OM, OT, start, back)
    if _exchanges(X, I, i):
        node = I[i + RUN_NODE]
        cp = P[p + RUN_CP]
        k = X[I[i + RUN_UA]] / (P[p + RUN_MASS] * cp)
        towards = X[node] + 0.5 * dt * R[node]
        passed = 0.0
        gain = 0.0
        for m in range(start, start + n):
            change = (towards - OT[m]) * (1.0 - decay(k * (passed + 0.5 * OM[m]) / flow))
            passed += OM[m]
            OT[m] += change
            gain += OM[m] * change
        heat = gain * cp
        if X[x + S_MASS] > 0.0:
            heat += _soak(X, E, P, I, J, QM, QS, R, i, p, dt)
        E[node] -= heat
        X[I[i + RUN_HEAT]] = heat / dt
    return n


@inner
def enter(X, E, P, I, J, QM, QS, R, i, p, flow, dt, IM, IT, first, n_in, OM, OT, start, n, back):
    """Let packets flow into a run after `leave`; what it cannot hold passes through; return the packets out.

    The run is full again afterwards.  Each packet exchanges from the middle of its entering on.
    """
    full = P[p + RUN_MASS]
    passing = flow * dt - full
    active = _exchanges(X, I, i)
    k = 0.0
    towards = 0.0
    if active:
        node = I[i + RUN_NODE]
        k = X[I[i + RUN_UA]] / (full * P[p + RUN_CP])
        towards = X[node] + 0.5 * dt * R[node]
    passed = 0.0
    gain = 0.0
    for m in range(first, first + n_in):
        piece = IM[m]
        t = IT[m]
        if passing > 1e-12 * full:
            part = min(piece, passing)
            change = (towards - t) * (1.0 - decay(k * full / flow)) if active else 0.0
            if n == PACKETS:
                last = start + n - 1
                OT[last] += (t + change - OT[last]) * (part / (OM[last] + part))
                OM[last] += part
            else:
                OM[start + n] = part
                OT[start + n] = t + change
                n += 1
            gain += part * change
            passing -= part
            piece -= part
            passed += part
            if piece <= 1e-12 * full:
                continue
        if active:
            change = (towards - t) * (1.0 - decay(k * max(dt - (passed + 0.5 * piece) / flow, 0.0)))
            gain += piece * change
            t += change
        passed += piece
        push(X, P, I, J, QM, QS, i, p, piece, t, back)
    if active:
        heat = gain * P[p + RUN_CP]
        E[node] -= heat
        X[I[i + RUN_HEAT]] += heat / dt
    return n


@inner
def temperature_at(X, I, J, QM, QS, i, from_outlet):
    """Return the temperature of the parcel `from_outlet` [kg] upstream of the outlet end [K]."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    count = J[j + 1]
    passed = 0.0
    q = J[j]
    for _ in range(count):
        passed += QM[base + q]
        if passed > from_outlet:
            break
        q += 1
        if q == room:
            q = 0
    else:
        q -= 1
        if q < 0:
            q += room
    return X[x + S_SCALE] * QS[base + q] + X[x + S_SHIFT]
