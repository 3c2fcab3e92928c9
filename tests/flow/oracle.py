"""The rule of ranks written down a second time, slowly: linear programmes over whole branches.

Nothing here is shared with the solver: no chains, no residual ways, no cuts.
"""

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array

UNRANKED = 1000


class Island:
    """One island in plain arrays; flows are of its branches, then of ground to each tank."""

    def __init__(self, n_nodes, tail, head, cap, rank, tanks, draw, fill):
        self.n, self.tail, self.head = n_nodes, list(tail), list(head)
        self.cap, self.rank, self.tanks = list(cap), list(rank), list(tanks)
        self.draw, self.fill = list(draw), list(fill)
        self.m = len(self.tail)
        self.width = self.m + len(self.tanks)
        self.balance = np.zeros((n_nodes, self.width))
        for branch in range(self.m):
            self.balance[self.head[branch], branch] += 1
            self.balance[self.tail[branch], branch] -= 1
        for place, node in enumerate(self.tanks):
            self.balance[node, self.m + place] = 1
        self.low = np.array([0.0] * self.m + [-f for f in self.fill])
        self.high = np.array(self.cap + self.draw)

    def inlets(self, node):
        return [branch for branch in range(self.m) if self.head[branch] == node]

    def classes(self):
        """Branches in the order of their claims, from reachability and keys as tuples."""
        reach = np.eye(self.n, dtype=bool)
        for start, end in zip(self.tail, self.head, strict=True):
            if start not in self.tanks and end not in self.tanks:
                reach[start, end] = True
        for via in range(self.n):
            reach |= np.outer(reach[:, via], reach[via])
        ring = reach & reach.T
        rank = [r if 1 <= r < UNRANKED else UNRANKED for r in self.rank]
        contested = [
            len(self.inlets(v)) > 1 and any(rank[b] < UNRANKED for b in self.inlets(v)) for v in range(self.n)
        ]
        known = {}

        def label(node):
            if node in self.tanks:
                return ()
            here = frozenset(np.flatnonzero(ring[node]))
            if here not in known:
                ways = [b for b in range(self.m) if self.tail[b] in here and self.head[b] not in here]
                known[here] = max((key(b) for b in ways), default=())
            return known[here]

        def key(branch):
            end = self.head[branch]
            return label(end) + ((rank[branch],) if contested[end] else ())

        claims: dict[tuple[int, ...], list[int]] = {}
        silent = []
        for b in range(self.m):
            if contested[self.head[b]] and rank[b] < UNRANKED:
                claims.setdefault(key(b), []).append(b)
            else:
                silent.append(b)
        return [claims[k] for k in sorted(claims)] + [silent], rank


def programme(goal, balance, supply, low, high, extra=None):
    rows = {} if extra is None else {"A_ub": csr_array(extra[0]), "b_ub": extra[1]}
    result = linprog(
        goal,
        A_eq=csr_array(balance),
        b_eq=supply,
        bounds=np.column_stack([low, high]),
        method="highs",
        options={"presolve": False},
        **rows,
    )
    assert result.status == 0, result.message
    return result


def ranked_flow(island):
    """Flow of every branch, class by class, by linear programmes alone."""
    classes, rank = island.classes()
    low, high = island.low.copy(), island.high.copy()
    n, width = island.n, island.width
    standing = np.zeros(island.m, dtype=int)
    wide = np.column_stack([island.balance, np.zeros(n)])
    for members in classes:
        free = [b for b in members if high[b] > 0.0]
        for b in set(members) - set(free):
            low[b] = high[b] = 0.0
        while free:
            rows = np.zeros((len(free), width + 1))
            rows[np.arange(len(free)), free] = -1.0
            rows[:, -1] = 1.0
            goal = np.zeros(width + 1)
            goal[-1] = -1.0
            top = min(high[b] for b in free)
            result = programme(
                goal, wide, np.zeros(n), [*low, 0.0], [*high, top], (rows, np.zeros(len(free)))
            )
            level = result.x[-1]
            # a price on a member's row proves that it can't rise; so does its capacity
            tight = [
                b
                for b, price in zip(free, result.ineqlin.marginals, strict=True)
                if price < -1e-9 or high[b] <= level + 1e-9
            ]
            assert tight
            for b in free:
                low[b] = level
            for b in tight:
                high[b] = level
                free.remove(b)
        give_way(island, members, rank, low, high, standing)
    result = programme(np.zeros(width), island.balance, np.zeros(n), low - 1e-12, high + 1e-12)
    return result.x[: island.m], standing


def give_way(island, members, rank, low, high, standing):
    """Shut the rings that come in below a member that waits."""
    waiting = []
    for e in members:
        node = island.head[e]
        lower = [b for b in island.inlets(node) if rank[b] > rank[e] and rings(island, b)]
        if not lower or island.cap[e] - high[e] < 1e-7:
            continue
        column = np.zeros(island.n)
        column[node] = -1.0
        loose_low, loose_high = low.copy(), high.copy()
        loose_high[e] = island.cap[e]
        goal = np.zeros(island.width + 1)
        goal[-1] = -1.0
        result = programme(
            goal,
            np.column_stack([island.balance, column]),
            np.zeros(island.n),
            [*loose_low, 0.0],
            [*loose_high, island.cap[e]],
            (np.eye(1, island.width + 1, island.width) - np.eye(1, island.width + 1, e), [-low[e]]),
        )
        if result.x[-1] > 1e-7:
            waiting.append((node, lower))
    for _, rivals in waiting:
        lower = [b for b in rivals if not standing[b]]
        if not lower:
            continue
        goal = np.zeros(island.width)
        goal[lower] = 1.0
        result = programme(goal, island.balance, np.zeros(island.n), low, high)
        if result.fun < 1e-7:
            for b in lower:
                low[b] = high[b] = 0.0
                standing[b] = 1


def rings(island, branch):
    """Whether liquid of the branch can be what its own junction sent out, past no tank."""
    if island.cap[branch] <= 0 or {island.tail[branch], island.head[branch]} & set(island.tanks):
        return False
    todo, seen = [island.head[branch]], {island.head[branch]}
    while todo:
        node = todo.pop()
        if node == island.tail[branch]:
            return True
        for b in range(island.m):
            end = island.head[b]
            if island.tail[b] == node and island.cap[b] > 0 and end not in seen and end not in island.tanks:
                seen.add(end)
                todo.append(end)
    return False
