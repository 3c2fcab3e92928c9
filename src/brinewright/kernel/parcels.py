"""Parcels of liquid in a run: plug flow without the smearing of cells.

A run is a queue of parcels of any size.  All of it exchanges heat with one node, and
that is the same affine map for every parcel, so a parcel keeps a frame temperature s and
the run keeps the frame: T = scale * s + shift.  An exchange then costs the same whatever
the number of parcels.  The energy of a run is its sum of mass times temperature, exact
by construction.

Parcels in a queue (array Q) and packets between runs (arrays B, V, Y) are rows of three:
mass [kg], temperature [K] (in a queue: the frame temperature), and a mark.  Pieces of one
parcel carry the same mark, so that they grow together again in the next run.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    PACKETS,
    RUN_CP,
    RUN_HEAT,
    RUN_I,
    RUN_J,
    RUN_LOSS,
    RUN_MASS,
    RUN_MEAN,
    RUN_NODE,
    RUN_QUEUE,
    RUN_RATE,
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
WEAK = 1e-4
"""Below this share of a difference in one step, when in the step a parcel came or went makes no matter."""
STEEPEST = 1.0
"""Above this change over one parcel its inside is not known well enough to be told apart."""
FINEST = 0.5
"""Greatest share of a run that one parcel may fill where the run exchanges strongly."""


@inner
def push(X, P, I, J, Q, i, p, grain, mass, temperature, mark, back):
    """Put a packet [kg], [K] into the run's inlet end, or into its outlet end if `back`.

    It joins the parcel there if both are alike, or pieces of one parcel that together are
    no more than `grain` [kg], or no more than the run's smallest parcel.
    """
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
        q = 3 * (base + end)
        held = Q[q]
        total = held + mass
        if (
            abs(Q[q + 1] - s) * scale < ALIKE
            or (Q[q + 2] == mark and total <= grain)
            or total <= P[p + RUN_SLOT]
            or count >= room
        ):
            Q[q + 1] += (s - Q[q + 1]) * (mass / total)
            Q[q] = total
            Q[q + 2] = mark
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
    q = 3 * (base + place)
    Q[q] = mass
    Q[q + 1] = s
    Q[q + 2] = mark
    J[j + 1] = count + 1


@inner
def put_packet(O, start, n, mass, temperature, mark):
    """Append a packet to those from row `start` on, the last taking what is too many; return the number."""
    if n == PACKETS:
        last = 3 * (start + n - 1)
        total = O[last] + mass
        O[last + 1] += (temperature - O[last + 1]) * (mass / total)
        O[last] = total
        return n
    row = 3 * (start + n)
    O[row] = mass
    O[row + 1] = temperature
    O[row + 2] = mark
    return n + 1


@inner
def pop(X, I, J, Q, i, mass, by_mass, towards, O, start, back):
    """Take `mass` [kg] from the run's outlet end (inlet end if `back`) as packets; return their number.

    Where the run exchanges, at `by_mass` of a difference per kilogram that passes, the part of a
    parcel that goes first has been inside longer, and is nearer to `towards` than what stays.
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
        q = 3 * (base + end)
        t = scale * Q[q + 1] + shift
        piece = Q[q]
        if piece > left + 1e-12 * mass:
            if by_mass * piece < STEEPEST:
                lean = 0.5 * by_mass * (towards - t)
                Q[q + 1] = (t - lean * left - shift) / scale
                t += lean * (piece - left)
            Q[q] = piece - left
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
        n = put_packet(O, start, n, piece, t, Q[q + 2])
    J[j] = head
    J[j + 1] = count
    X[x + S_SUM] -= taken
    X[x + S_MASS] -= mass
    return n


@inner
def rebase(X, I, J, Q, i):
    """Write true temperatures into the parcels and start a fresh frame."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    for k in range(J[j + 1]):
        place = J[j] + k
        if place >= room:
            place -= room
        q = 3 * (base + place) + 1
        Q[q] = X[x + S_SCALE] * Q[q] + X[x + S_SHIFT]
    X[x + S_SCALE] = 1.0
    X[x + S_SHIFT] = 0.0


@inner
def relaxed(x):
    """Return 1 - exp(-x), the share by which a difference shrinks; below 0.06 by terms, exact to 1e-10."""
    if x < 0.06:
        return x * (1.0 - x * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x * (1.0 / 120.0 - x / 720.0)))))
    return 1.0 - math.exp(-x)


@inner
def _soak(X, P, I, J, Q, i, p, rate, towards, dt):
    """Let all that stands in a run relax towards a temperature for `dt` [s]; return its gain [kg K].

    dT/dt = -UA (T - T_node) / (m cp), exact for a steady node temperature.
    """
    x = I[i + RUN_STATE]
    key = rate * dt
    if key != X[x + S_KEY]:
        X[x + S_KEY] = key
        X[x + S_FACTOR] = relaxed(key)
    share = X[x + S_FACTOR]
    gain = share * (towards * X[x + S_MASS] - X[x + S_SUM])
    X[x + S_SUM] += gain
    X[x + S_SHIFT] += share * (towards - X[x + S_SHIFT])
    X[x + S_SCALE] *= 1.0 - share
    if X[x + S_SCALE] < SMALLEST_SCALE:
        rebase(X, I, J, Q, i)
    return gain


@inner
def _spread(x):
    """Return the mean of exp over an interval `x` wide round 0, sinh(x / 2) / (x / 2), by two terms."""
    return 1.0 + x * x / 24.0


@inner
def _rate(X, P, I, i, p):
    """Return the rate at which a run's content follows its node, UA / (m cp) [1/s]; 0 without a node."""
    return X[I[i + RUN_UA]] * P[p + RUN_RATE] if I[i + RUN_NODE] >= 0 else 0.0


@inner
def rest(X, E, P, I, J, Q, R, i, p, dt):
    """Let a run in which nothing flows exchange with its node."""
    rate = _rate(X, P, I, i, p)
    if rate > 0.0:
        node = I[i + RUN_NODE]
        heat = _soak(X, P, I, J, Q, i, p, rate, X[node] + 0.5 * dt * R[node], dt) * P[p + RUN_CP]
        E[node] -= heat
        X[I[i + RUN_HEAT]] = heat / dt


@inner
def leave(X, E, P, I, J, Q, R, i, p, flow, dt, O, start, back):
    """Let what a run holds flow out for `dt` [s], and exchange while it is inside; return the packets.

    At most the whole content leaves; each packet exchanges until the middle of its leaving.
    """
    x = I[i + RUN_STATE]
    mass = min(flow * dt, X[x + S_MASS])
    rate = _rate(X, P, I, i, p)
    if rate * dt <= WEAK:
        n = pop(X, I, J, Q, i, mass, 0.0, 0.0, O, start, back)
    else:
        node = I[i + RUN_NODE]
        towards = X[node] + 0.5 * dt * R[node]
        passed = 0.0
        gain = 0.0
        by_mass = rate / flow
        n = pop(X, I, J, Q, i, mass, by_mass, towards, O, start, back)
        for m in range(3 * start, 3 * (start + n), 3):
            # all of a packet leaves alike: what went in first has gone out first
            stays = (1.0 - relaxed(by_mass * (passed + 0.5 * O[m]))) / _spread(by_mass * O[m])
            change = (towards - O[m + 1]) * (1.0 - stays)
            passed += O[m]
            O[m + 1] += change
            gain += O[m] * change
        if J[I[i + RUN_J] + 1] > 0:
            gain += _soak(X, P, I, J, Q, i, p, rate, towards, dt)
        heat = gain * P[p + RUN_CP]
        E[node] -= heat
        X[I[i + RUN_HEAT]] = heat / dt
    return n


@inner
def enter(X, E, P, I, J, Q, R, i, p, flow, dt, N, first, n_in, O, start, n, back):
    """Let packets flow into a run after `leave`; what it cannot hold passes through; return the packets out.

    The run is full again afterwards.  Each packet exchanges from the middle of its entering
    on; where that matters, a long packet enters in pieces.
    """
    rate = _rate(X, P, I, i, p)
    full = P[p + RUN_MASS]
    passing = flow * dt - full
    if rate * dt > WEAK or (rate > 0.0 and passing > 0.0):
        return _enter_and_exchange(
            X, E, P, I, J, Q, R, i, p, rate, flow, dt, N, first, n_in, O, start, n, back
        )
    grain = max(flow * 1.0001, P[p + RUN_SLOT])
    for m in range(3 * first, 3 * (first + n_in), 3):
        piece = N[m]
        if passing > 1e-12 * full:
            part = min(piece, passing)
            n = put_packet(O, start, n, part, N[m + 1], N[m + 2])
            passing -= part
            piece -= part
            if piece <= 1e-12 * full:
                continue
        push(X, P, I, J, Q, i, p, grain, piece, N[m + 1], N[m + 2], back)
    if rate > 0.0:
        # what comes exchanges as much too long as what goes exchanges too short
        node = I[i + RUN_NODE]
        heat = _soak(X, P, I, J, Q, i, p, rate, X[node] + 0.5 * dt * R[node], dt) * P[p + RUN_CP]
        E[node] -= heat
        X[I[i + RUN_HEAT]] = heat / dt
    return n


@inner
def _enter_and_exchange(X, E, P, I, J, Q, R, i, p, rate, flow, dt, N, first, n_in, O, start, n, back):
    """Let packets flow into a run that exchanges strongly; return the packets out."""
    full = P[p + RUN_MASS]
    passing = flow * dt - full
    node = I[i + RUN_NODE]
    by_mass = rate / flow
    towards = X[node] + 0.5 * dt * R[node]
    grain = max(flow * 1.0001, P[p + RUN_SLOT])
    longest = FINEST * full
    left = flow * dt
    gain = 0.0
    for m in range(3 * first, 3 * (first + n_in), 3):
        piece = N[m]
        t = N[m + 1]
        if passing > 1e-12 * full:
            part = min(piece, passing)
            change = (towards - t) * relaxed(by_mass * full)
            n = put_packet(O, start, n, part, t + change, N[m + 2])
            gain += part * change
            passing -= part
            piece -= part
            left -= part
            if piece <= 1e-12 * full:
                continue
        pieces = 1
        if piece > longest and abs(towards - t) * by_mass * piece > ALIKE:
            pieces = int(piece / longest) + 1
            piece /= pieces
        for _ in range(pieces):
            stays = (1.0 - relaxed(by_mass * max(left - 0.5 * piece, 0.0))) * _spread(by_mass * piece)
            change = (towards - t) * (1.0 - stays)
            gain += piece * change
            left -= piece
            push(X, P, I, J, Q, i, p, grain, piece, t + change, N[m + 2], back)
    heat = gain * P[p + RUN_CP]
    E[node] -= heat
    if rate * dt > WEAK:
        X[I[i + RUN_HEAT]] += heat / dt
    else:
        X[I[i + RUN_HEAT]] = heat / dt
    return n


@inner
def temperature_at(X, I, J, Q, i, from_outlet):
    """Return the temperature of the parcel `from_outlet` [kg] upstream of the outlet end [K]."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    place = J[j]
    passed = Q[3 * (base + place)]
    for _ in range(J[j + 1] - 1):
        if passed > from_outlet:
            break
        place += 1
        if place == room:
            place = 0
        passed += Q[3 * (base + place)]
    return X[x + S_SCALE] * Q[3 * (base + place) + 1] + X[x + S_SHIFT]


@inner
def show_runs(X, P, I, H):
    """Show the mean temperature of each run that is asked for it, and the heat that it loses [W]."""
    i = H[3 * RUNS + 1]
    for _ in range(H[3 * RUNS]):
        if I[i + RUN_MEAN] >= 0:
            x = I[i + RUN_STATE]
            X[I[i + RUN_MEAN]] = X[x + S_SUM] / X[x + S_MASS]
            X[I[i + RUN_LOSS]] = -X[I[i + RUN_HEAT]]
        i += RUN_I
