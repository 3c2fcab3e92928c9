"""Whether idle units let liquid past, and whether two liquids can meet."""

from collections import defaultdict
from collections.abc import Iterator

from brinewright.checks.blocked import count
from brinewright.checks.forks import CHANGES_HEAT
from brinewright.checks.graph import Branch, Waterways, waterways
from brinewright.checks.signals import control
from brinewright.checks.words import both
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure

KEEPS_OUT = ("check", "valve")
"""Roles of parts that can keep liquid out of a branch that rests."""


def parallel(ways: Waterways) -> list[list[Branch]]:
    """Return branches that begin and end at the same points, other than tanks."""
    groups: dict[tuple[int, int], list[Branch]] = defaultdict(list)
    for branch in ways.branches:
        if not (branch.start in ways.stores and branch.end in ways.stores):
            groups[branch.start, branch.end].append(branch)
    return [group for _, group in sorted(groups.items()) if len(group) > 1]


def idle_unit(case: Case) -> Iterator[Measure]:
    """Look at units side by side: what passes one that rests."""
    ways = case.once(waterways)
    for group in parallel(ways):
        pumps = [branch for branch in group if _first(ways, branch, "mover")]
        chillers = [branch for branch in group if _first(ways, branch, "cooler")]
        if len(pumps) > 1:
            yield from _back(ways, pumps)
        elif len(chillers) > 1 and _reaches_consumer(ways, group[0].end):
            yield from _past(case, ways, chillers)


def _first(ways: Waterways, branch: Branch, role: str) -> str:
    return next((ways.ways[number].tag for number in branch.ways if ways.role(number) == role), "")


def _is_kept_out(ways: Waterways, branch: Branch) -> bool:
    return any(ways.role(number) in KEEPS_OUT for number in branch.ways)


def _back(ways: Waterways, branches: list[Branch]) -> Iterator[Measure]:
    """Hold pumps side by side: a resting one must shut, or have a valve that keeps liquid out."""
    for branch in branches:
        pump = _first(ways, branch, "mover")
        stops = any(ways.role(n) == "mover" and ways.ways[n].gate >= 0 for n in branch.ways)
        passes = not stops and not _is_kept_out(ways, branch)
        others = [_first(ways, other, "mover") for other in branches if other is not branch]
        yield Measure(
            subject=(pump, *others),
            value=float(passes),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"While {pump} rests, {both(others)} pushes liquid back through it."
                if passes
                else f"While {pump} rests, nothing comes back through it."
            ),
            numbers=count(len(branches), "n", "pumps side by side"),
            remedy=f"Put a check valve behind {pump}." if passes else "",
        )


def _past(case: Case, ways: Waterways, branches: list[Branch]) -> Iterator[Measure]:
    """Hold chillers side by side: one that rests alone must not let warm liquid past to consumers."""
    logic = case.once(control)
    for branch in branches:
        chiller = _first(ways, branch, "cooler")
        others = [_first(ways, other, "cooler") for other in branches if other is not branch]
        rests_alone = logic.steering(chiller) != logic.steering(others[0])
        passes = rests_alone and not _is_kept_out(ways, branch)
        yield Measure(
            subject=(chiller, *others),
            value=float(passes),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"While {chiller} rests, warm liquid passes it and mixes with what {both(others)} chills."
                if passes
                else f"No warm liquid passes {chiller} while it rests alone."
            ),
            numbers=count(len(branches), "n", "chillers side by side"),
            remedy=f"Put a shut-off valve before {chiller} that shuts while it rests." if passes else "",
        )


def _reaches_consumer(ways: Waterways, point: int) -> bool:
    if point in ways.stores:
        return False
    behind = ways.downstream(
        [point], past=lambda number: ways.role(number) not in CHANGES_HEAT, past_stores=False
    )
    return any(ways.role(number) == "consumer" for number in behind)


def cross_connection(case: Case) -> Iterator[Measure]:
    """Look for circuits of different liquids that hang together."""
    ways = case.once(waterways)
    group = _connected(ways)
    at: dict[int, set[tuple[str, str]]] = defaultdict(set)
    for circuit in case.loop.circuits:
        tag, _, side = circuit.at.partition(".")
        for point, port in enumerate(ways.points):
            owner, _, name = port.partition(".")
            if owner == tag and (not side or name.rpartition("-")[0] == side):
                at[group[point]].add((circuit.name, circuit.liquid))
    for circuits in sorted(sorted(found) for found in at.values()):
        liquids = sorted({liquid for _, liquid in circuits})
        names = [name for name, _ in circuits]
        places = [circuit.at for circuit in case.loop.circuits if circuit.name in names]
        yield Measure(
            subject=tuple(place.partition(".")[0] for place in places),
            value=float(len(liquids) - 1),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{both(names)} hang together, though they hold {both(liquids)}."
                if len(liquids) > 1
                else f"{both(names)}: nothing but {liquids[0]} comes into it."
            ),
            numbers=count(len(liquids), "n", "liquids that can meet"),
        )


def _connected(ways: Waterways) -> list[int]:
    """Return for each point the number of the circuit in which it lies."""
    group = list(range(len(ways.points)))

    def find(point: int) -> int:
        while group[point] != point:
            group[point] = group[group[point]]
            point = group[point]
        return point

    for way in ways.ways:
        low, high = sorted((find(way.start), find(way.end)))
        group[high] = low
    return [find(point) for point in range(len(group))]


CRITERIA = (
    Criterion(
        code="BW-F108",
        title="Liquid passes an idle unit",
        severity="W",
        method="structure",
        judge=idle_unit,
        formula="units side by side, one can rest, and no check valve or valve keeps liquid out of it",
        consequence="Liquid runs back through a resting pump, or past a resting chiller unchilled.",
        remedy="Put a check valve behind each pump and a valve before each chiller that can rest alone.",
        lesson="A machine that rests is a hole in the wall.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F113",
        title="Two liquids can meet",
        severity="S",
        method="structure",
        judge=cross_connection,
        formula="a way leads from a circuit of one liquid into a circuit of another",
        consequence="They mix: freezing, boiling, corrosion and what people drink are not what was said.",
        remedy="Part them by a heat exchanger; for filling, join them by two valves with a drain between.",
        lesson="Two liquids may exchange heat but never a drop.",
        source="common practice, no source",
    ),
)
