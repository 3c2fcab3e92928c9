"""How much liquid can pass the consumers in the long run: the largest flow that all limits allow."""

from collections import deque
from collections.abc import Collection, Mapping

from brinewright.model.loop import Line
from brinewright.model.part_view import PartView

LEAST = 1e-9
"""A flow this small is none [kg/s]."""
NO_LIMIT = 1e6
"""Flow of what has no limit of its own [kg/s]."""


def largest_flow(
    views: Mapping[str, PartView],
    lines: Collection[Line],
    consumers: Collection[str],
    *,
    unlimited: Collection[str] = (),
) -> float:
    """Return the largest flow that can pass these parts together for ever, every valve open [kg/s].

    A tank gives in the long run what it gets, so it limits nothing; nor does a ring, which only
    sends liquid round.  What leaves the consumers must find a way back to them.

    Parameters
    ----------
    views : parts and lines by tag
    lines : of the loop
    consumers : tags of the parts whose flow is wanted; parts in parallel
    unlimited : tags of parts that are taken to let anything pass

    References
    ----------
    Closed form: the largest flow is the smallest cut; Edmonds and Karp, J. ACM 19 (1972) 248.
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
        most = NO_LIMIT if tag in unlimited else most
        if tag in consumers:
            edges[(source, outlet)] = edges[(inlet, target)] = most
        else:
            edges[(inlet, outlet)] = most
    return _largest(edges, source, target)


def _largest(edges: dict[tuple[int, int], float], source: int, target: int) -> float:
    """Return the largest flow from source to target, each way found the shortest that is left."""
    left = dict(edges)
    around: dict[int, set[int]] = {}
    for tail, head in edges:
        around.setdefault(tail, set()).add(head)
        around.setdefault(head, set()).add(tail)
        left.setdefault((head, tail), 0.0)
    total = 0.0
    while True:
        came = {source: source}
        waiting = deque([source])
        while waiting and target not in came:
            tail = waiting.popleft()
            for head in sorted(around.get(tail, ())):
                if head not in came and left[(tail, head)] > LEAST:
                    came[head] = tail
                    waiting.append(head)
        if target not in came:
            return total
        way, head = [], target
        while head != source:
            way.append((came[head], head))
            head = came[head]
        more = min(left[edge] for edge in way)
        for tail, head in way:
            left[(tail, head)] -= more
            left[(head, tail)] += more
        total += more


def limit(view: PartView, side: str = "") -> float:
    """Return the largest flow through a part or one side of it, every unit of a bank running [kg/s]."""
    name = f"{side}_capacity" if side else "capacity"
    if not view.declares(name) or not view.has(name):
        return NO_LIMIT
    return view.number(name) * view.count


def _side(end: str) -> tuple[str, str]:
    tag, _, port = end.partition(".")
    return tag, port.partition("-")[0] if "-" in port else ""
