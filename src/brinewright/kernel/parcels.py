"""Parcels of liquid in a queue: they come in at one end and leave at the other, and never mix.

A queue (a stretch of lines, or a tank from which what came first leaves first) is a ring of
rows in Q; packets on their way between queues are such rows too (arrays B, V, Y).  A row is
mass [kg], temperature [K] and a mark.  Pieces of one parcel carry the same mark, so that they
grow together again in the next queue.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import PACKETS, QU_FIRST, QU_J, QU_ROOM

ALIKE = 2e-3
"""Neighbouring parcels closer than this [K] become one."""
NEAR = 0.5
"""And so do pieces of one parcel that are closer than this [K]."""


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
def push(I, J, Q, v, mass, temperature, mark, least, longest, back):
    """Put a packet [kg], [K] into the inlet end of a queue, or into its outlet end if `back`.

    It joins the parcel there if together they are no more than `least` [kg], or no more than
    `longest` [kg] and alike, or pieces of one parcel that are near each other still; and if there
    is no room.
    """
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    head = J[j]
    count = J[j + 1]
    if count > 0:
        end = head if back else head + count - 1
        if end >= room:
            end -= room
        q = 3 * (I[v + QU_FIRST] + end)
        total = Q[q] + mass
        off = temperature - Q[q + 1]
        near = ALIKE if Q[q + 2] != mark else NEAR
        if total <= least or (total <= longest and abs(off) < near) or count >= room:
            Q[q + 1] += off * (mass / total)
            Q[q] = total
            Q[q + 2] = mark
            return
    place = head - 1 if back else head + count
    if place < 0:
        place += room
    elif place >= room:
        place -= room
    if back:
        J[j] = place
    J[j + 1] = count + 1
    q = 3 * (I[v + QU_FIRST] + place)
    Q[q] = mass
    Q[q + 1] = temperature
    Q[q + 2] = mark


@inner
def pop(I, J, Q, v, mass, O, start):
    """Take `mass` [kg] from a queue's outlet end as packets; return their number."""
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    left = mass
    n = 0
    head = J[j]
    count = J[j + 1]
    while left > 0.0 and count > 0:
        q = 3 * (I[v + QU_FIRST] + head)
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
        n = put_packet(O, start, n, piece, Q[q + 1], Q[q + 2])
    J[j] = head
    J[j + 1] = count
    return n


@inner
def relaxed(x):
    """Return 1 - exp(-x), the share by which a difference shrinks; below 0.06 by terms, exact to 1e-10."""
    if x < 0.06:
        # in pairs, which do not wait for each other
        square = x * x
        return x * ((1.0 - 0.5 * x) + square * ((1.0 / 6.0 - x * (1.0 / 24.0)) + square * (1.0 / 120.0)))
    return 1.0 - math.exp(-x)
