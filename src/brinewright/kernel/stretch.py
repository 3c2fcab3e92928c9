"""A stretch of lines without a branch or a machine: one queue of parcels, led past one node after another.

Each line of it (a run) exchanges with a node of its own.  A parcel keeps its size from end to
end and may lie in two runs at once; what counts is how long it was in each, on the mean over its
mass.  So all of it is in a run for the run's mass over the flow, however long the steps are.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    QU_CP,
    QU_FIRST,
    QU_J,
    QU_MASS,
    QU_NRUNS,
    QU_ROOM,
    QU_RUNS,
    QU_RUNS_P,
    QU_SLOT,
    QU_STATE,
    RUN_BELOW,
    RUN_HEAT,
    RUN_I,
    RUN_IN,
    RUN_LOSS,
    RUN_MASS,
    RUN_MEAN,
    RUN_NODE,
    RUN_OUT,
    RUN_P,
    RUN_RATE,
    RUN_UA,
    RUN_X,
    S_BOTTOM,
    S_GAIN,
    S_RATE,
    S_SHARE,
    S_SUM,
    S_TOWARDS,
)
from brinewright.kernel.parcels import push, put_packet, relaxed

STEEP = 0.01
"""Change of the liquid in a run [K] from which on it matters how long a parcel is."""
FINEST = 1.0
"""Greatest share of such a run that one parcel may fill."""
INSIDE = 2.0
"""Greatest change [K] from one end of a parcel to the other."""
TICK = 0.67
"""What comes within so many seconds is one parcel: a slug does not break up more than that [s]."""
FINER = 0.5
"""Least share of a stretch's smallest parcel that either of them may ask for."""
STEEPEST = 1.0
"""Above this change over one parcel its inside is not known well enough to be told apart."""


@inner
def begin(X, P, I, R, v, p, dt, back):
    """Look at all runs of a stretch as they are in this step, from the one that is entered on."""
    number = I[v + QU_NRUNS]
    below = P[p + QU_MASS]
    for k in range(number):
        turn = number - 1 - k if back else k
        i = I[v + QU_RUNS] + turn * RUN_I
        r = I[v + QU_RUNS_P] + turn * RUN_P
        x = I[v + QU_STATE] + k * RUN_X
        below -= P[r + RUN_MASS]
        node = I[i + RUN_NODE]
        rate = 0.0
        if node >= 0:
            rate = X[I[i + RUN_UA]] * P[r + RUN_RATE]
            X[x + S_TOWARDS] = X[node] + 0.5 * dt * R[node]
        X[x + S_BOTTOM] = below if k < number - 1 else 0.0
        X[x + S_RATE] = rate
        X[x + S_SHARE] = relaxed(rate * dt)
        X[x + S_GAIN] = 0.0
        X[x + S_SUM] = 0.0


@inner
def _within(at, rear, border, piece):
    """Return how much lies before a border on the mean over a parcel, of the way that it has to go [kg]."""
    if at >= border:
        return border
    return (0.5 * (border - at) * (border + at) + border * (rear - border)) / piece


@inner
def give(X, P, I, J, Q, v, p, at, mass, flow, O, start, n, back):
    """Let `mass` [kg] leave a stretch, from `at` [kg] before its end on; return the number of packets.

    Where a parcel leaves in part, what goes first has been inside longer, and is nearer to the
    node's temperature than what stays.
    """
    number = I[v + QU_NRUNS]
    states = I[v + QU_STATE]
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    head = J[j]
    count = J[j + 1]
    last = states + (number - 1) * RUN_X
    x = last
    tiny = 1e-12 * mass
    left = mass
    full = P[p + QU_MASS]
    per_flow = 1.0 / flow
    while left > 0.0 and count > 0:
        end = head + count - 1 if back else head
        if end >= room:
            end -= room
        q = 3 * (I[v + QU_FIRST] + end)
        piece = Q[q]
        t = Q[q + 1]
        if piece > left + tiny:
            steep = X[last + S_RATE] * per_flow
            if steep * piece < STEEPEST:
                lean = 0.5 * steep * (X[last + S_TOWARDS] - t)
                Q[q + 1] = t - lean * left
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
            if left < tiny:
                left = 0.0
        rear = at + piece
        # from the run in which it stood furthest back
        while x > states and rear > X[x - RUN_X + S_BOTTOM]:
            x -= RUN_X
        k = x
        above = at + 0.5 * piece
        if rear > full:
            above = _within(at, rear, full, piece)
        while k <= last:
            bottom = X[k + S_BOTTOM]
            below = bottom if at >= bottom else _within(at, rear, bottom, piece)
            change = (X[k + S_TOWARDS] - t) * relaxed(X[k + S_RATE] * (above - below) * per_flow)
            t += change
            X[k + S_GAIN] += piece * change
            above = below
            k += RUN_X
        at = rear
        n = put_packet(O, start, n, piece, t, Q[q + 2])
    J[j] = head
    J[j + 1] = count
    return n


@inner
def take(X, P, I, J, Q, v, p, passing, flow, N, first, n_in, back):
    """Let packets come into a stretch, of which the first `passing` [kg] will go right through it.

    What stays comes in pieces where a long one would not show what happens inside.
    """
    slot = P[p + QU_SLOT]
    top = P[p + QU_MASS]
    tiny = 1e-12 * top
    longest = 1e18
    for k in range(I[v + QU_NRUNS]):
        x = I[v + QU_STATE] + k * RUN_X
        mass = top - X[x + S_BOTTOM]
        top = X[x + S_BOTTOM]
        steep = X[x + S_RATE] * abs(X[x + S_TOWARDS] - N[3 * first + 1]) / flow
        if steep * mass > STEEP:
            longest = min(longest, FINEST * mass, INSIDE / steep)
    longest = max(longest, FINER * slot)
    least = min(longest, max(slot, TICK * flow))
    J[I[v + QU_J] + 2] = 0
    for m in range(3 * first, 3 * (first + n_in), 3):
        piece = N[m]
        if passing > tiny:
            part = min(piece, passing)
            push(I, J, Q, v, part, N[m + 1], N[m + 2], 0.0, 0.0, back)
            passing -= part
            piece -= part
            if piece <= tiny:
                continue
        if piece > longest:
            pieces = math.ceil(piece / longest)
            for _ in range(pieces):
                push(I, J, Q, v, piece / pieces, N[m + 1], N[m + 2], least, 0.0, back)
        else:
            push(I, J, Q, v, piece, N[m + 1], N[m + 2], least, longest, back)


@inner
def cut(P, I, J, Q, v, p):
    """Cut parcels of a stretch that came to rest at the borders of its runs: each now follows one node."""
    j = I[v + QU_J]
    if J[j + 2] == 1:
        return
    J[j + 2] = 1
    room = I[v + QU_ROOM]
    first = I[v + QU_FIRST]
    run = I[v + QU_RUNS_P] + (I[v + QU_NRUNS] - 1) * RUN_P
    small = 1e-6 * P[p + QU_MASS]
    front = 0.0
    # all go round the ring once, each from its head to its end
    for _ in range(J[j + 1]):
        head = J[j]
        q = 3 * (first + head)
        mass = Q[q]
        temperature = Q[q + 1]
        mark = Q[q + 2]
        J[j] = head + 1 if head + 1 < room else 0
        J[j + 1] -= 1
        while run > I[v + QU_RUNS_P] and P[run - RUN_P + RUN_BELOW] < front + mass - small:
            run -= RUN_P
            piece = P[run + RUN_BELOW] - front
            if piece > small and J[j + 1] < room - 1:
                push(I, J, Q, v, piece, temperature, mark, 0.0, 0.0, False)
                J[0] += 1
                mark = float(J[0])
                front += piece
                mass -= piece
        push(I, J, Q, v, mass, temperature, mark, 0.0, 0.0, False)
        front += mass


@inner
def _past(front, rear, border, gone):
    """Return how much of a parcel was past a border in a step, over its way, doubled [kg2].

    It ends between `front` and `rear` [kg] and comes from `gone` [kg] before.
    """
    last = max(border - front, 0.0)
    first = max(border - front - gone, 0.0)
    last_rear = max(border - rear, 0.0)
    first_rear = max(border - rear - gone, 0.0)
    return last * last - first * first - last_rear * last_rear + first_rear * first_rear


@inner
def move(X, P, I, J, Q, v, p, gone, dt, back):
    """Let all that stands in a full stretch exchange in the step in which it moved on by `gone` [kg].

    Shows what each run holds, and how warm liquid goes over from one to the next.
    """
    states = I[v + QU_STATE]
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    first = I[v + QU_FIRST]
    full = P[p + QU_MASS]
    last = states + (I[v + QU_NRUNS] - 1) * RUN_X
    place = J[j] if back else J[j] + J[j + 1] - 1
    if place >= room:
        place -= room
    turn = 1 if back else -1
    x = states  # the run in which a parcel was furthest back
    at = states  # the run in which its rear is now
    shown = states  # the first border that nothing has gone over yet
    rear = full
    behind = Q[3 * (first + place) + 1]
    for _ in range(J[j + 1]):
        q = 3 * (first + place)
        place += turn
        if place == room:
            place = 0
        elif place < 0:
            place = room - 1
        piece = Q[q]
        t = Q[q + 1]
        front = rear - piece
        reach = rear + gone if gone > 0.0 else rear - 0.5 * piece
        while x < last and reach <= X[x + S_BOTTOM]:
            x += RUN_X
        k = x
        if gone == 0.0 or ((front >= X[x + S_BOTTOM] or x == last) and reach <= full):
            change = (X[k + S_TOWARDS] - t) * X[k + S_SHARE]
            t += change
            X[k + S_GAIN] += piece * change
        else:
            seconds = 0.5 * dt / (piece * gone)
            above = 2.0 * piece * gone if reach <= full else _past(front, rear, full, gone)
            while True:
                bottom = X[k + S_BOTTOM]
                ends = front >= bottom or k == last
                below = 0.0 if ends else _past(front, rear, bottom, gone)
                change = (X[k + S_TOWARDS] - t) * relaxed(X[k + S_RATE] * seconds * (above - below))
                t += change
                X[k + S_GAIN] += piece * change
                if ends:
                    break
                if k >= shown:  # of all that went over the border it is the last
                    there = behind
                    if front + gone >= bottom or X[k + RUN_X + S_RATE] <= X[k + S_RATE]:
                        # what has not gone over yet comes nearer to its node until then
                        rest = max(rear - bottom, 0.0)
                        later = X[k + S_RATE] * rest * dt / gone
                        lags = 1.0 - 1.0 / (1.0 + 0.5 * rest / piece * later * (1.0 + later / 3.0))
                        most = 0.5 * abs(t - behind)
                        there = t + min(max((X[k + S_TOWARDS] - t) * lags, -most), most)
                    _show_border(X, I, v, states, k, there, back)
                    shown = k + RUN_X
                above = below
                k += RUN_X
        Q[q + 1] = t
        if gone == 0.0:  # of all that stands in a run the last is at its outlet
            X[I[I[v + QU_RUNS] + (k - states) // RUN_X * RUN_I + RUN_OUT]] = t
        behind = t  # what is shown where part of the next one has met the next node already
        while front < X[at + S_BOTTOM] and at < last:
            X[at + S_SUM] += t * (rear - X[at + S_BOTTOM])
            rear = X[at + S_BOTTOM]
            at += RUN_X
        X[at + S_SUM] += t * (rear - front)
        rear = front


@inner
def _show_border(X, I, v, states, at, t, back):
    """Show the temperature with which liquid goes over from one run to the next."""
    k = (at - states) // RUN_X
    if back:
        k = I[v + QU_NRUNS] - 2 - k
    i = I[v + QU_RUNS] + k * RUN_I
    X[I[i + RUN_OUT]] = t
    X[I[i + RUN_I + RUN_IN]] = t


@inner
def finish(X, E, P, I, v, p, dt, back):
    """Let each node give what the liquid took from it in the step; show heat, mean temperature and loss."""
    number = I[v + QU_NRUNS]
    for k in range(number):
        turn = number - 1 - k if back else k
        i = I[v + QU_RUNS] + turn * RUN_I
        x = I[v + QU_STATE] + k * RUN_X
        if I[i + RUN_NODE] >= 0:
            heat = X[x + S_GAIN] * P[p + QU_CP]
            E[I[i + RUN_NODE]] -= heat
            X[I[i + RUN_HEAT]] = heat / dt
        if I[i + RUN_MEAN] >= 0:
            X[I[i + RUN_MEAN]] = X[x + S_SUM] / P[I[v + QU_RUNS_P] + turn * RUN_P + RUN_MASS]
            X[I[i + RUN_LOSS]] = -X[I[i + RUN_HEAT]]
