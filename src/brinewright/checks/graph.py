"""The ways that liquid can take through a loop, and which of them a set of positions leaves open.

Points are numbered; a way leads from one to another: a line, or the inside of a part.  What is
open follows from the positions of the actors, one bit each: 1 for the first of an actor's two words.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from brinewright.model.case import Case
from brinewright.model.kind import Port
from brinewright.model.part_view import PartView

SHUTS = {"when_off": "stops", "when_stopped": "dead end"}
"""Parameters that say that a part which does not run lets nothing pass, and the word that says it."""


@dataclass(frozen=True)
class Way:
    """One way from a point to another."""

    tag: str
    start: int
    end: int
    gate: int = -1
    """Number of the actor that opens it; -1 for none."""
    opens_at: int = 1
    """Bit of that actor with which it is open."""


@dataclass(frozen=True)
class Branch:
    """Ways in series, from a point where ways meet or part to the next."""

    ways: tuple[int, ...]
    start: int
    end: int


@dataclass(frozen=True)
class Waterways:
    """All ways of a loop."""

    ways: tuple[Way, ...]
    points: tuple[str, ...]
    """A port of each point, to name it by."""
    stores: dict[int, str]
    """Tag of the store at each point that is one."""
    actors: tuple[str, ...]
    """Parts that open and shut ways, in order of their tags."""
    words: tuple[tuple[str, str], ...]
    """The two positions of each actor."""
    roles: dict[str, str]
    """Role of each tag of a way."""

    @cached_property
    def leaving(self) -> dict[int, list[int]]:
        """Return the ways that begin at each point."""
        found: dict[int, list[int]] = defaultdict(list)
        for number, way in enumerate(self.ways):
            found[way.start].append(number)
        return found

    @cached_property
    def entering(self) -> dict[int, list[int]]:
        """Return the ways that end at each point."""
        found: dict[int, list[int]] = defaultdict(list)
        for number, way in enumerate(self.ways):
            found[way.end].append(number)
        return found

    @cached_property
    def by_tag(self) -> dict[str, list[int]]:
        """Return the ways of each line and part."""
        found: dict[str, list[int]] = defaultdict(list)
        for number, way in enumerate(self.ways):
            found[way.tag].append(number)
        return found

    def is_open(self, number: int, positions: int | None) -> bool:
        """Tell whether a way is open; with no positions all are."""
        way = self.ways[number]
        return positions is None or way.gate < 0 or (positions >> way.gate) & 1 == way.opens_at

    def role(self, number: int) -> str:
        """Return the role of the part of a way, "" for a line."""
        return self.roles.get(self.ways[number].tag, "")

    def downstream(
        self,
        points: Iterable[int],
        positions: int | None = None,
        *,
        past: Callable[[int], bool] = lambda _: True,
        past_stores: bool = True,
    ) -> set[int]:
        """Return the ways that liquid from these points can reach; it goes no further than `past` allows."""
        return self._flood(self.leaving, lambda way: way.end, points, positions, past, past_stores)

    def upstream(
        self,
        points: Iterable[int],
        positions: int | None = None,
        *,
        past: Callable[[int], bool] = lambda _: True,
        past_stores: bool = True,
    ) -> set[int]:
        """Return the ways from which liquid can reach these points."""
        return self._flood(self.entering, lambda way: way.start, points, positions, past, past_stores)

    def _flood(
        self,
        ways_at: dict[int, list[int]],
        far: Callable[[Way], int],
        points: Iterable[int],
        positions: int | None,
        past: Callable[[int], bool],
        past_stores: bool,
    ) -> set[int]:
        seen: set[int] = set()
        waiting = list(points)
        been = set(waiting)
        while waiting:
            for number in ways_at.get(waiting.pop(), ()):
                if number in seen or not self.is_open(number, positions):
                    continue
                seen.add(number)
                point = far(self.ways[number])
                if point not in been and past(number) and (past_stores or point not in self.stores):
                    been.add(point)
                    waiting.append(point)
        return seen

    def has_path(self, number: int, positions: int) -> bool:
        """Tell whether liquid can flow along a way: from a store or round, to a store or round.

        Liquid before a ring that turns has a way too: it waits until the ring lets something out.
        """
        if not self.is_open(number, positions):
            return False
        way = self.ways[number]
        return self._ends_well(way.end, number, positions, self.downstream, "end") and self._ends_well(
            way.start, number, positions, self.upstream, "start"
        )

    def _ends_well(
        self, point: int, number: int, positions: int, flood: Callable[..., set[int]], far: str
    ) -> bool:
        if point in self.stores:
            return True
        reached = flood([point], positions, past_stores=False)
        ends = {getattr(self.ways[way], far) for way in reached}
        return (
            number in reached
            or any(end in self.stores for end in ends)
            or any(not ends.isdisjoint(ring) for ring in self.rings_at(positions))
        )

    def rings_at(self, positions: int) -> list[frozenset[int]]:
        """Return the rings that these positions leave, without stores; asked again it knows them."""
        if positions not in self._rings_known:
            self._rings_known[positions] = self.rings(positions)
        return self._rings_known[positions]

    @cached_property
    def _rings_known(self) -> dict[int, list[frozenset[int]]]:
        return {}

    def rings(
        self,
        positions: int | None = None,
        *,
        past_stores: bool = False,
        shut: frozenset[int] = frozenset(),
    ) -> list[frozenset[int]]:
        """Return the points of each set of ways that lead round to one another (strongly connected)."""
        following: dict[int, list[int]] = defaultdict(list)
        for number, way in enumerate(self.ways):
            if number in shut or not self.is_open(number, positions):
                continue
            if past_stores or not (way.start in self.stores or way.end in self.stores):
                following[way.start].append(way.end)
        return [ring for ring in _strong(following) if len(ring) > 1]

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        """Return the ways drawn together in series between points where more than two ways meet."""
        points = set(self.leaving) | set(self.entering)
        through = {
            point
            for point in points
            if len(self.leaving.get(point, ())) == len(self.entering.get(point, ())) == 1
            and point not in self.stores
        }
        found = []
        for point in sorted(points - through):
            for first in self.leaving.get(point, ()):
                chain = [first]
                while (end := self.ways[chain[-1]].end) in through and len(chain) <= len(self.ways):
                    chain.append(self.leaving[end][0])
                found.append(Branch(tuple(chain), point, self.ways[chain[-1]].end))
        return tuple(found)

    def gates(self, ways: Sequence[int]) -> list[int]:
        """Return the actors that open and shut these ways."""
        return sorted({self.ways[number].gate for number in ways if self.ways[number].gate >= 0})

    def before(self, point: int) -> Iterator[int]:
        """Yield the ways in series that lead to a point, the nearest first, up to where ways meet."""
        seen: set[int] = set()
        while len(self.entering.get(point, ())) == 1 and point not in self.stores and point not in seen:
            seen.add(point)
            number = self.entering[point][0]
            yield number
            point = self.ways[number].start

    def told(self, positions: int, only: Iterable[int] | None = None) -> str:
        """Return positions in words: "TV-110 at a, P-102 at stop"."""
        numbers = range(len(self.actors)) if only is None else sorted(only)
        return ", ".join(f"{self.actors[n]} at {self.words[n][1 - ((positions >> n) & 1)]}" for n in numbers)


def waterways(case: Case) -> Waterways:
    """Return the ways of a loop's lines and parts, in the direction in which they are drawn."""
    actors: list[str] = []
    words: list[tuple[str, str]] = []
    points: dict[str, int] = {}
    names: list[str] = []
    stores: dict[int, str] = {}
    ways: list[Way] = []

    def point(port: str) -> int:
        if port not in points:
            points[port] = len(names)
            names.append(port)
        return points[port]

    lines = {line.tag for line in case.lines}
    parts = [case.views[tag] for tag in sorted(case.views) if tag not in lines]
    for view in parts:
        if view.declared.role in ("store", "junction"):
            for port in view.declared.ports:
                points[f"{view.tag}.{port.name}"] = point(f"{view.tag}.")
            if view.declared.role == "store":
                stores[points[f"{view.tag}."]] = view.tag
    for view in parts:
        for start, end, word in _inside(view):
            gate, bit = -1, 1
            if word and view.declared.positions:
                if view.tag not in actors:
                    actors.append(view.tag)
                    words.append(view.declared.positions)
                gate, bit = actors.index(view.tag), int(word == view.declared.positions[0])
            ways.append(Way(view.tag, point(f"{view.tag}.{start}"), point(f"{view.tag}.{end}"), gate, bit))
    ways += [Way(line.tag, point(line.start), point(line.end)) for line in case.lines]
    roles = {view.tag: view.declared.role for view in parts}
    return Waterways(tuple(ways), tuple(names), stores, tuple(actors), tuple(words), roles)


def _inside(view: PartView) -> Iterator[tuple[str, str, str]]:
    """Yield the ways inside a part: from port, to port, and the position that opens it ("" for any)."""
    declared = view.declared
    ports = [port for port in declared.ports if view.connected(port.name)]
    names = {port.name for port in ports}
    if declared.role in ("store", "junction"):
        return
    words = declared.positions or ("", "")
    if set(words) <= {port.name for port in declared.ports}:
        yield from (("in", word, word) for word in words if {"in", word} <= names)
        yield from ((word, "out", word) for word in words if {"out", word} <= names)
        return
    runs = words[0] if words == ("open", "shut") or _shuts_when_off(view) else ""
    for side in dict.fromkeys(_side(port) for port in ports):
        ins = [port.name for port in ports if _side(port) == side and port.flow == "in"]
        outs = [port.name for port in ports if _side(port) == side and port.flow == "out"]
        yield from ((start, end, runs) for start in ins for end in outs)


def _side(port: Port) -> str:
    return port.name.rpartition("-")[0]


def _shuts_when_off(view: PartView) -> bool:
    return any(view.declares(name) and view.word(name) == word for name, word in SHUTS.items())


def _strong(following: dict[int, list[int]]) -> list[frozenset[int]]:
    """Return the strongly connected sets of points (Tarjan 1972), without recursion."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    on_stack: set[int] = set()
    found: list[frozenset[int]] = []
    for root in sorted(following):
        if root in order:
            continue
        order[root] = low[root] = len(order)
        stack.append(root)
        on_stack.add(root)
        work = [(root, iter(following.get(root, ())))]
        while work:
            point, rest = work[-1]
            fresh = None
            for other in rest:
                if other not in order:
                    fresh = other
                    break
                if other in on_stack:
                    low[point] = min(low[point], order[other])
            if fresh is not None:
                order[fresh] = low[fresh] = len(order)
                stack.append(fresh)
                on_stack.add(fresh)
                work.append((fresh, iter(following.get(fresh, ()))))
                continue
            work.pop()
            if work:
                low[work[-1][0]] = min(low[work[-1][0]], low[point])
            if low[point] == order[point]:
                ring: set[int] = set()
                while point not in ring:
                    ring.add(stack.pop())
                on_stack -= ring
                found.append(frozenset(ring))
    return found
