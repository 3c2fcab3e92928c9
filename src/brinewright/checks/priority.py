"""Whether rings are let go before fresh liquid comes in, and whether every branch gets its turn."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from brinewright.checks.blocked import count
from brinewright.checks.forks import CHANGES_HEAT
from brinewright.checks.graph import Waterways, waterways
from brinewright.checks.signals import standings
from brinewright.checks.words import both
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number

STARVED = 0.98
"""Share of the time in which a branch is open and must not stand for want of room."""
WORTH_A_LOOK = 600.0
"""Time for which a branch must have been open before it is judged [s]."""


@dataclass(frozen=True)
class Entry:
    """A junction on a ring, with the lines that come round and those that bring fresh liquid."""

    point: int
    ring: frozenset[int]
    round: tuple[str, ...]
    fresh: tuple[str, ...]


def claim(case: Case, tag: str) -> float:
    """Return the place of a line in the order of claims; a line without a rank comes last."""
    rank = next(line.rank for line in case.lines if line.tag == tag)
    return float(rank) if rank > 0 else math.inf


def entries(case: Case) -> tuple[Entry, ...]:
    """Return the junctions at which liquid enters a ring that passes a chiller."""
    ways = case.once(waterways)
    lines = {line.tag for line in case.lines}
    found = []
    for ring in ways.rings():
        inside = [way for way in ways.ways if way.start in ring and way.end in ring]
        if not any(ways.roles.get(way.tag) == "cooler" for way in inside):
            continue
        for point in sorted(ring):
            enters = [ways.ways[number] for number in ways.entering[point]]
            comes_round = tuple(way.tag for way in enters if way.start in ring and way.tag in lines)
            fresh = tuple(way.tag for way in enters if way.start not in ring and way.tag in lines)
            if comes_round and fresh:
                found.append(Entry(point, ring, comes_round, fresh))
    return tuple(found)


def _ranks(case: Case, tags: tuple[str, ...]) -> tuple[Number, ...]:
    ranks = {line.tag: line.rank for line in case.lines}
    return tuple(
        Number(symbol=f"r_{tag}", value=float(ranks[tag]), quantity="count", text=f"rank of {tag}")
        for tag in tags
    )


def _is_late(case: Case, first: tuple[str, ...], second: tuple[str, ...]) -> bool:
    """Tell whether a line that should go first has the weaker claim."""
    return max(claim(case, tag) for tag in first) > min(claim(case, tag) for tag in second)


def reversed_entry(case: Case) -> Iterator[Measure]:
    """Hold the claims where liquid enters a ring: what comes round goes first."""
    ways = case.once(waterways)
    for entry in case.once(entries):
        late = _is_late(case, entry.round, entry.fresh)
        junction = ways.points[entry.point].partition(".")[0]
        yield Measure(
            subject=(junction, *entry.round, *entry.fresh),
            value=float(late),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"At {junction} fresh liquid from {both(entry.fresh)} goes before {both(entry.round)}, which "
                "comes round from the chillers."
                if late
                else f"At {junction} {both(entry.round)} comes round from the chillers and goes first."
            ),
            numbers=_ranks(case, (*entry.round, *entry.fresh)),
            remedy=f"Give {both(entry.round)} rank 1 and {both(entry.fresh)} rank 2." if late else "",
        )


@dataclass(frozen=True)
class Delivery:
    """A junction at which chilled liquid meets liquid that came straight."""

    tag: str
    chilled: tuple[str, ...]
    straight: tuple[str, ...]


def deliveries(case: Case) -> tuple[Delivery, ...]:
    """Return the junctions with ranks at which liquid from the chillers meets liquid that passed them by."""
    ways = case.once(waterways)
    on_rings = {entry.point for entry in case.once(entries)}
    lines = {line.tag: line for line in case.lines}
    found = []
    for point, entering in sorted(ways.entering.items()):
        tags = [ways.ways[number].tag for number in entering if ways.ways[number].tag in lines]
        if point in on_rings or point in ways.stores or len(tags) < 2:
            continue
        if not any(lines[tag].rank for tag in tags):
            continue
        chilled = tuple(tag for tag in tags if _comes_from(ways, tag) == "cooler")
        straight = tuple(tag for tag in tags if _comes_from(ways, tag) == "store")
        if chilled and straight:
            found.append(Delivery(ways.points[point].partition(".")[0], chilled, straight))
    return tuple(found)


def _comes_from(ways: Waterways, tag: str) -> str:
    """Return what liquid met last before a line: a "cooler", a "consumer", or a "store"."""
    start = [ways.ways[ways.by_tag[tag][0]].start]
    before = ways.upstream(
        start, past=lambda number: ways.role(number) not in CHANGES_HEAT, past_stores=False
    )
    roles = {ways.role(number) for number in before}
    return "cooler" if "cooler" in roles else "consumer" if "consumer" in roles else "store"


def starved(case: Case) -> Iterator[Measure]:
    """Hold the claims at deliveries; then look in the run for branches that are open and never flow."""
    for delivery in case.once(deliveries):
        late = _is_late(case, delivery.chilled, delivery.straight)
        yield Measure(
            subject=(delivery.tag, *delivery.chilled, *delivery.straight),
            value=float(late),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"At {delivery.tag} the straight way {both(delivery.straight)} goes before "
                f"{both(delivery.chilled)} from the chillers, which stands while that flows."
                if late
                else f"At {delivery.tag} {both(delivery.chilled)} from the chillers goes first."
            ),
            numbers=_ranks(case, (*delivery.chilled, *delivery.straight)),
            remedy=f"Give {both(delivery.chilled)} rank 1 and {both(delivery.straight)} rank 2."
            if late
            else "",
        )
    yield from _standing_branches(case)


def _standing_branches(case: Case) -> Iterator[Measure]:
    ways = case.once(waterways)
    weak = {line.tag for line in case.lines if line.rank > 1}
    on_rings = {tag for entry in case.once(entries) for tag in entry.fresh}
    for branch in ways.branches:
        last = ways.ways[branch.ways[-1]].tag
        gates = [ways.ways[number] for number in branch.ways if ways.ways[number].gate >= 0]
        if last not in weak or last in on_rings or case.seen(last, "flow") is None:
            continue
        times, flow = case.trace(last, "flow")
        is_open = np.ones(len(flow), dtype=bool)
        for way in gates:
            if case.seen(way.tag, "position") is not None:
                is_open &= case.trace(way.tag, "position")[1] == float(way.opens_at)
        is_open &= _passed(case, branch.end, len(flow))
        open_for = float(is_open.mean() * (times[-1] - times[0])) if len(times) > 1 else 0.0
        if open_for < WORTH_A_LOOK:
            continue
        stands = float((flow[is_open] == 0.0).mean())
        junction = ways.points[branch.end].partition(".")[0]
        yield Measure(
            subject=(last, junction),
            value=stands,
            limit=STARVED,
            quantity="ratio",
            bound="at most",
            text=f"{last} is open into {junction}, others flow, and it stands for {stands:.0%} of that time.",
            numbers=(
                Number(
                    symbol="t", value=open_for, quantity="time", text=f"for which {last} is open in a day"
                ),
            ),
        )


def _passed(case: Case, point: int, samples: int) -> Any:
    """Return at which samples anything flows into a junction."""
    ways = case.once(waterways)
    flows = np.zeros(samples, dtype=bool)
    for number in ways.entering[point]:
        if case.seen(ways.ways[number].tag, "flow") is not None:
            flows |= case.trace(ways.ways[number].tag, "flow")[1] > 0.0
    return flows


def deadlock(case: Case) -> Iterator[Measure]:
    """Look for states in which a full ring can neither turn nor let anything out, and for full loops."""
    ways, states = case.once(waterways), case.once(standings)
    for entry in case.once(entries):
        junction = ways.points[entry.point].partition(".")[0]
        locked = [state.positions for state in states if _locks(case, entry, state.positions)]
        gates = sorted({way.gate for way in ways.ways if way.gate >= 0 and way.start in entry.ring})
        valves = [ways.actors[gate] for gate in gates if ways.roles[ways.actors[gate]] == "valve"]
        yield Measure(
            subject=(junction, *valves),
            value=float(len(locked)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"The ring through {junction} is full. With {ways.told(locked[0], gates)} it is shut, and "
                f"{both(entry.fresh)} holds the place that its own liquid needs: each waits for the other."
                if locked
                else f"The ring through {junction} turns or lets out in every state that can occur."
            ),
            numbers=count(len(states), "n", "different sets of positions looked at"),
            remedy=f"Let {both(entry.round)} go first at {junction}." if locked else "",
        )
    yield from _full_loops(case)


def _locks(case: Case, entry: Entry, positions: int) -> bool:
    """Tell whether a ring is shut, and fresh liquid waits with the stronger claim."""
    ways = case.once(waterways)
    ring = next((ring for ring in ways.rings_at(positions) if entry.point in ring), None)
    if ring is None:
        return False
    leaving = [
        number
        for point in ring
        for number in ways.leaving.get(point, ())
        if ways.ways[number].end not in ring and ways.is_open(number, positions)
    ]
    if leaving or not _is_late(case, entry.round, entry.fresh):
        return False
    stores = {
        ways.ways[number].start for number in ways.upstream([entry.point], positions, past_stores=False)
    }
    return bool(stores & set(ways.stores))


def _full_loops(case: Case) -> Iterator[Measure]:
    """Hold the room that is left in the tanks of each circuit at the start."""
    room: dict[str, list[tuple[str, float]]] = {}
    for tank in case.playing("store"):
        level = tank.begins_at("level")
        if level is None or not (tank.declares("volume") and tank.declares("highest_level")):
            continue
        free = (tank.number("highest_level") - level) * tank.number("volume")
        room.setdefault(tank.filling().name, []).append((tank.tag, free))
    for name, tanks in sorted(room.items()):
        total = sum(free for _, free in tanks)
        yield Measure(
            subject=tuple(tag for tag, _ in tanks),
            value=total,
            limit=0.0,
            quantity="volume",
            bound="at least",
            strict=True,
            text=(
                f"All tanks of {name} are full at the start: none can take anything in before another gives."
                if total <= 0.0
                else f"The tanks of {name} have room for {total:.3g} m3 at the start."
            ),
            numbers=tuple(
                Number(symbol=f"V_{tag}", value=free, quantity="volume", text=f"room in {tag}")
                for tag, free in tanks
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F93",
        title="Priority reversed where a ring is entered",
        severity="C",
        method="structure",
        judge=reversed_entry,
        world="stylised",
        formula="rank of what comes round > rank of what is fresh",
        consequence="The ring fills with fresh liquid, what leaves the chillers has no place, and it locks.",
        remedy="Give the line that comes round the first rank.",
        lesson="On a roundabout those who are on it go first, or nobody goes.",
        source="common practice, no source; shown by a run that locks",
    ),
    Criterion(
        code="BW-F94",
        title="A branch starves",
        severity="W",
        method="run",
        judge=starved,
        world="stylised",
        formula="the straight way ranks before the chilled one, or an open branch never flows",
        consequence="What ranks last never gets through: the ring cannot empty and its chillers stand.",
        remedy="Let the chilled liquid go first; let the straight way take the room that is left.",
        lesson="Who always yields never arrives.",
        source="common practice, no source; shown by runs of both orders",
    ),
    Criterion(
        code="BW-F96",
        title="Ring or loop full",
        severity="C",
        method="structure",
        judge=deadlock,
        world="stylised",
        formula="content = capacity, no open way out, and what is fresh holds the place that the ring needs",
        consequence="Each waits for room in the other: nothing moves any more, nor does any reading.",
        remedy="Admit fresh liquid only where something has left; leave room in a tank.",
        lesson="A puzzle of sliding tiles needs one empty square.",
        source="closed form: wait-for cycle in every state that can occur; shown by a run",
    ),
)
