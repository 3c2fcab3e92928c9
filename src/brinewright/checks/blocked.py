"""Whether every pump and every chiller always has somewhere to send its liquid."""

from collections.abc import Iterator

from brinewright.checks.graph import Waterways, waterways
from brinewright.checks.signals import Standing, standings
from brinewright.checks.words import both
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number


def count(value: int, symbol: str, text: str) -> tuple[Number, ...]:
    """Return a count as a number to trace."""
    return (Number(symbol=symbol, value=float(value), quantity="count", text=text),)


def dead_headed(case: Case) -> Iterator[Measure]:
    """Look for states that can occur in which a running pump has no way for its liquid."""
    ways, states = case.once(waterways), case.once(standings)
    for pump in case.playing("mover"):
        inside = ways.by_tag.get(pump.tag, [])
        blocked = [
            state
            for state in states
            if any(
                ways.is_open(number, state.positions) and not ways.has_path(number, state.positions)
                for number in inside
            )
        ]
        shut = _shutters(ways, inside, blocked[0]) if blocked else []
        yield Measure(
            subject=(pump.tag, *(ways.actors[number] for number in shut)),
            value=float(len(blocked)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{pump.tag} runs and no way is open with {ways.told(blocked[0].positions, shut)}"
                f"{_signals(blocked[0])}."
                if blocked
                else f"{pump.tag} has a way for its liquid in every state that the switches can bring about."
            ),
            numbers=count(len(states), "n", "different sets of positions looked at"),
        )


def _shutters(ways: Waterways, inside: list[int], state: Standing) -> list[int]:
    """Return the actors that stand shut around a pump in a state."""
    near = ways.downstream([ways.ways[number].end for number in inside], state.positions)
    points = {ways.ways[number].end for number in (*near, *inside)}
    near = ways.upstream([ways.ways[number].start for number in inside], state.positions)
    points |= {ways.ways[number].start for number in (*near, *inside)}
    gates = {
        way.gate
        for number, way in enumerate(ways.ways)
        if (way.start in points or way.end in points) and not ways.is_open(number, state.positions)
    }
    return sorted(gates)


def _signals(state: Standing) -> str:
    if not state.signals:
        return ""
    told = [f"{tag} {'made' if made else 'broken'}" for tag, made in sorted(state.signals.items())]
    return f" ({', '.join(told[:6])}{', ...' if len(told) > 6 else ''})"


def no_outlet(case: Case) -> Iterator[Measure]:
    """Shut each consumer that can be a dead end, and see which pumps lose their last way round."""
    ways = case.once(waterways)
    whole = _round(ways, frozenset())
    for view in case.playing("consumer"):
        shut = frozenset(number for number in ways.by_tag.get(view.tag, ()) if ways.ways[number].gate >= 0)
        if not shut:
            continue
        left = whole - _round(ways, shut)
        lost = [
            pump.tag
            for pump in (*case.playing("mover"), *case.playing("cooler"))
            if left & set(ways.by_tag.get(pump.tag, ()))
        ]
        yield Measure(
            subject=(view.tag, *lost),
            value=float(len(lost)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"If {view.tag} is shut or blocked, nothing leads round any more for {both(lost)}."
                if lost
                else f"If {view.tag} is shut or blocked, every pump and chiller still has a way round."
            ),
            remedy=(
                f'Lead an overflow from before {view.tag} to a tank, or write when_stopped = "bypass".'
                if lost
                else ""
            ),
            numbers=count(len(lost), "n", "pumps and chillers without a way round"),
        )


def _round(ways: Waterways, shut: frozenset[int]) -> set[int]:
    """Return the ways that lie on some way round."""
    found: set[int] = set()
    for ring in ways.rings(past_stores=True, shut=shut):
        found |= {
            number
            for number, way in enumerate(ways.ways)
            if number not in shut and way.start in ring and way.end in ring
        }
    return found


def against_the_flow(case: Case) -> Iterator[Measure]:
    """Look for lines and parts through which nothing can flow in the direction in which they stand.

    They lie on no way round, or on one that nothing drives: a pump, or by declared laws a chiller.
    """
    ways = case.once(waterways)
    if not ways.ways:
        return
    moving = _round(ways, frozenset())
    still = {
        number for number in range(len(ways.ways)) if number not in moving and not _is_leg(case, ways, number)
    }
    drivers = ("mover", "cooler") if case.rules.world == "stylised" else ("mover",)
    driving = frozenset(number for number in range(len(ways.ways)) if ways.role(number) in drivers)
    idle = {
        number
        for ring in ways.rings(shut=driving)
        for number, way in enumerate(ways.ways)
        if way.start in ring and way.end in ring and number not in driving
    }
    tags = sorted({ways.ways[number].tag for number in still | idle})
    tags.sort(key=lambda tag: (ways.roles.get(tag, "line") != "check", tag not in ways.roles, tag))
    told = f"{both(tags[:6])}{' and more' if len(tags) > 6 else ''}"
    yield Measure(
        subject=tuple(tags[:6]) or tuple(sorted({way.tag for way in ways.ways})[:1]),
        value=float(len(tags)),
        limit=0.0,
        quantity="count",
        bound="at most",
        text=(
            f"Nothing drives liquid through {told} in the direction in which they stand."
            if tags
            else "Every line and part lies on a way round that something drives, in its own direction."
        ),
        numbers=count(len(tags), "n", "lines and parts on no way round that is driven"),
    )


def _is_leg(case: Case, ways: Waterways, number: int) -> bool:
    """Tell whether a way leads to a part with one port only, such as an expansion vessel."""
    ends = (ways.points[ways.ways[number].start], ways.points[ways.ways[number].end])
    tags = {port.partition(".")[0] for port in ends}
    return any(len(case.views[tag].declared.ports) == 1 for tag in tags if tag in case.views)


def unsafe_failure(case: Case) -> Iterator[Measure]:
    """Take the power from each feeder that holds valves, and look at what the valves' fall does."""
    ways, states = case.once(waterways), case.once(standings)
    by_feeder: dict[str, list[str]] = {}
    for view in case.playing("valve"):
        if view.feeder and view.tag in ways.actors:
            by_feeder.setdefault(view.feeder, []).append(view.tag)
    for feeder, valves in sorted(by_feeder.items()):
        told = sorted({text for state in states for text in _dangers(case, feeder, state)})
        yield Measure(
            subject=(*valves, feeder),
            value=float(len(told)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{feeder} fails: {'; '.join(told)}."
                if told
                else f"{feeder} fails: {both(valves)} fall where no pump or chiller is shut in."
            ),
            numbers=count(len(valves), "n", f"valves on {feeder}"),
        )


def _dangers(case: Case, feeder: str, state: Standing) -> Iterator[str]:
    ways = case.once(waterways)
    positions = state.positions
    fallen = set()
    for number, (tag, words) in enumerate(zip(ways.actors, ways.words, strict=True)):
        view = case.views[tag]
        if view.feeder != feeder:
            continue
        falls = view.word("fail_position") if view.declares("fail_position") else words[1]
        fallen.add(tag)
        if falls in words:
            positions = positions & ~(1 << number) | (int(falls == words[0]) << number)
    for pump in case.playing("mover"):
        if pump.feeder == feeder:
            continue
        for number in ways.by_tag.get(pump.tag, ()):
            if (
                ways.is_open(number, positions)
                and not ways.has_path(number, positions)
                and ways.has_path(number, state.positions)
            ):
                yield f"{pump.tag} runs on against shut valves"
    for ring in ways.rings(positions):
        tags = {way.tag for way in ways.ways if way.start in ring and way.end in ring}
        held = sorted(tags & fallen & {view.tag for view in case.playing("valve")})
        moved = case.rules.world == "stylised" or any(
            pump.tag in tags and pump.feeder != feeder for pump in case.playing("mover")
        )
        coolers = [view.tag for view in case.playing("cooler") if view.tag in tags and view.feeder != feeder]
        if held and moved and coolers and not _leaves(ways, ring, positions):
            where = ways.told(positions, (ways.actors.index(tag) for tag in held))
            yield f"with {where} the same liquid goes round through {both(coolers)}, colder each time"


def _leaves(ways: Waterways, ring: frozenset[int], positions: int) -> bool:
    """Tell whether an open way leads out of a ring to a store."""
    out = [
        number
        for number, way in enumerate(ways.ways)
        if way.start in ring and way.end not in ring and ways.is_open(number, positions)
    ]
    ends = [ways.ways[number].end for number in out]
    reached = ways.downstream(ends, positions, past_stores=False)
    return any(point in ways.stores for point in (*ends, *(ways.ways[number].end for number in reached)))


CRITERIA = (
    Criterion(
        code="BW-F24",
        title="Pump shut in",
        severity="C",
        method="structure",
        judge=dead_headed,
        formula="there is a state that the switches can bring about in which a running pump has no open way",
        consequence="The liquid in the pump heats up until it boils or the casing bursts.",
        remedy="Give it a bypass to a tank, or let no two of these valves shut together.",
        lesson="Walk every combination of switches with the pump's eyes: is there always a door?",
        source="closed form: flow graph of every state that can occur",
    ),
    Criterion(
        code="BW-F25",
        title="Valves fall to a dangerous position",
        severity="S",
        method="contingency",
        judge=unsafe_failure,
        formula="without power a valve falls where a running pump or chiller is shut in",
        consequence="A lost feeder shuts a pump in, or lets running chillers freeze what goes round in them.",
        remedy="Choose where each valve falls, so that the machines left running have a way out.",
        lesson="Every valve has a third position, the one that it takes when nobody asks it.",
        source="common practice, no source; flow graph with each feeder lost",
    ),
    Criterion(
        code="BW-F95",
        title="No outlet when a consumer blocks",
        severity="C",
        method="structure",
        judge=no_outlet,
        formula="with one consumer shut, a pump or chiller lies on no way round",
        consequence="The pump is shut in and the chillers chill the same liquid again.",
        remedy="Lead an overflow to a tank, or a bypass for the least flow.",
        lesson="A loop must still be a loop when one of its guests closes the door.",
        source="closed form: flow graph without each consumer",
    ),
    Criterion(
        code="BW-F112",
        title="Stands against the flow",
        severity="C",
        method="structure",
        judge=against_the_flow,
        formula="a line or part lies on no way round in its own direction, or on one that nothing drives",
        consequence="Nothing flows there, and what depends on it stands.",
        remedy="Turn it round, or lead its far end back into the loop.",
        lesson="Follow the arrow with a finger: it must bring you back to where you began.",
        source="closed form: strongly connected sets of the flow graph",
    ),
)
