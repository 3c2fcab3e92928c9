"""The order of claims of a stylised island: which branch takes what it can before which other.

This runs once when a loop is compiled.  It draws branches in series together into chains,
puts the chains into classes (docs/decisions/0003-flow.md says why in this order) and
returns all of it as one flat array that `ranked.solve_ranked` reads.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

UNRANKED = 1000
"""Rank of a branch that makes no claim; every rank below 1 means the same."""

# places in the plan: counts, then where each section starts
P_NODES, P_CHAINS, P_BRANCHES, P_TANKS, P_CLASSES = 0, 1, 2, 3, 4
P_CHAIN_OF, P_TAIL, P_HEAD, P_POINTER, P_ARCS = 5, 6, 7, 8, 9
P_CLASS_START, P_MEMBERS, P_RANK, P_YIELDS, P_TANK_AT = 10, 11, 12, 13, 14
P_SIZE = 15

Plan = NDArray[np.int64]


def order_of_claims(
    n_nodes: int, tail: Sequence[int], head: Sequence[int], rank: Sequence[int], tanks: Sequence[int]
) -> Plan:
    """Return the plan of one island for `ranked.solve_ranked`.

    Parameters
    ----------
    n_nodes : number of nodes; a node without branches is allowed
    tail, head : node that each branch leaves and enters
    rank : claim of each branch at the node it enters, 1 first; 0 or 1000 makes no claim
    tanks : nodes that are tanks, each once, in the order of the tank limits

    Example
    -------
    >>> plan = order_of_claims(3, [0, 0, 1], [1, 1, 2], [1, 2, 0], [0, 2])
    >>> int(plan[P_CHAINS]), int(plan[P_CLASSES])
    (3, 3)
    """
    is_tank = [False] * n_nodes
    for node in tanks:
        is_tank[node] = True
    claim = [r if 1 <= r < UNRANKED else UNRANKED for r in map(int, rank)]
    chains, kept = _chains(n_nodes, list(map(int, tail)), list(map(int, head)), is_tank)
    number = {node: index for index, node in enumerate(kept)}
    tails = [number[int(tail[chain[0]])] for chain in chains]
    heads = [number[int(head[chain[-1]])] for chain in chains]
    ranks = [claim[chain[-1]] for chain in chains]
    kept_tank = [is_tank[node] for node in kept]
    classes = _classes(len(kept), tails, heads, ranks, kept_tank)
    return _flat(len(tail), chains, tails, heads, ranks, [number[t] for t in tanks], kept_tank, classes)


def workspace(plan: Plan) -> tuple[int, int]:
    """Return how many floats and how many integers `ranked.solve_ranked` needs to work in."""
    arcs = int(plan[P_CHAINS] + plan[P_TANKS])
    nodes = int(plan[P_NODES]) + 1
    return 3 * arcs + int(plan[P_CHAINS]), 3 * nodes + 3 * int(plan[P_CHAINS])


def _chains(
    n_nodes: int, tail: list[int], head: list[int], is_tank: list[bool]
) -> tuple[list[list[int]], list[int]]:
    """Return the branches drawn together where nothing joins or parts, and the nodes that remain."""
    leaving: list[list[int]] = [[] for _ in range(n_nodes)]
    entering = [0] * n_nodes
    for branch, (start, end) in enumerate(zip(tail, head, strict=True)):
        leaving[start].append(branch)
        entering[end] += 1
    passes = [not is_tank[v] and entering[v] == 1 and len(leaving[v]) == 1 for v in range(n_nodes)]
    chains: list[list[int]] = []
    seen = [False] * len(tail)

    def follow(branch: int) -> None:
        chain = [branch]
        while passes[head[chain[-1]]]:
            chain.append(leaving[head[chain[-1]]][0])
        chains.append(chain)
        for link in chain:
            seen[link] = True

    for branch, start in enumerate(tail):
        if not passes[start]:
            follow(branch)
    for branch, start in enumerate(tail):
        if not seen[branch]:  # a ring in which nothing joins or parts keeps one node
            passes[start] = False
            follow(branch)
    kept = [v for v in range(n_nodes) if is_tank[v] or (not passes[v] and (leaving[v] or entering[v]))]
    return chains, kept


def _classes(
    n_nodes: int, tail: list[int], head: list[int], rank: list[int], is_tank: list[bool]
) -> list[list[int]]:
    """Return the chains in the order of their claims; the last class makes none.

    The key of a chain is the key of the node it enters, followed by its rank there if
    anybody claims anything there; the key of a node is the latest of its ways on.  Nodes
    that lie on one ring share a key.  Tanks end every way.
    """
    contested = [False] * n_nodes
    inlets = [0] * n_nodes
    for end in head:
        inlets[end] += 1
    for chain, end in enumerate(head):
        contested[end] |= inlets[end] > 1 and rank[chain] < UNRANKED
    ring, order = _rings(n_nodes, tail, head, is_tank)
    label: list[tuple[int, ...]] = [() for _ in order]
    leaving: list[list[int]] = [[] for _ in order]
    for chain, start in enumerate(tail):
        if is_tank[start] or ring[start] != ring[head[chain]]:
            leaving[ring[start]].append(chain)

    def key(chain: int) -> tuple[int, ...]:
        end = head[chain]
        return label[ring[end]] + ((rank[chain],) if contested[end] else ())

    for index, nodes in enumerate(order):
        if not is_tank[nodes[0]]:
            label[index] = max((key(chain) for chain in leaving[index]), default=())
    claims: dict[tuple[int, ...], list[int]] = {}
    silent: list[int] = []
    for chain, end in enumerate(head):
        if contested[end] and rank[chain] < UNRANKED:
            claims.setdefault(key(chain), []).append(chain)
        else:
            silent.append(chain)
    return [claims[k] for k in sorted(claims)] + [silent]


def _rings(
    n_nodes: int, tail: list[int], head: list[int], is_tank: list[bool]
) -> tuple[list[int], list[list[int]]]:
    """Return for each node the index of its ring, and the rings, each after all it leads to.

    A ring is a strongly connected component of what is left without the tanks; a node that
    is on none is a ring of its own.  Tarjan, SIAM J. Comput. 1 (1972) 146, without recursion.
    """
    onward: list[list[int]] = [[] for _ in range(n_nodes)]
    for start, end in zip(tail, head, strict=True):
        if not is_tank[start]:
            onward[start].append(end)
    ring, low, index = [-1] * n_nodes, [0] * n_nodes, [-1] * n_nodes
    order: list[list[int]] = []
    stack: list[int] = []
    count = 0
    for root in range(n_nodes):
        work = [(root, 0)] if index[root] < 0 else []
        while work:
            node, turn = work.pop()
            if turn == 0:
                index[node] = low[node] = count
                count += 1
                stack.append(node)
            else:
                low[node] = min(low[node], low[onward[node][turn - 1]])
            while turn < len(onward[node]):
                other = onward[node][turn]
                turn += 1
                if index[other] < 0:
                    work += [(node, turn), (other, 0)]
                    break
                if ring[other] < 0:
                    low[node] = min(low[node], index[other])
            else:
                if low[node] == index[node]:
                    members: list[int] = []
                    while not members or members[-1] != node:
                        members.append(stack.pop())
                        ring[members[-1]] = len(order)
                    order.append(members)
    return ring, order


def _flat(
    n_branches: int,
    chains: list[list[int]],
    tail: list[int],
    head: list[int],
    rank: list[int],
    tanks: list[int],
    is_tank: list[bool],
    classes: list[list[int]],
) -> Plan:
    """Return the plan as one array; the arcs between the ground and the tanks follow the chains."""
    ground = len(is_tank)
    chain_of = [0] * n_branches
    for index, chain in enumerate(chains):
        for branch in chain:
            chain_of[branch] = index
    tails, heads = tail + [ground] * len(tanks), head + tanks
    touching: list[list[int]] = [[] for _ in range(ground + 1)]
    for arc, (start, end) in enumerate(zip(tails, heads, strict=True)):
        touching[start].append(2 * arc)
        touching[end].append(2 * arc + 1)
    # the lowest claim at each node that may live on the node's own outflow
    lowest = [0] * ground
    for number, end in enumerate(head):
        if not is_tank[tail[number]]:
            lowest[end] = max(lowest[end], rank[number])
    yields = [int(not is_tank[end] and lowest[end] > rank[number]) for number, end in enumerate(head)]
    sections: list[list[int]] = [
        chain_of,
        tails,
        heads,
        np.cumsum([0, *map(len, touching)]).tolist(),
        [arc for arcs in touching for arc in arcs],
        np.cumsum([0, *map(len, classes)]).tolist(),
        [chain for members in classes for chain in members],
        rank,
        yields,
        [int(flag) for flag in is_tank],
    ]
    starts = np.cumsum([P_SIZE, *map(len, sections)]).tolist()[:-1]
    counts: list[Any] = [ground, len(chains), n_branches, len(tanks), len(classes)]
    return np.array([*counts, *starts, *(v for section in sections for v in section)], dtype=np.int64)
