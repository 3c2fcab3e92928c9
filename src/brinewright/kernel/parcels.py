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
    RUN_I,
    RUN_J,
    RUN_NODE,
    RUN_P,
    RUN_QUEUE,
    RUN_ROOM,
    RUN_SLOT,
    RUN_STATE,
    RUN_UA,
    RUNS,
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
def exchange(X, E, C, P, I, J, QM, QS, H, dt, is_second):
    """Let every run exchange heat with its node for half a step, `dt` [s]; show the mean heat flow [W].

    dT/dt = -UA (T - T_node) / (m cp), exact for a constant node temperature.
    """
    rate = 0.5 / dt
    i = H[3 * RUNS + 1]
    p = H[3 * RUNS + 2]
    for _ in range(H[3 * RUNS]):
        node = I[i + RUN_NODE]
        if node >= 0:
            x = I[i + RUN_STATE]
            ua = X[I[i + RUN_UA]]
            mass = X[x + S_MASS]
            if ua > 0.0 and mass > 0.0:
                cp = P[p + RUN_CP]
                key = ua * dt / (mass * cp)
                if key != X[x + S_KEY]:
                    X[x + S_KEY] = key
                    X[x + S_FACTOR] = math.exp(-key)
                a = X[x + S_FACTOR]
                b = (1.0 - a) * X[node]
                gain = b * mass - (1.0 - a) * X[x + S_SUM]
                X[x + S_SUM] += gain
                scale = X[x + S_SCALE] * a
                X[x + S_SHIFT] = X[x + S_SHIFT] * a + b
                X[x + S_SCALE] = scale
                heat = gain * cp
                watts = rate * heat
                shown = I[i + RUN_HEAT]
                X[shown] = X[shown] + watts if is_second else watts
                E[node] -= heat
                X[node] -= heat * C[node]
                if scale < SMALLEST_SCALE:
                    rebase(X, I, J, QM, QS, i)
        i += RUN_I
        p += RUN_P


@inner
def outlet_temperature(X, I, J, QS, i):
    """Return the temperature of the parcel at the run's outlet end [K]."""
    x = I[i + RUN_STATE]
    return X[x + S_SCALE] * QS[I[i + RUN_QUEUE] + J[I[i + RUN_J]]] + X[x + S_SHIFT]


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
