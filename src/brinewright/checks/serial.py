"""Decisions in series: whether they agree, and what a ring makes of liquid that it need not chill."""

from collections.abc import Iterator

from brinewright.checks.forks import Pair, drop_of, forks, serial_pairs
from brinewright.checks.graph import Waterways, waterways
from brinewright.checks.signals import at_rest, control, says
from brinewright.checks.words import degrees
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number


def _pair(case: Case, pair: Pair) -> tuple[float, float, tuple[Number, ...], str]:
    """Return the two set points that lie furthest apart, their numbers, and both in words."""
    first, second = max(
        ((one, two) for one in pair.first.settings for two in pair.second.settings),
        key=lambda both: abs(both[0] - both[1]),
    )
    _, drop = drop_of(case, pair.first)
    numbers: tuple[Number, ...] = (
        Number(symbol="T1", value=first, quantity="temperature", text=f"set point of {pair.first.tag}"),
        Number(symbol="T2", value=second, quantity="temperature", text=f"set point of {pair.second.tag}"),
    )
    if drop > 0.0:
        numbers += (
            Number(symbol="D", value=drop, quantity="temperature difference", text="drop of a pass"),
            Number(
                symbol="T_coldest",
                value=min(first, second) - drop,
                quantity="temperature",
                text="min(T1, T2) - D, the coldest outlet once warm",
            ),
        )
    told = f"{degrees(first)} at {pair.first.tag}, {degrees(second)} at {pair.second.tag}"
    return first, second, numbers, told


def first_higher(case: Case) -> Iterator[Measure]:
    """Hold the first of two decisions in series against the second: not higher."""
    for pair in case.once(serial_pairs):
        first, second, numbers, told = _pair(case, pair)
        yield Measure(
            subject=(pair.first.switches[0].tag, pair.second.switches[0].tag),
            value=first - second,
            limit=0.0,
            quantity="temperature difference",
            bound="at most",
            text=f"Two decisions in series: {told}."
            + (
                f" Liquid of up to {degrees(first)} goes to the consumers unchilled."
                if first > second
                else ""
            ),
            numbers=numbers,
            remedy=f"Set both to {degrees(second)}." if first > second else "",
        )


def first_lower(case: Case) -> Iterator[Measure]:
    """Hold the first of two decisions in series against the second: not lower."""
    for pair in case.once(serial_pairs):
        first, second, numbers, told = _pair(case, pair)
        _, drop = drop_of(case, pair.first)
        down = f" down to {degrees(first - drop)}" if drop > 0.0 else ""
        yield Measure(
            subject=(pair.first.switches[0].tag, pair.second.switches[0].tag),
            value=first - second,
            limit=0.0,
            quantity="temperature difference",
            bound="at least",
            text=f"Two decisions in series: {told}."
            + (f" What lies between them is forced through a pass,{down}." if first < second else ""),
            numbers=numbers,
            remedy=f"Set both to {degrees(second)}." if first < second else "",
        )


def cool_waiting_tank(case: Case) -> Iterator[Measure]:
    """Hold what a ring makes of its tank's liquid at the start, in the one pass it always takes."""
    ways, logic, rest = case.once(waterways), case.once(control), at_rest(case)
    for fork in case.once(forks):
        _, drop = drop_of(case, fork)
        nothing: frozenset[int] = frozenset()
        ring = next((ring for ring in ways.rings() if fork.turns and fork.point in ring), nothing)
        feeding = ways.upstream(ring, past_stores=False)
        for point in sorted({ways.ways[number].start for number in feeding} & set(ways.stores)):
            tank = case.views[ways.stores[point]]
            begins = tank.begins_at("temperature")
            if begins is None or drop <= 0.0:
                continue
            own = {
                tag: says(switch, logic.start[tag], begins)
                for tag, switch in logic.switches.items()
                if logic.readings[tag].tag == tank.tag and switch.quantity == "temperature"
            }
            others = {tag for actor in ways.actors for tag in logic.steering(actor)} - set(own)
            if not any(
                _flows(ways, point, ring, logic.positions(state, rest))
                for signals in logic.combined(others)
                for state in logic.settled({**signals, **own})
            ):
                continue
            coldest, freezes = begins - drop, tank.liquid.freezes
            yield Measure(
                subject=(tank.tag, fork.tag),
                value=coldest,
                limit=freezes + case.margin("freeze"),
                quantity="temperature",
                bound="at least",
                text=(
                    f"{tank.tag} begins at {degrees(begins)}; its liquid makes one pass whatever "
                    f"{fork.switches[0].tag} says, and leaves at {degrees(coldest)}."
                ),
                numbers=(
                    Number(symbol="T_B", value=begins, quantity="temperature", text=f"of {tank.tag}"),
                    Number(symbol="D", value=drop, quantity="temperature difference", text="drop of a pass"),
                    Number(symbol="T_f", value=freezes, quantity="temperature", text="freezing point"),
                ),
            )


def _flows(ways: Waterways, point: int, ring: frozenset[int], positions: int) -> bool:
    reached = ways.downstream([point], positions, past_stores=False)
    return any(ways.ways[number].end in ring for number in reached)


CRITERIA = (
    Criterion(
        code="BW-F15b",
        title="First of two serial decisions set higher",
        severity="W",
        method="structure",
        judge=first_higher,
        formula="T1 > T2",
        consequence="Liquid up to T1 reaches the consumers unchilled; the ring gives colder than is asked.",
        remedy="Give both switches the same set point.",
        lesson="Two switches that serve one purpose carry one number.",
        source="common practice, no source; shown by runs of both layouts",
    ),
    Criterion(
        code="BW-F16b",
        title="First of two serial decisions set lower",
        severity="C",
        method="structure",
        judge=first_lower,
        formula="T1 < T2",
        consequence="Liquid between the two makes a pass that it does not need, and leaves too cold.",
        remedy="Give both switches the same set point; hold the freezing margin against the lower one.",
        lesson="The lower set point decides how cold the coldest liquid gets, whichever switch carries it.",
        source="common practice, no source; closed form: min(T1, T2) - D",
    ),
    Criterion(
        code="BW-F16c",
        title="Cool waiting tank sent through the ring",
        severity="C",
        method="closed form",
        judge=cool_waiting_tank,
        world="stylised",
        formula="T_B - D < T_f + margin",
        consequence="The ring always makes one pass: cold liquid freezes behind the chillers.",
        remedy="Start with a warm tank, or let its pump run only while the tank is above the set point.",
        lesson="A ring cannot send liquid past its chillers that came in before it was asked.",
        source="closed form: one pass from the tank's temperature",
    ),
)
