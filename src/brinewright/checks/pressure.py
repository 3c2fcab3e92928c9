"""Liquid that has nowhere to go as it warms, and circuits into which air can get."""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from brinewright.components.liquid_state import density_at, expansion_at
from brinewright.laws.blocked_liquid import pressure_per_kelvin
from brinewright.laws.expansion_vessel import expanded_volume, vessel_size
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

COMPRESSIBILITY = 4.5e-10
"""Of water and its mixtures, near enough [1/Pa]."""
STEEL = 2.0e11
"""Elasticity of a steel wall [Pa]."""
STEEL_EXPANDS = 1.2e-5
"""[1/K]"""
ABOVE = 0.3e5
"""Pressure at the top of a circuit above the ambient [Pa]."""
Node = tuple[str, str]


@dataclass
class Circuit:
    """All that one liquid fills without passing an exchanger."""

    name: str
    lines: list[str] = field(default_factory=list)
    nodes: set[Node] = field(default_factory=set)

    @property
    def parts(self) -> list[str]:
        """Return the tags of its parts."""
        return sorted({tag for tag, _ in self.nodes})


def node_of(end: str) -> Node:
    """Return the part and the side of it on which a line ends.

    >>> node_of("HX-350.hot-in"), node_of("TK-101.out")
    (('HX-350', 'hot'), ('TK-101', ''))
    """
    tag, _, port = end.partition(".")
    return tag, port.partition("-")[0] if "-" in port else ""


def circuits(case: Case) -> Sequence[Circuit]:
    """Return the liquid circuits of a loop."""
    return _pieces(case, frozenset())


def _pieces(case: Case, without: frozenset[str]) -> list[Circuit]:
    """Return what lines join, parts of these tags parting it."""
    parent: dict[tuple[str, ...], tuple[str, ...]] = {}

    def find(key: tuple[str, ...]) -> tuple[str, ...]:
        parent.setdefault(key, key)
        while parent[key] != key:
            key = parent[key]
        return key

    for line in case.lines:
        for end in (line.start, line.end):
            node = node_of(end)
            if node[0] not in without:
                a, b = sorted((find((line.tag,)), find(node)))
                parent[b] = a
        find((line.tag,))
    found: dict[tuple[str, ...], Circuit] = defaultdict(lambda: Circuit(""))
    for key in sorted(parent):
        piece = found[find(key)]
        if len(key) == 1:
            piece.lines.append(key[0])
            piece.name = piece.name or case.views[key[0]].filling().name
        else:
            piece.nodes.add((key[0], key[1]))
    return list(found.values())


def blocked_in(case: Case) -> Iterable[Measure]:
    """Look for liquid that can be shut in between valves with nothing that gives way."""
    valves = frozenset(view.tag for view in case.playing("valve") if not view.connected("a")) | frozenset(
        view.tag for view in case.views.values() if view.declares("opening_pressure")
    )
    if not valves:
        return
    for piece in _pieces(case, valves):
        ends = _ends(case, piece, valves)
        if not ends:
            continue
        gives = _gives_way(case, piece)
        lone = case.views[max(piece.lines, key=lambda tag: case.views[tag].number("length"))]
        trapped = len(ends) > 1 and not gives
        told = (
            f"between {' and '.join(ends)} has nothing that gives way."
            if trapped
            else f"beside {' and '.join(ends)} gives way into {gives}."
            if gives
            else f"beside {ends[0]} is shut at one end only."
        )
        numbers: tuple[Number, ...] = ()
        if trapped:
            rise = _rise(lone)
            numbers = (
                Number(
                    symbol="beta",
                    value=expansion_at(lone, lone.working_mean),
                    quantity="expansion coefficient",
                    text=f"of the liquid at {show(lone.working_mean, 'temperature', digits=3)}",
                ),
                Number(
                    symbol="dp/dT",
                    value=rise,
                    quantity="pressure difference",
                    text="for each kelvin it warms",
                ),
            )
            told = told[:-1] + f": {rise / 1e5:.1f} bar more for each kelvin that it warms."
        yield Measure(
            subject=(*piece.lines[:1], *ends),
            value=float(trapped),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"Liquid in {', '.join(piece.lines)} {told}",
            numbers=numbers,
        )


def _ends(case: Case, piece: Circuit, valves: frozenset[str]) -> list[str]:
    within = set(piece.lines)
    return sorted(
        {
            node_of(end)[0]
            for line in case.lines
            if line.tag in within
            for end in (line.start, line.end)
            if node_of(end)[0] in valves
        }
    )


def _gives_way(case: Case, piece: Circuit) -> str:
    """Return the tank, expansion vessel or relief valve into which a piece can grow, or ""."""
    members = {*piece.lines, *piece.parts}
    for tag in piece.parts:
        if case.views[tag].gives("level"):
            return tag
    for view in case.of_kind("expansion vessel"):
        if members & set(view.refers("on")) and not view.flag("can_be_shut_off"):
            return view.tag
    for view in case.of_kind("relief valve"):
        if members & set(view.refers("guards")) and view.word("isolated") != "single valve":
            return view.tag
    return ""


def _rise(line: PartView) -> float:
    wall = line.number("wall_thickness") if line.declares("wall_thickness") else 0.004
    expansion = expansion_at(line, line.working_mean) or 3e-4
    return float(
        pressure_per_kelvin(expansion, COMPRESSIBILITY, line.number("bore"), wall, STEEL, STEEL_EXPANDS)
    )


def held_volume(case: Case, circuit: Circuit) -> float:
    """Return what a circuit's lines and parts hold, its tanks left out [m3]."""
    total = 0.0
    for tag in circuit.lines:
        view = case.views[tag]
        total += math.pi / 4.0 * view.number("bore") ** 2 * view.number("length")
    for tag, side in circuit.nodes:
        total += hold_up(case.views[tag], side)
    return total


def hold_up(view: PartView, side: str = "") -> float:
    """Return what a part that is no tank holds on one side, the whole bank [m3]."""
    names = {"": "hold_up", "cooling": "condenser_hold_up"}
    name = names.get(side, f"{side}_hold_up")
    if view.gives("level") or not view.declares(name):
        return 0.0
    return view.number(name) * view.count / view.filling(f"{side}-in" if side else "").density


def no_room_to_grow(case: Case) -> Iterable[Measure]:
    """Hold the room that each circuit has against what its liquid gains in volume."""
    for circuit in circuits(case):
        first = case.views[circuit.lines[0]]
        if not first.liquid.properties:
            continue
        cold, hot = temperatures(case, circuit)
        tanks = [case.views[tag] for tag in circuit.parts if case.views[tag].gives("level")]
        content = held_volume(case, circuit) + sum(
            tank.number("volume") * tank.start("level") for tank in tanks
        )
        grown = float(expanded_volume(content, density_at(first, cold), density_at(first, hot)))
        open_tanks = [tank for tank in tanks if not tank.has("closed_pressure")]
        numbers = (
            Number(symbol="V", value=content, quantity="volume", text=f"content of circuit {circuit.name}"),
            Number(symbol="T_cold", value=cold, quantity="temperature", text="coldest of run and place"),
            Number(symbol="T_hot", value=hot, quantity="temperature", text="hottest of run and place"),
            Number(symbol="V_e", value=grown, quantity="volume", text="V (rho_cold / rho_hot - 1)"),
        )
        told = (
            f"From {show(cold, 'temperature', digits=3)} to {show(hot, 'temperature', digits=3)} the "
            f"{show(content, 'volume', digits=3)} of circuit {circuit.name} grow by {grown * 1e3:.0f} L"
        )
        if open_tanks:
            free = sum(
                tank.number("volume") * (tank.number("highest_level") - tank.start("level"))
                for tank in open_tanks
            )
            yield Measure(
                subject=tuple(tank.tag for tank in open_tanks),
                value=free,
                limit=grown,
                quantity="volume",
                bound="at least",
                text=f"{told}; {', '.join(tank.tag for tank in open_tanks)}, open to the air, "
                f"has {show(free, 'volume', digits=3)} free.",
                numbers=numbers,
            )
            continue
        yield _by_vessel(case, circuit, content, grown, told, numbers)


def _by_vessel(
    case: Case, circuit: Circuit, content: float, grown: float, told: str, numbers: tuple[Number, ...]
) -> Measure:
    members = {*circuit.lines, *circuit.parts}
    vessels = [view for view in case.of_kind("expansion vessel") if members & set(view.refers("on"))]
    usable = [view for view in vessels if not view.flag("can_be_shut_off")]
    if not usable:
        why = (
            f", and a valve can shut off {', '.join(view.tag for view in vessels)}"
            if vessels
            else ", and it has neither an open tank nor an expansion vessel"
        )
        return Measure(
            subject=tuple(view.tag for view in vessels) or (circuit.lines[0],),
            value=0.0,
            limit=grown,
            quantity="volume",
            bound="at least",
            text=f"{told}{why}.",
            numbers=numbers,
            remedy="Lock the valve open, or take it out." if vessels else "",
        )
    vessel = usable[0]
    charge, final = vessel.number("charge_pressure"), vessel.number("highest_pressure")
    reserve = max(vessel.number("reserve") * content, 0.003)
    needed = float(vessel_size(grown, reserve, charge, final))
    there = sum(view.number("volume") * view.count for view in usable)
    return Measure(
        subject=tuple(view.tag for view in usable),
        value=there,
        limit=needed,
        quantity="volume",
        bound="at least",
        text=f"{told}; between {show(charge, 'pressure', digits=3)} and {show(final, 'pressure', digits=3)} "
        f"that takes a vessel of {show(needed, 'volume', digits=3)}, and {show(there, 'volume', digits=3)} "
        "is there.",
        numbers=(
            *numbers,
            Number(symbol="V_res", value=reserve, quantity="volume", text="reserve of V, 3 L at least"),
            Number(symbol="p_0", value=charge, quantity="pressure", text=f"charge_pressure of {vessel.tag}"),
            Number(symbol="p_e", value=final, quantity="pressure", text=f"highest_pressure of {vessel.tag}"),
            Number(symbol="V_n", value=needed, quantity="volume", text="(V_e + V_res) p_e / (p_e - p_0)"),
        ),
    )


def temperatures(case: Case, circuit: Circuit) -> tuple[float, float]:
    """Return the coldest and the hottest that a circuit's liquid gets, standing still too [K]."""
    seen = [case.seen(tag, "temperature") for tag in circuit.lines]
    place = case.seen("SITE", "ambient temperature")
    found = [item for item in (*seen, place) if item is not None]
    return min(item.min for item in found), max(item.max for item in found)


def air_gets_in(case: Case) -> Iterable[Measure]:
    """Hold the lowest pressure of each circuit against that of the place."""
    ambient = case.site("ambient_pressure")
    for circuit in circuits(case):
        lowest: Mapping[str, float] = {
            tag: seen.min for tag in circuit.lines if (seen := case.seen(tag, "pressure")) is not None
        }
        if not lowest:
            continue
        tag = min(lowest, key=lambda tag: lowest[tag])
        yield Measure(
            subject=(tag,),
            value=lowest[tag],
            limit=ambient + ABOVE,
            quantity="pressure",
            bound="at least",
            text=f"The lowest pressure of circuit {circuit.name} is "
            f"{show(lowest[tag], 'pressure', digits=3)}, at {tag}.",
            numbers=(
                Number(symbol="p_top", value=lowest[tag], quantity="pressure", text="least of the run"),
                Number(symbol="p_amb", value=ambient, quantity="pressure", text="of the site"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F109",
        title="Liquid shut in between valves",
        severity="S",
        method="structure",
        world="real",
        judge=blocked_in,
        formula="two valves can shut liquid in with nothing between that gives way; then "
        "dp/dT = (beta - 3 alpha) / (kappa + D / (e E))",
        consequence="A few kelvin burst the pipe or throw a flange.",
        remedy="A thermal relief between the valves, or lock one of them open.",
        lesson="Liquid does not shrink to please you: shut it in and warm it, and it breaks its way out.",
        source="closed form: expansion of liquid and wall",
    ),
    Criterion(
        code="BW-F110",
        title="No room for the liquid to grow",
        severity="S",
        method="run",
        world="real",
        judge=no_room_to_grow,
        formula="V_free < V_e, or V_n < (V_e + V_res) p_e / (p_e - p_0)",
        consequence="Warm, the relief lifts or something bursts; cold, air is sucked in.",
        remedy="An expansion vessel large enough that no valve can shut off, or an open tank with room.",
        lesson="Liquid swells as it warms: give the swelling a place to go.",
        source="EN 12828 (from memory, verify)",
    ),
    Criterion(
        code="BW-F111",
        title="Pressure too low at the top",
        severity="W",
        method="run",
        world="real",
        judge=air_gets_in,
        formula="p_top < p_amb + 0.3 bar",
        consequence="Air gets in at the highest place, gathers there, and rusts what it meets.",
        remedy="Fill to a higher pressure, raise the tank, or move the pump so that it pushes into the top.",
        lesson="Where the pressure inside is below that outside, a leak lets air in and shows no drop.",
        source="common practice, no source",
    ),
)
