"""Ways along which more can flow: what is left of each arc, either way.

Arc `a` goes from `tail[a]` to `head[a]` and carries `flow[a]` between `low[a]` and
`high[a]`.  `arcs[pointer[v] : pointer[v + 1]]` are those at node `v`: 2 a where arc `a`
leaves it, 2 a + 1 where it enters.
"""

import numpy as np
from numpy.typing import NDArray

from brinewright.jit import inner

ROOM = 1e-11
"""Room below this is no room: a hundred roundings of a flow of 1000 [kg/s]."""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@inner
def reaches(
    source: int,
    target: int,
    tail: Ints,
    head: Ints,
    pointer: Ints,
    arcs: Ints,
    low: Floats,
    high: Floats,
    flow: Floats,
    mark: Ints,
    came_by: Ints,
    queue: Ints,
) -> bool:
    """Tell whether more can go from source to target; the way is in `came_by`, the nodes in `mark`."""
    mark[:] = 0
    mark[source] = 1
    if source == target:
        return True
    queue[0] = source
    first, last = 0, 1
    while first < last:
        node = queue[first]
        first += 1
        for place in range(pointer[node], pointer[node + 1]):
            arc = arcs[place] >> 1
            if arcs[place] & 1:
                other, room = tail[arc], flow[arc] - low[arc]
            else:
                other, room = head[arc], high[arc] - flow[arc]
            if room > ROOM and mark[other] == 0:
                mark[other] = 1
                came_by[other] = arcs[place]
                if other == target:
                    return True
                queue[last] = other
                last += 1
    return False


@inner
def push(
    source: int,
    target: int,
    wanted: float,
    tail: Ints,
    head: Ints,
    pointer: Ints,
    arcs: Ints,
    low: Floats,
    high: Floats,
    flow: Floats,
    mark: Ints,
    came_by: Ints,
    queue: Ints,
    member: Ints,
    level: float,
) -> float:
    """Send up to `wanted` from source to target, shortest ways first; what could not go [kg/s].

    No free member of the class that is filled now pays below its level.
    Edmonds and Karp, J. ACM 19 (1972) 248.
    """
    if source == target:
        return 0.0
    while wanted > ROOM and reaches(
        source, target, tail, head, pointer, arcs, low, high, flow, mark, came_by, queue
    ):
        step = wanted
        node = target
        while node != source:
            arc = came_by[node] >> 1
            if came_by[node] & 1:
                step = min(step, flow[arc] - low[arc])
                node = head[arc]
            else:
                step = min(step, high[arc] - flow[arc])
                node = tail[arc]
        node = target
        while node != source:
            arc = came_by[node] >> 1
            if came_by[node] & 1:
                flow[arc] -= step
                node = head[arc]
            else:
                flow[arc] += step
                node = tail[arc]
            if arc < member.size and member[arc] > 0:
                low[arc] = min(flow[arc], level)
        wanted -= step
    return wanted
