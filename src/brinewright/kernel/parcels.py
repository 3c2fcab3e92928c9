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
    RUN_J,
    RUN_MASS,
    RUN_NODE,
    RUN_QUEUE,
    RUN_RATE,
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
def pop(X, I, J, Q, i, mass, O, start):
    """Take `mass` [kg] from a queue's outlet end as packets; return their number."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    left = mass
    n = 0
    head = J[j]
    count = J[j + 1]
    taken = 0.0
    while left > 0.0 and count > 0:
        q = 3 * (base + head)
        t = X[x + S_SCALE] * Q[q + 1] + X[x + S_SHIFT]
        piece = Q[q]
        if piece > left + 1e-12 * mass:
            Q[q] = piece - left
            piece = left
            left = 0.0
        else:
            left -= piece
            count -= 1
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
        return x * (
            1.0 - x * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x * (1.0 / 120.0 - x * (1.0 / 720.0)))))
        )
    return 1.0 - math.exp(-x)


@inner
def _soak(X, x, held, sum_, scale, shift, rate, towards, dt):
    """Let all that stands in a run relax towards a temperature for `dt` [s].

    dT/dt = -UA (T - T_node) / (m cp), exact for a steady node temperature.  Returns its gain
    [kg K] and its new frame.
    """
    key = rate * dt
    if key != X[x + S_KEY]:
        X[x + S_KEY] = key
        X[x + S_FACTOR] = relaxed(key)
    share = X[x + S_FACTOR]
    gain = share * (towards * held - sum_)
    return gain, scale * (1.0 - share), shift + share * (towards - shift)


@inner
def _spread(x):
    """Return the mean of exp over an interval `x` wide round 0, sinh(x / 2) / (x / 2), by two terms."""
    return 1.0 + x * x * (1.0 / 24.0)


@inner
def _narrow(x):
    """Return the inverse of that, by three terms."""
    y = x * x
    return 1.0 - y * (1.0 / 24.0 - y * (7.0 / 5760.0))


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
        x = I[i + RUN_STATE]
        gain, X[x + S_SCALE], X[x + S_SHIFT] = _soak(
            X, x, X[x + S_MASS], X[x + S_SUM], X[x + S_SCALE], X[x + S_SHIFT], rate,
            X[node] + 0.5 * dt * R[node], dt,
        )  # fmt: skip
        X[x + S_SUM] += gain
        if X[x + S_SCALE] < SMALLEST_SCALE:
            rebase(X, I, J, Q, i)
        heat = gain * P[p + RUN_CP]
        E[node] -= heat
        X[I[i + RUN_HEAT]] = heat / dt


@inner
def carry(X, E, P, I, J, Q, R, i, p, flow, dt, leaves, enters, N, first, n_in, O, start, n, back):
    """Let liquid flow through a run for `dt` [s] and exchange while it is inside; return the packets out.

    First what it holds leaves, at most all of it, if it `leaves` now; each packet exchanges until
    the middle of its leaving.  Where the run exchanges strongly, the part of a parcel that goes
    first has been inside longer, and is nearer to the node's temperature than what stays.

    Then packets enter, if they do so now, and what the run cannot hold passes through; it is full
    again afterwards.  Where the run exchanges strongly, each packet exchanges from the middle of
    its entering on, and a long one enters in pieces; else all that stands in the run does: what
    comes exchanges as much too long as what goes exchanges too short.
    """
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    scale = X[x + S_SCALE]
    shift = X[x + S_SHIFT]
    held = X[x + S_MASS]
    sum_ = X[x + S_SUM]
    head = J[j]
    count = J[j + 1]
    rate = _rate(X, P, I, i, p)
    strong = rate * dt > WEAK
    by_mass = 0.0
    towards = 0.0
    if rate > 0.0:
        node = I[i + RUN_NODE]
        towards = X[node] + 0.5 * dt * R[node]
        by_mass = rate / flow
    left = flow * dt
    gain = 0.0
    if leaves:
        mass = min(left, held)
        tiny = 1e-12 * mass
        goes = mass
        passed = 0.0
        taken = 0.0
        while goes > 0.0 and count > 0:
            end = head + count - 1 if back else head
            if end >= room:
                end -= room
            q = 3 * (base + end)
            t = scale * Q[q + 1] + shift
            piece = Q[q]
            if piece > goes + tiny:
                if strong and by_mass * piece < STEEPEST:
                    lean = 0.5 * by_mass * (towards - t)
                    Q[q + 1] = (t - lean * goes - shift) / scale
                    t += lean * (piece - goes)
                Q[q] = piece - goes
                piece = goes
                goes = 0.0
            else:
                goes -= piece
                count -= 1
                if not back:
                    head += 1
                    if head == room:
                        head = 0
                if goes < tiny:
                    goes = 0.0
            taken += piece * t
            if strong:
                # all of a packet leaves alike: what went in first has gone out first
                stays = (1.0 - relaxed(by_mass * (passed + 0.5 * piece))) * _narrow(by_mass * piece)
                change = (towards - t) * (1.0 - stays)
                passed += piece
                gain += piece * change
                t += change
            n = put_packet(O, start, n, piece, t, Q[q + 2])
        sum_ -= taken
        held -= mass
        if strong and count > 0:
            more, scale, shift = _soak(X, x, held, sum_, scale, shift, rate, towards, dt)
            sum_ += more
            gain += more
    full = P[p + RUN_MASS]
    passing = left - full
    exchanges = strong or (rate > 0.0 and passing > 0.0)
    if enters:
        inverse = 1.0 / scale
        slot = P[p + RUN_SLOT]
        grain = max(flow * 1.0001, slot)
        longest = FINEST * full
        for m in range(3 * first, 3 * (first + n_in), 3):
            piece = N[m]
            begin = N[m + 1]
            mark = N[m + 2]
            if passing > 1e-12 * full:
                part = min(piece, passing)
                change = (towards - begin) * relaxed(by_mass * full) if exchanges else 0.0
                n = put_packet(O, start, n, part, begin + change, mark)
                gain += part * change
                passing -= part
                piece -= part
                left -= part
                if piece <= 1e-12 * full:
                    continue
            pieces = 1
            if exchanges and piece > longest and abs(towards - begin) * by_mass * piece > ALIKE:
                pieces = int(piece / longest) + 1
                piece /= pieces
            for _ in range(pieces):
                t = begin
                if exchanges:
                    stays = (1.0 - relaxed(by_mass * max(left - 0.5 * piece, 0.0))) * _spread(by_mass * piece)
                    change = (towards - begin) * (1.0 - stays)
                    gain += piece * change
                    left -= piece
                    t += change
                # as in `push`
                sum_ += piece * t
                held += piece
                s = (t - shift) * inverse
                if count > 0:
                    end = head if back else head + count - 1
                    if end >= room:
                        end -= room
                    q = 3 * (base + end)
                    total = Q[q] + piece
                    if (
                        total <= slot
                        or abs(Q[q + 1] - s) * scale < ALIKE
                        or (Q[q + 2] == mark and total <= grain)
                        or count >= room
                    ):
                        Q[q + 1] += (s - Q[q + 1]) * (piece / total)
                        Q[q] = total
                        Q[q + 2] = mark
                        continue
                if back:
                    head -= 1
                    if head < 0:
                        head += room
                    place = head
                else:
                    place = head + count
                    if place >= room:
                        place -= room
                q = 3 * (base + place)
                Q[q] = piece
                Q[q + 1] = s
                Q[q + 2] = mark
                count += 1
        if rate > 0.0 and not exchanges:
            gain, scale, shift = _soak(X, x, held, sum_, scale, shift, rate, towards, dt)
            sum_ += gain
    J[j] = head
    J[j + 1] = count
    X[x + S_MASS] = held
    X[x + S_SUM] = sum_
    X[x + S_SCALE] = scale
    X[x + S_SHIFT] = shift
    if scale < SMALLEST_SCALE:
        rebase(X, I, J, Q, i)
    if exchanges or (enters and rate > 0.0):
        heat = gain * P[p + RUN_CP]
        E[I[i + RUN_NODE]] -= heat
        # where it left earlier, that has shown its part
        shown = X[I[i + RUN_HEAT]] if strong and not leaves else 0.0
        X[I[i + RUN_HEAT]] = shown + heat / dt
    return n
