"""Whether set points stand in order, begin as they should, and do not work against each other."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import pairwise

from brinewright.checks.blocked import count
from brinewright.checks.finding import DIFFERENCE_OF, shown
from brinewright.checks.forks import forks
from brinewright.checks.sense import acts_on
from brinewright.checks.sensors import driven
from brinewright.checks.signals import control, limits, says
from brinewright.checks.words import both, degrees
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.loop import Switch

SAME_PLACE = 0.05
"""Distance within which two sensors stand in one pocket [m]."""
TOGETHER = 0.05
"""Share of a day in which heating and cooling may work at once."""
FIRST_LETTER = {"temperature": "T", "ratio": "L", "pressure": "P", "mass flow": "F"}
"""Letter of the quantity in a switch's tag, after ISA-5.1."""
ORDER = ("lowest", "LL", "L", "normal", "H", "HH", "relief", "limit")
"""Values of one variable from below to above."""
LOWEST = {"temperature": "lowest_temperature", "level": "lowest_level"}
HIGHEST = {"temperature": "highest_temperature", "level": "highest_level"}


def letters(switch: Switch) -> str:
    """Return what a switch's tag says of its side: "HH", "H", "L", "LL", or "" if it says nothing.

    Example
    -------
    >>> letters(Switch(tag="TSHH-301", sense="high", senses="VE-301 temperature", setting=420.0))
    'HH'
    """
    head = switch.tag.partition("-")[0]
    side = head.partition("S")[2]
    return side if side in ORDER else ""


def start_contradicts(case: Case) -> Iterator[Measure]:
    """Hold the state in which each switch begins against what its reading is stated to begin at."""
    logic = case.once(control)
    for tag, switch in sorted(logic.switches.items()):
        reading = logic.readings[tag]
        value = case.loop.start.get(reading.tag, {}).get(reading.channel)
        if case.loop.settled or not isinstance(value, float):
            continue
        begins = switch.start == "made"
        flips = says(switch, begins, value) != begins
        at = shown(value, switch.quantity)
        yield Measure(
            subject=(tag, *driven(case, switch)),
            value=float(flips),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{tag} begins {switch.start}, but {switch.senses} begins at {at}: it changes at once."
                if flips
                else f"{tag} begins {switch.start}, as {switch.senses} at {at} asks or allows."
            ),
            numbers=(Number(symbol="x_0", value=value, quantity=switch.quantity, text=switch.senses),),
            remedy=f'Write start = "{"broken" if begins else "made"}" at {tag}.' if flips else "",
        )


def bands_overlap(case: Case) -> Iterator[Measure]:
    """Hold the band of what warms a variable against the band of what cools it."""
    logic = case.once(control)
    for group in logic.groups():
        warming: list[tuple[float, str]] = []
        cooling: list[tuple[float, str]] = []
        for switch in group:
            breaks, makes = limits(switch)
            for drive in switch.drives:
                view = case.views[drive.target]
                effect = acts_on(case, view, switch)
                words = view.declared.positions or ("", "")
                runs_high = (switch.sense == "high") == (drive.made == words[0])
                if effect > 0 and not runs_high:
                    warming.append((max(breaks, makes), view.tag))
                elif effect < 0 and runs_high:
                    cooling.append((min(breaks, makes), view.tag))
        if not warming or not cooling:
            continue
        top, bottom = max(warming), min(cooling)
        quantity = group[0].quantity
        yield Measure(
            subject=(top[1], bottom[1], *(switch.tag for switch in group)),
            value=bottom[0] - top[0],
            limit=0.0,
            quantity=DIFFERENCE_OF.get(quantity, quantity),
            bound="at least",
            text=(
                f"{top[1]} can warm {group[0].senses} up to {shown(top[0], quantity)}, and {bottom[1]} "
                f"can cool it down to {shown(bottom[0], quantity)}."
            ),
            numbers=(
                Number(symbol="T_w", value=top[0], quantity=quantity, text=f"where {top[1]} stops at last"),
                Number(symbol="T_c", value=bottom[0], quantity=quantity, text=f"where {bottom[1]} stops"),
            ),
        )


def both_at_once(case: Case) -> Iterator[Measure]:
    """Look in the run for sources that heat what is being cooled."""
    consumers = {view.tag for view in case.playing("consumer")}
    for tag in sorted(case.views):
        for heated in set(case.views[tag].refers("into")) & consumers:
            if case.seen(tag, "heat") is None or case.seen(heated, "cooling") is None:
                continue
            heat, cooling = case.trace(tag, "heat")[1], case.trace(heated, "cooling")[1]
            share = float(((heat > 0.0) & (cooling > 0.0)).mean())
            yield Measure(
                subject=(tag, heated),
                value=share,
                limit=TOGETHER,
                quantity="ratio",
                bound="at most",
                text=f"{tag} heats {heated} while coolant cools it for {share:.0%} of the day.",
                numbers=(Number(symbol="u", value=share, quantity="ratio", text="share of a day"),),
            )


def shared_trip(case: Case) -> Iterator[Measure]:
    """Look for sensors that serve a trip and a control at once."""
    logic = case.once(control)
    steering = {switch.tag for fork in case.once(forks) for switch in fork.switches}
    for tag, switch in sorted(logic.switches.items()):
        reading = logic.readings[tag]
        trips = letters(switch) in ("HH", "LL")
        stops = [
            target
            for target in driven(case, switch)
            if case.views[target].declared.role == "cooler" or case.views[target].refers("into")
        ]
        if not trips and tag not in steering:
            continue
        near = [
            other
            for other, place in sorted(logic.readings.items())
            if trips
            and other != tag
            and letters(logic.switches[other]) not in ("HH", "LL")
            and place.tag == reading.tag
            and reading.at is not None
            and place.at is not None
            and abs(place.at - reading.at) < SAME_PLACE
        ]
        does_both = tag in steering and bool(stops)
        yield Measure(
            subject=(tag, *near, *(stops if does_both else ())),
            value=float(bool(near) or does_both),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{tag} trips from the place where {both(near)} controls: {switch.senses}."
                if near
                else f"{tag} decides where liquid goes and stops {both(stops)} as well, from one sensor."
                if does_both
                else f"{tag} has a sensor of its own."
            ),
            numbers=count(len(near) + len(stops), "n", "other duties of this sensor"),
        )


def out_of_order(case: Case) -> Iterator[Measure]:
    """Hold the set points and limits of each variable against their order."""
    logic = case.once(control)
    rows: dict[tuple[str, str, str], dict[str, list[tuple[float, str]]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for tag, switch in sorted(logic.switches.items()):
        reading, side = logic.readings[tag], letters(switch)
        if side:
            key = (reading.tag, reading.channel, switch.quantity)
            rows[key][side].append((limits(switch)[1], tag))
    for (tag, channel, quantity), values in sorted(rows.items()):
        _add_limits(case, tag, channel, values)
        known = [name for name in ORDER if values.get(name)]
        for low, high in pairwise(known):
            below, above = max(values[low]), min(values[high])
            yield Measure(
                subject=(*(name for name in (above[1], below[1]) if name in logic.switches), tag),
                value=above[0] - below[0],
                limit=0.0,
                quantity=DIFFERENCE_OF.get(quantity, quantity),
                bound="at least",
                strict=True,
                text=(
                    f"{channel.capitalize()} of {tag}: {below[1]} at {shown(below[0], quantity)} must lie "
                    f"below {above[1]} at {shown(above[0], quantity)}."
                ),
                numbers=(
                    Number(symbol=low, value=below[0], quantity=quantity, text=below[1]),
                    Number(symbol=high, value=above[0], quantity=quantity, text=above[1]),
                ),
            )


def _add_limits(case: Case, tag: str, channel: str, values: dict[str, list[tuple[float, str]]]) -> None:
    view = case.views.get(tag)
    if view is None:
        return
    for name, parameters in (("lowest", LOWEST), ("limit", HIGHEST)):
        stated = parameters.get(channel, "")
        if stated and view.declares(stated) and view.has(stated):
            values[name].append((view.number(stated), f"{stated} of {tag}"))
    if channel != "temperature":
        return
    if view.declares("relief_temperature") and view.has("relief_temperature"):
        values["relief"].append((view.number("relief_temperature"), f"relief of {tag}"))
    if view.declares("metal_limit") and view.limit("metal_limit") > 0.0:
        values["limit"].append((view.limit("metal_limit"), f"metal of {tag}"))
    for other in case.views.values():
        if tag in other.refers("vessel") and other.declares("threshold"):
            values["normal"].append((other.number("threshold"), f"threshold of {other.tag}"))


def tags_disagree(case: Case) -> Iterator[Measure]:
    """Look for tags that are given twice, and switches whose letters say something else than they do."""
    loop = case.loop
    all_tags = [item.tag for items in (loop.parts, loop.lines, loop.switches, loop.logic) for item in items]
    twice = sorted(tag for tag, times in Counter(all_tags).items() if times > 1)
    wrong = []
    for switch in sorted(loop.switches, key=lambda switch: switch.tag):
        head, side = switch.tag.partition("-")[0], letters(switch)
        first = FIRST_LETTER.get(switch.quantity)
        if not side or first is None:
            continue
        if head[0] != first or (side[0] == "H") != (switch.sense == "high"):
            wrong.append(switch.tag)
    yield Measure(
        subject=(*twice, *wrong) or tuple(sorted(all_tags)[:1]),
        value=float(len(twice) + len(wrong)),
        limit=0.0,
        quantity="count",
        bound="at most",
        text=(
            " ".join(
                [f"{both(twice)} is given twice."] * bool(twice)
                + [f"{both(wrong)}: the letters say another quantity or side than the switch has."]
                * bool(wrong)
            )
            or f"Each of {len(all_tags)} tags is given once; the letters of switches say what they do."
        ),
        numbers=count(len(all_tags), "n", "tags"),
    )


def conventions(case: Case) -> Iterator[Measure]:
    """Ask whether those who build it read set points as they are meant here."""
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        if switch.quantity != "temperature":
            continue
        breaks, makes = limits(switch)
        side = ("above", "at or below") if switch.sense == "high" else ("below", "at or above")
        yield Measure(
            subject=(switch.tag,),
            value=0.0,
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{switch.tag} makes {side[0]} {degrees(makes)} and breaks {side[1]} {degrees(breaks)}.",
        )


CRITERIA = (
    Criterion(
        code="BW-F28",
        title="Start state contradicts the reading",
        severity="C",
        method="structure",
        judge=start_contradicts,
        formula="the state that a switch begins in cannot hold at the reading that it begins with",
        consequence="In the first minute valves and machines move in an order that nobody has planned.",
        remedy="State for each switch and latch how it begins, to suit what it reads then.",
        lesson="Nothing in a plant may wake up undecided.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F29",
        title="Heating and cooling bands overlap",
        severity="W",
        method="structure",
        judge=bands_overlap,
        formula="T_w > T_c",
        consequence="Each undoes what the other does, and both use power.",
        remedy="Leave a dead band: heating stops well below where cooling begins.",
        lesson="Between the stove and the icebox there must be a silence.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F30",
        title="Heating and cooling at once",
        severity="W",
        method="run",
        judge=both_at_once,
        formula="share of the day with heat > 0 and cooling > 0 above 5 %",
        consequence="Heat is paid for twice, once to bring it and once to take it away.",
        remedy="Interlock the two, or part what needs heat from what needs cold.",
        lesson="One foot on the brake, one on the gas.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F132",
        title="Trip and control share a sensor",
        severity="C",
        method="structure",
        judge=shared_trip,
        formula="a trip reads where a control reads, or one switch decides and stops a machine",
        consequence="The failure that makes the trip necessary takes the trip with it.",
        remedy="Give the trip a sensor, a pocket and a switch of its own.",
        lesson="Do not let the watchman look through the thief's eyes.",
        source="IEC 61511, independence of protection from control (title from memory, verify)",
    ),
    Criterion(
        code="BW-F133",
        title="Set points out of order",
        severity="C",
        method="structure",
        judge=out_of_order,
        formula="not lowest < LL < L < normal < H < HH < relief < limit",
        consequence="A trip comes before its alarm, or after the damage.",
        remedy="Put the set points of each variable into one table, in rising order.",
        lesson="First the warning, then the stop, then the relief, and damage never.",
        source="common practice, no source; letters after ISA-5.1",
    ),
    Criterion(
        code="BW-F134",
        title="Tags that disagree",
        severity="A",
        method="structure",
        judge=tags_disagree,
        formula="a tag is given twice, or the letters of a switch do not suit its quantity and sense",
        consequence="Someone builds, locks or tests the wrong thing.",
        remedy="Give each thing one tag, and each switch the letters of what it does.",
        lesson="A name that fits two things fits neither.",
        source="letters after ISA-5.1 (from memory, verify)",
    ),
    Criterion(
        code="BW-F135",
        title="Conventions of set points",
        severity="W",
        method="question",
        judge=conventions,
        formula="a person reads a set point otherwise than it is meant",
        consequence="Each decision is off by its differential, or by the air pressure.",
        remedy="Print the convention beside each set point.",
        lesson="A number without its convention is half a number.",
        source="common practice, no source",
        question=(
            "Do those who set the switches know that these are the values at which they make and break, that "
            "differentials lie on the making side, and which pressures are absolute and which gauge?"
        ),
    ),
)
