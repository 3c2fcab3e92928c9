"""Sort what conducts between nodes by how the engine steps it."""

from collections import Counter, defaultdict

from brinewright.compile.assembly import Assembly
from brinewright.model.lowering import Place

Edge = tuple[Place, Place, Place]

FAST = 1.0 / 120.0
"""Rate [1/s] above which a node closes more than half of a distance in the longest step of a minute.

The midpoint rule would not do for it.  It counts as fast in runs with shorter steps too, so that a tick
and a minute obey one law.
"""
LIGHT = 0.1
"""Share of the heat capacity of a node that may hang on it by single edges, and count as light."""


def sorted_edges(a: Assembly) -> tuple[list[Edge], list[Edge], list[Edge]]:
    """Return edges between nodes, to boundaries (which come second), and of light nodes (which come first).

    A light node hangs on one edge and follows fast what it hangs on.
    """
    follows = {*a.plain, *a.free}
    degree = Counter(node for edge in a.edges for node in edge[:2])
    between: list[Edge] = []
    to_boundaries: list[Edge] = []
    hanging: dict[Place, list[Edge]] = defaultdict(list)
    for left, right, place in a.edges:
        near, far = (left, right) if left in follows else (right, left)
        if far not in follows:
            to_boundaries.append((near, far, place))
            continue
        if a.inverse[far] > a.inverse[near]:
            near, far = far, near
        rate = a.values[place] * a.inverse[near]
        if degree[near] == 1 and rate > FAST and a.inverse[far] > 0.0:
            hanging[far].append((near, far, place))
        else:
            between.append((near, far, place))
    light: list[Edge] = []
    for far, edges in hanging.items():
        share = sum(a.inverse[far] / a.inverse[near] for near, _, _ in edges)
        (light if share <= LIGHT else between).extend(edges)
    return between, sorted(to_boundaries, key=lambda edge: edge[1]), light
