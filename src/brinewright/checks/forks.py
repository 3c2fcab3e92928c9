"""Where a loop decides what becomes of its liquid, and by which switches.

At a decision liquid parts: one way leads to chillers before it leads to any consumer, another
leads to consumers first.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import permutations

from brinewright.checks.graph import Branch, Waterways, waterways
from brinewright.checks.signals import Control, control
from brinewright.model.case import Case
from brinewright.model.loop import Switch

CHANGES_HEAT = ("cooler", "consumer")
"""Roles of parts behind which liquid is no longer what it was before."""


@dataclass(frozen=True)
class Fork:
    """A point at which liquid is sent to the chillers or to the consumers."""

    point: int
    chills: tuple[Branch, ...]
    delivers: tuple[Branch, ...]
    actors: tuple[str, ...]
    """The parts that open and shut these ways."""
    switches: tuple[Switch, ...]
    """The temperature switches that steer them."""
    turns: bool
    """Whether what is sent to the chillers comes back to this decision."""

    @property
    def tag(self) -> str:
        """Return the tag to name it by."""
        return self.actors[0]

    @cached_property
    def settings(self) -> tuple[float, ...]:
        """Return the different set points of its switches [K], the lowest first."""
        return tuple(sorted({switch.setting for switch in self.switches}))

    @property
    def subject(self) -> tuple[str, ...]:
        """Return its switches and its actors."""
        return (*(switch.tag for switch in self.switches), *self.actors)


def forks(case: Case) -> tuple[Fork, ...]:
    """Return the decisions of a loop that temperature switches steer, in order of their points."""
    ways, logic = case.once(waterways), case.once(control)
    found = []
    by_start: dict[int, list[Branch]] = {}
    for branch in ways.branches:
        by_start.setdefault(branch.start, []).append(branch)
    for point, leaving in sorted(by_start.items()):
        if point in ways.stores or len(leaving) < 2:
            continue
        gated = [branch for branch in leaving if ways.gates(branch.ways)]
        actors = sorted({ways.actors[gate] for branch in gated for gate in ways.gates(branch.ways)})
        actors = [tag for tag in actors if ways.roles[tag] == "valve" and tag in logic.needs]
        tags = {tag for actor in actors for tag in logic.steering(actor)}
        switches = tuple(logic.switches[tag] for tag in sorted(tags) if _reads_liquid(ways, logic, tag))
        chills = tuple(branch for branch in leaving if leads_to(ways, branch) == "cooler")
        delivers = tuple(branch for branch in leaving if leads_to(ways, branch) == "consumer")
        if switches and chills and delivers:
            found.append(Fork(point, chills, delivers, tuple(actors), switches, _turns(ways, point, chills)))
    return tuple(found)


def _reads_liquid(ways: Waterways, logic: Control, tag: str) -> bool:
    """Tell whether a switch reads the temperature of liquid."""
    if logic.switches[tag].quantity != "temperature":
        return False
    reading = logic.readings[tag]
    return reading.at is not None or reading.tag in ways.by_tag or reading.tag in ways.stores.values()


def leads_to(ways: Waterways, branch: Branch) -> str:
    """Return the role that liquid meets first on a branch and behind it: "cooler", "consumer" or ""."""
    for number in branch.ways:
        if ways.role(number) in CHANGES_HEAT:
            return ways.role(number)
    behind = ways.downstream([branch.end], past=lambda number: ways.role(number) not in CHANGES_HEAT)
    roles = {ways.role(number) for number in behind}
    return "consumer" if "consumer" in roles else "cooler" if "cooler" in roles else ""


def _turns(ways: Waterways, point: int, chills: tuple[Branch, ...]) -> bool:
    return any(point in ring and any(branch.end in ring for branch in chills) for ring in ways.rings())


@dataclass(frozen=True)
class Pair:
    """Two decisions in series: what the first sends to the chillers the second decides anew."""

    first: Fork
    second: Fork


def serial_pairs(case: Case) -> tuple[Pair, ...]:
    """Return the decisions in series, of which the first can send liquid past the second.

    Stages in line, where all liquid comes to the second, are none of these.
    """
    ways = case.once(waterways)

    def reaches(branches: tuple[Branch, ...], second: Fork) -> bool:
        own = {number for branch in branches for number in branch.ways}
        if any(ways.role(number) == "consumer" for number in own):
            return False
        ends = [branch.end for branch in branches]
        behind = own | ways.downstream(ends, past=lambda number: ways.role(number) != "consumer")
        return any(ways.ways[number].end == second.point for number in behind)

    return tuple(
        Pair(first, second)
        for first, second in permutations(case.once(forks), 2)
        if reaches(first.chills, second) and not reaches(first.delivers, second)
    )


def drops(case: Case) -> dict[str, float]:
    """Return the kelvin that each chiller of a fixed drop takes off a pass."""
    return {view.tag: view.number("drop") for view in case.playing("cooler") if view.declares("drop")}


def drop_of(case: Case, decision: Fork) -> tuple[str, float]:
    """Return the chiller of the greatest fixed drop to which a decision sends liquid; ("", 0) if none."""
    ways, known = case.once(waterways), case.once(drops)
    met = {ways.ways[number].tag for branch in decision.chills for number in branch.ways}
    behind = ways.downstream(
        [branch.end for branch in decision.chills],
        past=lambda number: ways.role(number) not in CHANGES_HEAT,
    )
    met |= {ways.ways[number].tag for number in behind}
    return max(
        ((tag, known[tag]) for tag in sorted(met & set(known))), key=lambda item: item[1], default=("", 0.0)
    )


def leading_to(case: Case, decision: Fork) -> Iterator[int]:
    """Yield the ways in series before a decision, the nearest first, as far as the liquid is the same."""
    ways = case.once(waterways)
    for number in ways.before(decision.point):
        yield number
        if ways.role(number) in CHANGES_HEAT:
            return
