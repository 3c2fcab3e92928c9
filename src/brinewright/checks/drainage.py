"""Where the liquid of a section goes when it is emptied, and whether it gets there."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from brinewright.checks.pressure import Circuit, Node, circuits, held_volume, hold_up, node_of
from brinewright.laws.tank import pipe_volume
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

SAME_HEIGHT = 1e-6
"""[m]"""
REACH = 0.3
"""How far above or below the end of a line a tap still serves it [m]."""


def free_volume(case: Case, circuit: Circuit) -> tuple[float, list[str]]:
    """Return the room in a circuit's tanks [m3], which no flow between them changes, and their tags.

    Tanks into which a drain point of the circuit leads count too.
    """
    members = {*circuit.lines, *circuit.parts}
    tags = {tag for tag in circuit.parts if case.views[tag].gives("inflow")}
    for point in case.of_kind("drain point"):
        if members & set(point.refers("on")):
            tags.update(point.refers("into"))
    free = sum(
        tank.number("volume") * (tank.number("highest_level") - tank.start("level"))
        for tank in (case.views[tag] for tag in tags)
    )
    return free, sorted(tags)


def no_room_to_drain(case: Case) -> Iterable[Measure]:
    """Hold what each section and each whole circuit holds against the room in its tanks."""
    beyond = case.margin("drain")
    for circuit in circuits(case):
        free, tanks = free_volume(case, circuit)
        sections = dict(_sections(case, circuit))
        whole = held_volume(case, circuit)
        drained = [(f"Section {name}", _held(case, lines), lines) for name, lines in sections.items()]
        if not any(len(lines) == len(circuit.lines) for lines in sections.values()):
            drained.append((f"All of circuit {circuit.name}", whole, circuit.lines))
        for name, held, lines in drained:
            where = f"{', '.join(tanks)} has" if len(tanks) == 1 else f"{', '.join(tanks)} together have"
            yield Measure(
                subject=(*tanks, *lines[:1]),
                value=free,
                limit=held * (1.0 + beyond),
                quantity="volume",
                bound="at least",
                text=f"{name} holds {show(held, 'volume', digits=3)}; "
                + (f"{where} {show(free, 'volume', digits=3)} free." if tanks else "no tank can take it."),
                numbers=(
                    Number(symbol="V_section", value=held, quantity="volume", text=f"of {', '.join(lines)}"),
                    Number(
                        symbol="m",
                        value=beyond,
                        quantity="ratio",
                        text="margin.drain, the loop's or the usual one",
                    ),
                    Number(
                        symbol="V_free",
                        value=free,
                        quantity="volume",
                        text="volume x (highest_level - level at the start), each tank",
                    ),
                ),
            )


def _sections(case: Case, circuit: Circuit) -> Iterable[tuple[str, list[str]]]:
    found: dict[str, list[str]] = defaultdict(list)
    for tag in circuit.lines:
        if case.views[tag].section:
            found[case.views[tag].section].append(tag)
    yield from sorted(found.items())


def _held(case: Case, lines: Sequence[str]) -> float:
    """Return what these lines hold, and the parts that stand between them alone [m3]."""
    within = set(lines)
    total = sum(float(pipe_volume(case.views[tag].number("bore"), case.views[tag].number("length")))
                for tag in lines)  # fmt: skip
    at: dict[Node, set[str]] = defaultdict(set)
    for line in case.lines:
        for end in (line.start, line.end):
            at[node_of(end)].add(line.tag)
    for node, tags in at.items():
        if tags <= within:
            total += hold_up(case.views[node[0]], node[1])
    return total


@dataclass
class Place:
    """Parts and line ends of one height that are joined, which air and liquid pass freely."""

    nodes: list[Node]
    height: float
    rises: int = 0
    """Lines that go up from it."""
    falls: int = 0
    """Lines that go down from it."""
    has_tank: bool = False
    is_known: bool = True
    """Whether every line that ends there states its heights."""


def places(case: Case) -> Sequence[Place]:
    """Return the places of a loop that states heights, those of one height drawn together."""
    heights: dict[Node, float] = {}
    for line in case.lines:
        if line.levels is not None:
            heights.setdefault(node_of(line.start), line.levels[0])
            heights.setdefault(node_of(line.end), line.levels[1])
    parent: dict[Node, Node] = {node: node for node in heights}

    def find(node: Node) -> Node:
        while parent[node] != node:
            node = parent[node]
        return node

    for line in case.lines:
        a, b = node_of(line.start), node_of(line.end)
        if line.levels is not None and abs(line.levels[0] - line.levels[1]) < SAME_HEIGHT:
            first, second = sorted((find(a), find(b)))
            parent[second] = first
    found: dict[Node, Place] = {}
    for node in sorted(heights):
        place = found.setdefault(find(node), Place([], heights[node]))
        place.nodes.append(node)
        place.has_tank |= case.views[node[0]].gives("level")
    for line in case.lines:
        if line.levels is None:
            for end in (line.start, line.end):
                if node_of(end) in heights:
                    found[find(node_of(end))].is_known = False
        if line.levels is None or abs(line.levels[0] - line.levels[1]) < SAME_HEIGHT:
            continue
        low, high = (line.start, line.end) if line.levels[0] < line.levels[1] else (line.end, line.start)
        found[find(node_of(low))].rises += 1
        found[find(node_of(high))].falls += 1
    return list(found.values())


def _helping(case: Case, place: Place, kind: str) -> list[str]:
    """Return the drain or vent points of a place: on its parts, or on a line where that ends there."""
    nodes = set(place.nodes)
    parts = {tag for tag, _ in nodes}
    lines = {line.tag for line in case.lines if {node_of(line.start), node_of(line.end)} & nodes}
    found = []
    for point in case.of_kind(kind):
        on = next(iter(point.refers("on")), "")
        height = height_of(case, point)
        is_there = height is not None and abs(height - place.height) <= REACH
        if on in parts or (on in lines and is_there):
            found.append(point.tag)
    return found


def pockets(case: Case) -> Iterable[Measure]:
    """Look for low places that nothing drains."""
    for place in case.once(places):
        if place.has_tank or place.falls or not place.rises or not place.is_known:
            continue
        yield _extreme(place, "lowest", _helping(case, place, "drain point"), "drain point", "drains")


def air_traps(case: Case) -> Iterable[Measure]:
    """Look for high places through which no air comes or goes."""
    for place in case.once(places):
        if place.has_tank or place.rises or not place.falls or not place.is_known:
            continue
        separators = sorted(tag for tag, _ in place.nodes if case.views[tag].declares("vents_by_itself"))
        yield _extreme(
            place, "highest", _helping(case, place, "vent point") + separators, "vent point", "vents"
        )


def _extreme(place: Place, which: str, helped: Sequence[str], kind: str, does: str) -> Measure:
    tags = sorted({tag for tag, _ in place.nodes})
    told = f"{helped[0]} {does} it." if helped else f"it has no {kind}."
    return Measure(
        subject=tuple(tags),
        value=float(not helped),
        limit=0.0,
        quantity="count",
        bound="at most",
        text=f"{', '.join(tags)} at {show(place.height, 'length', digits=3)} is the {which} place "
        f"of all that joins it, and {told}",
        remedy="" if helped else f"Put a {kind} there.",
    )


def needs_lift(case: Case) -> Iterable[Measure]:
    """Hold each drain point's height against that of the liquid in the tank that it leads to."""
    for point in case.of_kind("drain point"):
        into = next(iter(point.refers("into")), "")
        on = next(iter(point.refers("on")), "")
        height = height_of(case, point)
        if not into or height is None:
            continue
        tank = case.views[into]
        tall = tank.number("tank_height") or (4.0 * tank.number("volume") / 3.141592653589793) ** (1.0 / 3.0)
        surface = tank.number("elevation") + tank.start("level") * tall
        yield Measure(
            subject=(point.tag, into),
            value=height,
            limit=surface,
            quantity="length",
            bound="at least",
            text=f"{point.tag} leaves {on} at {show(height, 'length', digits=3)}; the liquid in {into} "
            f"stands at {show(surface, 'length', digits=3)}.",
            numbers=(
                Number(symbol="z_drain", value=height, quantity="length", text=f"of {point.tag}"),
                Number(
                    symbol="z_tank",
                    value=surface,
                    quantity="length",
                    text=f"elevation of {into} and its level at the start",
                ),
            ),
        )


def height_of(case: Case, point: PartView) -> float | None:
    """Return the height of a drain or vent point, None where nothing says it [m]."""
    if point.has("elevation"):
        return point.number("elevation")
    on = next(iter(point.refers("on")), "")
    found = []
    for line in case.lines:
        if line.levels is None:
            continue
        first, last = line.levels
        if line.tag == on:
            return first + (last - first) * min(point.number("distance") / line.length, 1.0)
        found += [level for end, level in ((line.start, first), (line.end, last)) if node_of(end)[0] == on]
    return min(found) if found else None


CRITERIA = (
    Criterion(
        code="BW-F97",
        title="No room for what is drained",
        severity="C",
        method="closed form",
        judge=no_room_to_drain,
        formula="V_free < V_section (1 + m)",
        consequence="Nothing can be opened or changed without spilling the coolant.",
        remedy="A larger tank, a lower level, or a drain tank.",
        lesson="Before you open a pipe, know where its liquid will stand afterwards.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F98",
        title="Pocket that does not drain",
        severity="W",
        method="structure",
        judge=pockets,
        formula="a low place has no drain",
        consequence="Liquid stays, freezes there, or pours out on whoever opens the pipe.",
        remedy="A drain at each low place, or lay the run with a fall.",
        lesson="Liquid leaves downhill: at the bottom of every dip there must be a hole.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F99",
        title="No air for draining and filling",
        severity="W",
        method="structure",
        judge=air_traps,
        formula="a high place has no vent",
        consequence="The liquid hangs in the pipe when you drain it, and air stays when you fill it.",
        remedy="A vent at each high place.",
        lesson="A straw with a thumb on top does not empty: let air in where it is highest.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F100",
        title="Drain would have to run uphill",
        severity="W",
        method="structure",
        judge=needs_lift,
        formula="z_drain < z_tank",
        consequence="The tank drains into the section instead.",
        remedy="A drain pump, a lower tank, or a hose to another place.",
        lesson="Gravity empties a pipe only into what lies below it.",
        source="closed form: heights",
    ),
)
