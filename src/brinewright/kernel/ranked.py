"""Flow of a stylised island: the circulation in which every claim has had what it can.

Class after class, in the order of `claims`, the smallest flow of the class is made as
large as it can be, then the next, and so on; what is reached is fixed before the next
class.  The level of a class is found on cuts: a level that cannot be reached shows a cut,
and the cut says which level can.  That ends after finitely many cuts, at the exact level.

Before a class below a waiting one takes its turn, right of way is settled: see `_give_way`.
"""

import numpy as np

from brinewright.jit import compiled, inner
from brinewright.kernel.claims import (
    P_ARCS,
    P_BRANCHES,
    P_CHAIN_OF,
    P_CHAINS,
    P_CLASS_START,
    P_CLASSES,
    P_HEAD,
    P_MEMBERS,
    P_NODES,
    P_POINTER,
    P_RANK,
    P_TAIL,
    P_TANK_AT,
    P_TANKS,
    P_YIELDS,
)
from brinewright.kernel.residual import ROOM, Floats, Ints, push, reaches

SETTLED = 0
"""Every branch has its flow."""
STANDING = 1
"""As `SETTLED`, and at least one branch stands because a higher rank waits at its junction."""
UNSETTLED = 2
"""The cuts did not come to an end; the flow must not be used."""

SMALLEST = 1e-9
"""Capacities and flows below this are none [kg/s]."""
MOST_CUTS = 100_000


@inner
def _level_of_cut(
    free: Ints,
    n_free: int,
    tail: Ints,
    head: Ints,
    low: Floats,
    high: Floats,
    mark: Ints,
    member: Ints,
) -> float:
    """Highest level that the cut round the marked nodes lets the free members reach [kg/s].

    What leaves the marked nodes is at most the sum of `high`; what enters is at least the
    sum of `low` and, once for each free member that enters, the level.  Those members are
    left with 2 in `member`, the others with 1.
    """
    for place in range(n_free):
        member[free[place]] = 1
    room, count = 0.0, 0
    for arc in range(tail.size):
        if mark[tail[arc]] == 1 and mark[head[arc]] == 0:
            room += high[arc]
        elif mark[tail[arc]] == 0 and mark[head[arc]] == 1:
            if arc < member.size and member[arc] > 0:
                member[arc] = 2
                count += 1
            else:
                room -= low[arc]
    return room / count


@inner
def _fill_class(
    free: Ints,
    n_free: int,
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
) -> bool:
    """Raise the members of a class evenly, as far as each can go, and fix them there."""
    cuts = 0
    while n_free > 0:
        level = high[free[0]]
        for place in range(n_free):
            level = min(level, high[free[place]])
            member[free[place]] = 1
        reached = False
        while not reached:
            reached = True
            for place in range(n_free):
                low[free[place]] = min(flow[free[place]], level)
            for place in range(n_free):
                chain = free[place]
                wanted = level - flow[chain]
                if wanted <= ROOM:
                    continue
                left = push(
                    head[chain], tail[chain], wanted,
                    tail, head, pointer, arcs, low, high, flow, mark, came_by, queue, member, level,
                )  # fmt: skip
                flow[chain] += wanted - left
                low[chain] = min(flow[chain], level)
                if left > ROOM:
                    cuts += 1
                    if cuts > MOST_CUTS:
                        return False
                    level = _level_of_cut(free, n_free, tail, head, low, high, mark, member)
                    reached = False
                    break
        # the last cut holds its members at the level, and a capacity holds its own
        n_left = 0
        for place in range(n_free):
            chain = free[place]
            if member[chain] == 2 or high[chain] <= level + ROOM:
                member[chain] = 0
                low[chain] = flow[chain]
                high[chain] = flow[chain]
            else:
                low[chain] = min(flow[chain], level)
                free[n_left] = chain
                n_left += 1
        n_free = n_left
    return True


@inner
def _comes_round(
    start: int,
    target: int,
    head: Ints,
    pointer: Ints,
    arcs: Ints,
    capacity: Floats,
    is_tank: Ints,
    mark: Ints,
    queue: Ints,
) -> bool:
    """Tell whether what leaves `start` can come to `target` along open chains without passing a tank."""
    if start == target:
        return True
    mark[:] = 0
    mark[start] = 1
    queue[0] = start
    first, last = 0, 1
    while first < last:
        node = queue[first]
        first += 1
        for place in range(pointer[node], pointer[node + 1]):
            arc = arcs[place] >> 1
            if arcs[place] & 1 or arc >= capacity.size or capacity[arc] < SMALLEST:
                continue
            other = head[arc]
            if other == target:
                return True
            if mark[other] == 0 and is_tank[other] == 0:
                mark[other] = 1
                queue[last] = other
                last += 1
    return False


@inner
def _give_way(
    first: int,
    rank: Ints,
    tail: Ints,
    head: Ints,
    pointer: Ints,
    arcs: Ints,
    low: Floats,
    high: Floats,
    flow: Floats,
    capacity: Floats,
    is_tank: Ints,
    stands: Ints,
    mark: Ints,
    came_by: Ints,
    queue: Ints,
    member: Ints,
) -> bool:
    """Let lower ranks that live on their own junction's outflow stand while `first` waits there.

    `first` waits if more could come to its junction through it, were there room.  Whatever
    room opens there it takes at once, so a ring that comes in below it never gets its own
    liquid back in, and stands.  What comes from a tank does not depend on that room.
    """
    node = head[first]
    low_end = 0
    for place in range(pointer[node], pointer[node + 1]):
        arc = arcs[place] >> 1
        if not arcs[place] & 1 or arc >= capacity.size or rank[arc] <= rank[first]:
            continue
        if stands[arc] == 1 or capacity[arc] < SMALLEST or is_tank[tail[arc]] == 1:
            continue
        if _comes_round(node, tail[arc], head, pointer, arcs, capacity, is_tank, mark, queue):
            stands[arc] = 2
            high[arc] = flow[arc]
            low_end += 1
    if low_end == 0:
        return False
    all_stand = True
    for place in range(pointer[node], pointer[node + 1]):
        arc = arcs[place] >> 1
        if arcs[place] & 1 and arc < capacity.size and stands[arc] == 2 and flow[arc] > ROOM:
            left = push(
                tail[arc], node, flow[arc],
                tail, head, pointer, arcs, low, high, flow, mark, came_by, queue, member, 0.0,
            )  # fmt: skip
            flow[arc] = left if left > ROOM else 0.0
            high[arc] = flow[arc]
            all_stand = all_stand and left <= ROOM
    for place in range(pointer[node], pointer[node + 1]):
        arc = arcs[place] >> 1
        if arcs[place] & 1 and arc < capacity.size and stands[arc] == 2:
            # a claim ahead of `first` that needs the ring keeps it open
            stands[arc] = 1 if all_stand else 0
            high[arc] = 0.0 if all_stand else capacity[arc]
    return all_stand


@compiled
def solve_ranked(
    plan: Ints,
    capacity: Floats,
    draw: Floats,
    fill: Floats,
    flow: Floats,
    standing: Ints,
    work_f: Floats,
    work_i: Ints,
) -> int:
    """Flow of every branch of a stylised island, [kg/s], into `flow`; returns a code.

    Parameters
    ----------
    plan : from `claims.order_of_claims`
    capacity : most that each branch carries now; 0 where something in it is shut [kg/s]
    draw, fill : most that each tank gives, and takes, on balance [kg/s]
    flow : gets the flow of each branch, >= 0 [kg/s]
    standing : gets 1 for each branch that stands because a higher rank waits at its junction
    work_f, work_i : room to work in, of the lengths that `claims.workspace` tells

    Returns
    -------
    `SETTLED`, `STANDING` or `UNSETTLED`.

    Notes
    -----
    All that is given must be finite.  Whatever is below `SMALLEST` counts as nothing.

    Example
    -------
    Two lines meet; the first goes first, and the way on takes 8 kg/s.

    >>> import numpy as np
    >>> from brinewright.kernel.claims import order_of_claims, workspace
    >>> plan = order_of_claims(3, [0, 0, 1], [1, 1, 2], [1, 2, 0], [0, 2])
    >>> floats, ints = workspace(plan)
    >>> flow, standing = np.zeros(3), np.zeros(3, dtype=np.int64)
    >>> cap, draw, fill = np.array([5.0, 5.0, 8.0]), np.array([99.0, 0.0]), np.array([0.0, 99.0])
    >>> solve_ranked(plan, cap, draw, fill, flow, standing, np.zeros(floats), np.zeros(ints, dtype=np.int64))
    0
    >>> flow.tolist()
    [5.0, 3.0, 8.0]
    """
    n_nodes, n_chains, n_tanks = plan[P_NODES], plan[P_CHAINS], plan[P_TANKS]
    n_branches, n_classes = plan[P_BRANCHES], plan[P_CLASSES]
    n_arcs = n_chains + n_tanks
    tail = plan[plan[P_TAIL] : plan[P_TAIL] + n_arcs]
    head = plan[plan[P_HEAD] : plan[P_HEAD] + n_arcs]
    pointer = plan[plan[P_POINTER] : plan[P_POINTER] + n_nodes + 2]
    arcs = plan[plan[P_ARCS] : plan[P_ARCS] + 2 * n_arcs]
    members = plan[plan[P_MEMBERS] : plan[P_MEMBERS] + n_chains]
    rank = plan[plan[P_RANK] : plan[P_RANK] + n_chains]
    is_tank = plan[plan[P_TANK_AT] : plan[P_TANK_AT] + n_nodes]

    low = work_f[0:n_arcs]
    high = work_f[n_arcs : 2 * n_arcs]
    chain_flow = work_f[2 * n_arcs : 3 * n_arcs]
    chain_capacity = work_f[3 * n_arcs : 3 * n_arcs + n_chains]
    mark = work_i[0 : n_nodes + 1]
    came_by = work_i[n_nodes + 1 : 2 * n_nodes + 2]
    queue = work_i[2 * n_nodes + 2 : 3 * n_nodes + 3]
    free = work_i[3 * n_nodes + 3 : 3 * n_nodes + 3 + n_chains]
    member = work_i[3 * n_nodes + 3 + n_chains : 3 * n_nodes + 3 + 2 * n_chains]
    stands = work_i[3 * n_nodes + 3 + 2 * n_chains : 3 * n_nodes + 3 + 3 * n_chains]

    low[:] = 0.0
    chain_flow[:] = 0.0
    member[:] = 0
    stands[:] = 0
    chain_capacity[:] = np.inf
    for branch in range(n_branches):
        chain = plan[plan[P_CHAIN_OF] + branch]
        chain_capacity[chain] = min(chain_capacity[chain], capacity[branch])
        standing[branch] = 0
    for chain in range(n_chains):
        if chain_capacity[chain] < SMALLEST:
            chain_capacity[chain] = 0.0
        high[chain] = chain_capacity[chain]
    for tank in range(n_tanks):
        high[n_chains + tank] = draw[tank] if draw[tank] >= SMALLEST else 0.0
        low[n_chains + tank] = -fill[tank] if fill[tank] >= SMALLEST else 0.0

    code = SETTLED
    for number in range(n_classes):
        begin, end = plan[plan[P_CLASS_START] + number], plan[plan[P_CLASS_START] + number + 1]
        n_free = 0
        for place in range(begin, end):
            chain = members[place]
            if high[chain] > 0.0:
                free[n_free] = chain
                n_free += 1
        if not _fill_class(
            free, n_free, tail, head, pointer, arcs, low, high, chain_flow, mark, came_by, queue, member
        ):
            return UNSETTLED
        # who waits is asked of all before anybody stands
        for place in range(begin, end):
            chain = members[place]
            member[chain] = int(
                plan[plan[P_YIELDS] + chain] == 1
                and chain_capacity[chain] - chain_flow[chain] > ROOM
                and reaches(
                    n_nodes, tail[chain],
                    tail, head, pointer, arcs, low, high, chain_flow, mark, came_by, queue,
                )
            )  # fmt: skip
        for place in range(begin, end):
            chain = members[place]
            if member[chain] == 1:
                member[chain] = 0
                if _give_way(
                    chain, rank, tail, head, pointer, arcs, low, high, chain_flow,
                    chain_capacity, is_tank, stands, mark, came_by, queue, member,
                ):  # fmt: skip
                    code = STANDING
    for branch in range(n_branches):
        chain = plan[plan[P_CHAIN_OF] + branch]
        flow[branch] = min(chain_flow[chain], capacity[branch]) if chain_flow[chain] >= SMALLEST else 0.0
        standing[branch] = stands[chain]
    return code
