"""Whether sensors stand where the decision is made, early enough, and in liquid that moves."""

import math
from collections.abc import Iterator

from brinewright.checks.finding import shown
from brinewright.checks.forks import Fork, drop_of, forks, leading_to
from brinewright.checks.graph import waterways
from brinewright.checks.signals import at_rest, control
from brinewright.checks.words import both, kelvins
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.loop import Switch

FACTOR = 3.0
"""Least differential as a multiple of a sensor's repeatability; common practice, no source."""
VALVE_PERIOD, MACHINE_PERIOD = 60.0, 600.0
"""Shortest time from one opening of a valve, or start of a compressor, to the next [s]."""
DAY = 86400.0


def driven(case: Case, switch: Switch) -> list[str]:
    """Return the parts in whose command a switch has a say, in order of tags."""
    logic = case.once(control)
    return sorted(target for target in logic.needs if switch.tag in logic.steering(target))


def chatter(case: Case) -> Iterator[Measure]:
    """Hold each differential against what a sensor repeats, and each period against what is driven."""
    least = FACTOR * case.margin("repeatability")
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        targets = driven(case, switch)
        if not targets:
            continue
        if switch.quantity == "temperature":
            yield Measure(
                subject=(switch.tag, *targets),
                value=switch.differential,
                limit=least,
                quantity="temperature difference",
                bound="at least",
                text=f"{switch.tag} has a differential of {kelvins(switch.differential)}.",
                numbers=(
                    Number(
                        symbol="r",
                        value=case.margin("repeatability"),
                        quantity="temperature difference",
                        text=f"repeatability of a sensor; the differential is to be {FACTOR:g} r",
                    ),
                ),
            )
        changes = case.seen(switch.tag, "changes")
        if changes is not None and changes.last > 1.0:
            yield _period(case, switch, targets, changes.last)


def _period(case: Case, switch: Switch, targets: list[str], changes: float) -> Measure:
    machines = [tag for tag in targets if case.views[tag].declared.role == "cooler"]
    limit = MACHINE_PERIOD if machines else min(VALVE_PERIOD, _turn(case, switch))
    period = 2.0 * DAY / changes
    return Measure(
        subject=(switch.tag, *targets),
        value=period,
        limit=limit,
        quantity="time",
        bound="at least",
        text=(
            f"{switch.tag} changes {changes:.0f} times a day: {both(targets)} made once in "
            f"{shown(period, 'time')} on the mean."
        ),
        numbers=(Number(symbol="n", value=changes, quantity="count", text="changes in the run of a day"),),
        remedy="Widen the differential, add least run and rest times, or more liquid before the sensor.",
    )


def _turn(case: Case, switch: Switch) -> float:
    """Return the time in which a ring that this switch steers turns once; without one, no limit [s]."""
    ways = case.once(waterways)
    for fork in case.once(forks):
        if not fork.turns or switch not in fork.switches:
            continue
        ring = next(ring for ring in ways.rings() if fork.point in ring)
        tags = {way.tag for way in ways.ways if way.start in ring and way.end in ring}
        flows = [case.seen(tag, "flow") for tag in sorted(tags) if tag not in ways.roles]
        most = max((flow.max for flow in flows if flow is not None), default=0.0)
        if most > 0.0:
            return sum(content(case, tag) for tag in tags) / most
    return math.inf


def content(case: Case, tag: str) -> float:
    """Return the mass of liquid in a line, or in a part that it passes [kg]."""
    view = case.views[tag]
    if view.declared.is_line:
        line = next(line for line in case.lines if line.tag == tag)
        return view.density * 0.25 * math.pi * line.bore**2 * line.length
    return view.number("hold_up") * view.count if view.declares("hold_up") else 0.0


def wide(case: Case) -> Iterator[Measure]:
    """Hold each differential against the drop of a pass, and against what a consumer tolerates."""
    for fork in case.once(forks):
        tag, drop = drop_of(case, fork)
        for switch in fork.switches if drop > 0.0 else ():
            yield Measure(
                subject=(switch.tag, tag),
                value=switch.differential,
                limit=drop,
                quantity="temperature difference",
                bound="at most",
                strict=True,
                text=(
                    f"{switch.tag} has a differential of {kelvins(switch.differential)}; "
                    f"a pass through {tag} takes {kelvins(drop)}."
                ),
                numbers=(Number(symbol="D", value=drop, quantity="temperature difference", text=tag),),
            )
    logic = case.once(control)
    for view in case.playing("consumer"):
        if not (view.has("lowest_temperature") and view.has("highest_temperature")):
            continue
        band = view.number("highest_temperature") - view.number("lowest_temperature")
        for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
            if logic.readings[switch.tag].tag == view.tag and switch.quantity == "temperature":
                yield Measure(
                    subject=(switch.tag, view.tag),
                    value=switch.differential,
                    limit=0.5 * band,
                    quantity="temperature difference",
                    bound="at most",
                    text=(
                        f"{switch.tag} has a differential of {kelvins(switch.differential)}; "
                        f"{view.tag} bears {kelvins(band)}."
                    ),
                    numbers=(
                        Number(symbol="W", value=band, quantity="temperature difference", text=view.tag),
                    ),
                )


def wrong_side(case: Case) -> Iterator[Measure]:
    """Look whether each switch of a decision reads the liquid that comes to it."""
    ways, logic = case.once(waterways), case.once(control)
    for fork in case.once(forks):
        before = list(leading_to(case, fork))
        tags = [ways.ways[number].tag for number in before]
        last = ways.ways[before[-1]].start if before else fork.point
        stores = {ways.stores[point] for point in (last, fork.point) if point in ways.stores}
        for switch in fork.switches:
            reading = logic.readings[switch.tag]
            changes = reading.tag in tags and case.views[reading.tag].declared.role in ("cooler", "consumer")
            right = reading.tag in stores or (
                reading.tag in tags and (not changes or reading.channel.startswith("outlet"))
            )
            yield Measure(
                subject=(switch.tag, *fork.actors),
                value=float(not right),
                limit=0.0,
                quantity="count",
                bound="at most",
                text=(
                    f"{switch.tag} reads {switch.senses}, on the way to {both(fork.actors)}."
                    if right
                    else f"{switch.tag} reads {switch.senses}, {_where(case, fork, reading.tag)}."
                ),
                remedy="" if right or not tags else f"Let it sense {tags[0]}, just before {fork.tag}.",
            )


def _where(case: Case, fork: Fork, tag: str) -> str:
    """Say where a sensor is that does not stand before its decision."""
    ways = case.once(waterways)
    for branches, told in (
        (fork.chills, "on the way to the chillers"),
        (fork.delivers, "on the way past them"),
    ):
        if any(ways.ways[number].tag == tag for branch in branches for number in branch.ways):
            return f"behind the decision at {fork.tag}, {told}: it sees only what was sent there"
    ahead = ways.upstream([fork.point])
    behind = ways.downstream([fork.point])
    tags_behind = {ways.ways[number].tag for number in behind}
    if tag in {ways.ways[number].tag for number in ahead} and not (fork.turns and tag in tags_behind):
        return f"upstream of {fork.tag}, but other liquid or a chiller comes between"
    return f"not on the way to {fork.tag}: what it reads is not what is decided"


def short_lead(case: Case) -> Iterator[Measure]:
    """Hold the liquid between sensor and decision against what flows while switch and valve answer."""
    ways, logic = case.once(waterways), case.once(control)
    for fork in case.once(forks):
        before = list(leading_to(case, fork))
        strokes = [case.views[tag].number("stroke_time") for tag in fork.actors]
        stroke = max(strokes, default=0.0)
        for switch in fork.switches:
            reading = logic.readings[switch.tag]
            tags = [ways.ways[number].tag for number in before]
            if reading.at is None or reading.tag not in tags:
                continue
            line = next(line for line in case.lines if line.tag == reading.tag)
            between = tags[: tags.index(reading.tag)]
            mass = sum(content(case, tag) for tag in between)
            mass += content(case, line.tag) * (1.0 - reading.at / line.length)
            flow = case.seen(line.tag, "flow")
            if flow is None or flow.max <= 0.0:
                continue
            answer = switch.lag + stroke
            lead = mass / flow.max
            yield Measure(
                subject=(switch.tag, *fork.actors),
                value=lead,
                limit=answer,
                quantity="time",
                bound="at least",
                text=(
                    f"{shown(mass, 'mass')} lie between {switch.tag} and {both(fork.actors)}; at up to "
                    f"{shown(flow.max, 'mass flow')} they pass in {shown(lead, 'time')}."
                ),
                numbers=(
                    Number(symbol="m", value=mass, quantity="mass", text="from the sensor to the parting"),
                    Number(symbol="q", value=flow.max, quantity="mass flow", text="greatest in the run"),
                    Number(symbol="t_s", value=switch.lag, quantity="time", text=f"lag of {switch.tag}"),
                    Number(symbol="t_v", value=stroke, quantity="time", text="longest stroke"),
                ),
            )


def stagnant(case: Case) -> Iterator[Measure]:
    """Look for switches whose own signal stops the liquid that they read."""
    ways, logic, rest = case.once(waterways), case.once(control), at_rest(case)
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        reading = logic.readings[switch.tag]
        targets = set(driven(case, switch)) & set(ways.actors)
        if reading.at is None or not targets:
            continue
        number = ways.by_tag[reading.tag][0]
        others = {tag for actor in ways.actors for tag in logic.steering(actor)} - {switch.tag}
        stopped = ""
        for signals in logic.combined(others):
            flows = {}
            for made in (True, False):
                states = logic.settled({**signals, switch.tag: made})
                flows[made] = any(ways.has_path(number, logic.positions(state, rest)) for state in states)
            if flows[True] != flows[False]:
                stopped = "broken" if flows[True] else "made"
                break
        yield Measure(
            subject=(switch.tag, reading.tag, *sorted(targets)),
            value=float(bool(stopped)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"While {switch.tag} is {stopped}, {both(sorted(targets))} leave no way for the liquid in "
                f"{reading.tag}, where it reads: it can stay {stopped} for ever."
                if stopped
                else f"The liquid that {switch.tag} reads in {reading.tag} has a way, made or broken."
            ),
            numbers=(
                Number(symbol="T_set", value=switch.setting, quantity=switch.quantity, text=switch.tag),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F18",
        title="Chattering",
        severity="W",
        method="run",
        judge=chatter,
        formula="d < 3 r, or the mean period < 60 s of a valve, < 10 min of a compressor",
        consequence="Valves and machines wear out, and every stroke sends liquid the wrong way.",
        remedy="Give the switch a differential of three times its repeatability.",
        lesson="A switch without a differential cannot make up its mind.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F19",
        title="Differential too wide",
        severity="W",
        method="closed form",
        judge=wide,
        formula="d >= D of a pass, or d > W / 2 of what a consumer bears",
        consequence="One pass carries liquid through the whole band, so the decision says nothing about it.",
        remedy="Narrow the differential.",
        lesson="A decision is only as sharp as the band in which it does nothing.",
        source="closed form: d against the drop of a pass",
    ),
    Criterion(
        code="BW-F20",
        title="Sensor on the wrong side",
        severity="C",
        method="structure",
        judge=wrong_side,
        formula="the sensor is not on the way in series that leads to the parting, or a chiller lies between",
        consequence="It sees its own result or liquid that stands, and the switch never comes back.",
        remedy="Move the sensor to the line before the parting.",
        lesson="Ask the question before the door, not behind it.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F21",
        title="Sensor too close before its valve",
        severity="W",
        method="run",
        judge=short_lead,
        formula="m / q < t_s + t_v",
        consequence=(
            "The head of each slug goes the wrong way: warm to the consumers, or cold round again and down "
            "by another drop."
        ),
        remedy="Move the sensor upstream, slow the flow, or take a faster sensor or valve.",
        lesson="A guard must stand far enough before the gate to shut it in time.",
        source="closed form: plug flow between sensor and valve",
    ),
    Criterion(
        code="BW-F22",
        title="Sensor in a leg that stands",
        severity="C",
        method="structure",
        judge=stagnant,
        formula="q = 0 at the sensor while its own signal stands one way",
        consequence="It reads what lies there or the ambient, and what it commands locks up.",
        remedy="Keep a small flow past the sensor, or read the tank or the main line.",
        lesson="A thermometer in still liquid tells the past.",
        source="closed form: flow graph of every state that can occur",
    ),
)
