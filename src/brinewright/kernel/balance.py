"""What enters a node must leave it: pieces that hang together, and flows that balance."""

from brinewright.jit import inner
from brinewright.kernel.branch_law import SHUT
from brinewright.kernel.residual import Floats, Ints


@inner
def anchor(tail: Ints, head: Ints, state: Ints, fixed: Ints, place: Ints, queue: Ints) -> int:
    """Number the free nodes into `place`; -1 for nodes that hold their pressure.

    A piece that no open branch ties to a fixed node has no pressure of its own: its first
    node then keeps what it has, and -2 marks it.
    """
    n_nodes = fixed.size
    for node in range(n_nodes):
        place[node] = -1 if fixed[node] != 0 else -3
    free = 0
    for turn in range(2 * n_nodes):
        seed = turn % n_nodes
        if turn < n_nodes:
            if fixed[seed] == 0:
                continue
        elif place[seed] == -3:
            place[seed] = -2
        else:
            continue
        queue[0] = seed
        first, last = 0, 1
        while first < last:
            node = queue[first]
            first += 1
            for branch in range(tail.size):
                if state[branch] == SHUT:
                    continue
                other = -1
                if tail[branch] == node:
                    other = head[branch]
                elif head[branch] == node:
                    other = tail[branch]
                if other >= 0 and place[other] == -3:
                    place[other] = free
                    free += 1
                    queue[last] = other
                    last += 1
    return free


@inner
def is_balanced_start(tail: Ints, head: Ints, state: Ints, place: Ints, flow: Floats, left: Floats) -> bool:
    """Tell whether the flows at hand can be a start: some flow, and as much in as out of each free node."""
    left[:] = 0.0
    largest = 0.0
    for branch in range(tail.size):
        if state[branch] == SHUT:
            continue
        left[tail[branch]] -= flow[branch]
        left[head[branch]] += flow[branch]
        largest = max(largest, abs(flow[branch]))
    worst = 0.0
    for node in range(place.size):
        if place[node] >= 0:
            worst = max(worst, abs(left[node]))
    return largest > 0.0 and worst <= 1e-9 * largest


@inner
def close_balance(
    tail: Ints,
    head: Ints,
    state: Ints,
    place: Ints,
    flow: Floats,
    slope: Floats,
    left: Floats,
    order: Ints,
    parent: Ints,
) -> None:
    """Balance every free node to the last digit along a tree of the smoothest branches."""
    left[:] = 0.0
    for branch in range(tail.size):
        left[tail[branch]] -= flow[branch]
        left[head[branch]] += flow[branch]
    n_seen = 0
    for node in range(place.size):
        parent[node] = -2
        if place[node] < 0:
            parent[node] = -1
            order[n_seen] = node
            n_seen += 1
    n_roots = n_seen
    while n_seen < place.size:
        chosen = -1
        for branch in range(tail.size):
            if state[branch] == SHUT or (parent[tail[branch]] == -2) == (parent[head[branch]] == -2):
                continue
            if chosen < 0 or slope[branch] < slope[chosen]:
                chosen = branch
        node = tail[chosen] if parent[tail[chosen]] == -2 else head[chosen]
        parent[node] = chosen
        order[n_seen] = node
        n_seen += 1
    for turn in range(n_seen - 1, n_roots - 1, -1):
        node = order[turn]
        branch = parent[node]
        if head[branch] == node:
            flow[branch] -= left[node]
            left[tail[branch]] += left[node]
        else:
            flow[branch] += left[node]
            left[head[branch]] += left[node]
