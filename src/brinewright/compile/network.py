"""The liquid graph: inline elements drawn together into branches between junctions and tanks."""

from collections import defaultdict
from dataclasses import dataclass, field

from brinewright.compile.assembly import Assembly
from brinewright.compile.elements import Element
from brinewright.errors import InputError


@dataclass
class Branch:
    """Elements in series, in the order in which liquid meets them."""

    elements: list[Element]
    tail: int
    head: int


@dataclass
class Network:
    """Junctions are numbered; `tank_at` maps a junction to its tank record."""

    branches: list[Branch]
    junctions: list[str]
    tank_at: dict[int, int]
    circuits: list[list[int]] = field(default_factory=list)
    """Branches of each liquid circuit."""
    point_of: dict[str, str] = field(default_factory=dict)
    """The point in which a port lies."""
    number: dict[str, int] = field(default_factory=dict)
    """Junction of each point that is one."""
    passing: dict[str, Element] = field(default_factory=dict)
    """What leaves each point that lies inside a branch."""


class _Union:
    def __init__(self) -> None:
        self.parent: dict[str, str] = {}

    def find(self, name: str) -> str:
        parent = self.parent.setdefault(name, name)
        while parent != self.parent[parent]:
            self.parent[parent] = self.parent[self.parent[parent]]
            parent = self.parent[parent]
        self.parent[name] = parent
        return parent

    def join(self, a: str, b: str) -> None:
        a, b = sorted((self.find(a), self.find(b)))
        self.parent[b] = a


def build_network(assembly: Assembly) -> Network:
    """Return the branches and junctions of all liquid circuits of an assembly.

    Points with one way in and one way out, and no tank, are drawn into their branch.
    """
    union = _Union()
    for line in assembly.loop.lines:
        union.join(f"{line.tag}.in", line.start)
        union.join(f"{line.tag}.out", line.end)
    for ports in (*(join.ports for join in assembly.joins), *(tank.ports for tank in assembly.tanks)):
        for port in ports[1:]:
            union.join(ports[0], port)
    tank_of: dict[str, int] = {}
    for index, tank in enumerate(assembly.tanks):
        tank_of[union.find(tank.ports[0])] = index
    leaving: dict[str, list[Element]] = defaultdict(list)
    entering: dict[str, list[Element]] = defaultdict(list)
    for element in assembly.elements:
        leaving[union.find(element.start)].append(element)
        entering[union.find(element.end)].append(element)
    points = sorted(set(leaving) | set(entering))
    through = {
        point
        for point in points
        if len(leaving[point]) == 1 and len(entering[point]) == 1 and point not in tank_of
    }
    _open_closed_ways(points, through, leaving, entering, union)
    junctions = [point for point in points if point not in through]
    number = {point: index for index, point in enumerate(junctions)}
    branches = []
    for point in junctions:
        for first in leaving[point]:
            chain = [first]
            end = union.find(first.end)
            while end in through:
                chain.append(leaving[end][0])
                end = union.find(chain[-1].end)
            _must_hold_liquid(chain)
            branches.append(Branch(chain, number[point], number[end]))
    tank_at = {number[point]: index for point, index in tank_of.items() if point in number}
    return Network(
        branches,
        junctions,
        tank_at,
        circuits=_circuits(branches),
        point_of={join.ports[0]: union.find(join.ports[0]) for join in assembly.joins},
        number=number,
        passing={point: leaving[point][0] for point in through},
    )


def _open_closed_ways(
    points: list[str],
    through: set[str],
    leaving: dict[str, list[Element]],
    entering: dict[str, list[Element]],
    union: _Union,
) -> None:
    """Make a junction on every closed way that has none, where what lies on both sides holds most."""
    seen: set[str] = set()
    for point in points:
        if point not in through or point in seen:
            continue
        way = [point]
        end = union.find(leaving[point][0].end)
        while end in through and end != point and end not in seen:
            way.append(end)
            end = union.find(leaving[end][0].end)
        seen.update(way)
        if end == point:
            through.discard(max(way, key=lambda at: min(entering[at][0].mass, leaving[at][0].mass)))


def _must_hold_liquid(chain: list[Element]) -> None:
    for element in (chain[0], chain[-1]):
        if element.mass <= 0.0:
            raise InputError(
                f"{element.tag}: a part that holds no liquid stands directly at a junction or tank. "
                "Put a line between them."
            )


def _circuits(branches: list[Branch]) -> list[list[int]]:
    union = _Union()
    for branch in branches:
        union.join(str(branch.tail), str(branch.head))
    groups: dict[str, list[int]] = defaultdict(list)
    for index, branch in enumerate(branches):
        groups[union.find(str(branch.tail))].append(index)
    return [groups[key] for key in sorted(groups, key=int)]
