"""How much liquid can pass the consumers in the long run: the largest flow that all limits allow."""

from collections.abc import Collection, Mapping

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_flow

from brinewright.model.loop import Line
from brinewright.model.part_view import PartView

GRAM = 1e-3
"""Flows are counted in whole grams per second [kg/s]."""
NO_LIMIT = 1e6
"""Flow of what has no limit of its own [kg/s]."""


def largest_flow(views: Mapping[str, PartView], lines: Collection[Line], consumers: Collection[str]) -> float:
    """Return the largest flow that can pass these parts together for ever, every valve open [kg/s].

    A tank gives in the long run what it gets, so it limits nothing; nor does a ring, which only
    sends liquid round.  What leaves the consumers must find a way back to them.

    Parameters
    ----------
    views : parts and lines by tag
    lines : of the loop
    consumers : tags of the parts whose flow is wanted; parts in parallel

    References
    ----------
    Closed form: the largest flow is the smallest cut.
    """
    number: dict[tuple[str, str, str], int] = {}

    def node(tag: str, side: str, way: str) -> int:
        return number.setdefault((tag, side, way), len(number))

    edges: dict[tuple[int, int], float] = {}
    source, target = node("", "", "source"), node("", "", "target")
    sides: set[tuple[str, str]] = set()
    for line in lines:
        start, end = _side(line.start), _side(line.end)
        sides.update((start, end))
        way = (node(*start, "out"), node(*end, "in"))
        edges[way] = edges.get(way, 0.0) + limit(views[line.tag])
    for tag, side in sorted(sides):
        inlet, outlet, most = node(tag, side, "in"), node(tag, side, "out"), limit(views[tag], side)
        if tag in consumers:
            edges[(source, outlet)] = edges[(inlet, target)] = most
        else:
            edges[(inlet, outlet)] = most
    if not edges:
        return 0.0
    rows, columns = zip(*edges, strict=True)
    capacity = [int(min(most, NO_LIMIT) / GRAM + 0.5) for most in edges.values()]
    size = len(number)
    graph = csr_matrix((np.array(capacity, dtype=np.int32), (rows, columns)), shape=(size, size))
    return float(maximum_flow(graph, source, target).flow_value) * GRAM


def limit(view: PartView, side: str = "") -> float:
    """Return the largest flow through a part or one side of it, every unit of a bank running [kg/s]."""
    name = f"{side}_capacity" if side else "capacity"
    if not view.declares(name) or not view.has(name):
        return NO_LIMIT
    return view.number(name) * view.count


def _side(end: str) -> tuple[str, str]:
    tag, _, port = end.partition(".")
    return tag, port.partition("-")[0] if "-" in port else ""
