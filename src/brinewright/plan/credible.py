"""Every single credible fault of a loop: from what its kinds, switches and junctions declare."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import combinations

from brinewright.compile import forceable
from brinewright.compile.place import resolve
from brinewright.compile.view import View
from brinewright.errors import BrinewrightError
from brinewright.model.kind import Parameter
from brinewright.model.loop import Force, Logic, Loop, Switch
from brinewright.model.mishap import COLD_START, DRIFTED, GROUPS, PRIORITIES, SWITCH_WRONG, Mishap
from brinewright.model.rulebook import Rulebook
from brinewright.plan.fault import Fault
from brinewright.units import show

DRIFT = 2.0
"""By how much a temperature switch is off after drifting [K]; common practice, no source."""
DRIFTED_SHARE = 0.05
"""By how much any other switch is off, as a share of its set point; common practice, no source."""
WIDE = 1.0
"""A drift is at least so many differentials: less can hardly be told from the switch's own play."""
COOL = 3.0
"""How far a cool refill lies below the lowest set point [K]; common practice, no source."""


def credible_faults(loop: Loop, rules: Rulebook) -> tuple[Fault, ...]:
    """Return every single credible fault of a loop, by group and then by tag.

    A fault is credible if a part declares it, if the loop lets it be put into a run, and if the
    loop that it leads to can still be read.
    """
    views, site = resolve(loop, rules)
    can = forceable(loop, rules)
    found: list[Fault] = []
    for tag in sorted(part.tag for part in loop.parts):
        for mishap in views[tag].declared.mishaps:
            fault = _of_part(loop, views, views[tag], mishap, can)
            if fault is not None:
                found.append(fault)
    for switch in sorted(loop.switches, key=lambda item: item.tag):
        found += _of_switch(switch)
    for element in sorted(loop.logic, key=lambda item: item.tag):
        found += _stays(element)
    found += _ranks(loop)
    found += _cold_start(loop, views, site.get("ambient_temperature", 293.15))
    sound = [fault for fault in found if _can_be(fault, loop, rules)]
    return tuple(sorted(sound, key=lambda fault: (GROUPS.index(fault.group), fault.name)))


def _can_be(fault: Fault, loop: Loop, rules: Rulebook) -> bool:
    """Tell whether the loop that a fault leads to can still be read."""
    try:
        fault.changed(loop, rules)
    except BrinewrightError:
        return False
    return True


def _of_part(
    loop: Loop, views: Mapping[str, View], view: View, mishap: Mishap, can: frozenset[str]
) -> Fault | None:
    first, second = (word if len(word) > 1 else f"at {word}" for word in view.declared.positions or ("", ""))
    words = {"tag": view.tag, "first": first, "second": second}
    name = mishap.name.format(**words)
    text = mishap.text.format(**words)
    forces: tuple[Force, ...] = ()
    changes: dict[str, str] = {}
    if mishap.needs and not (view.declares(mishap.needs) and view.number(mishap.needs) > 0.0):
        return None
    if mishap.one_of_a_bank and view.count > 1:
        changes = _one_fewer(view)
        text = text.replace("One unit of", f"One of the {view.count} units of")
    elif mishap.target:
        value = _value(view, mishap)
        if value is None or f"{view.tag}.{mishap.target}" not in can:
            return None
        forces = (Force(target=f"{view.tag}.{mishap.target}", value=value),)
        if mishap.one_of_a_bank:
            name, text = "stops", text.replace("One unit of ", "")
    else:
        changes = _stated_otherwise(loop, views, view, mishap)
        if not changes:
            return None
    return Fault(
        name=f"{view.tag} {name}",
        group=mishap.group,
        text=text,
        tags=(view.tag,),
        ends=mishap.lasts,
        forces=forces,
        changes=changes,
        from_start=bool(mishap.start or mishap.number),
        often=mishap.often,
    )


def _one_fewer(view: View) -> dict[str, str]:
    """Return the changes that take one unit out of a bank; it stays full of liquid where it stands."""
    changes = {f"{view.tag}.count": str(view.count - 1)}
    law = view.declared.law(view.law)
    for parameter in (*law.parameters, *view.declared.parameters):
        if parameter.name.endswith("hold_up") and view.number(parameter.name) > 0.0:
            held = view.number(parameter.name) * view.count / (view.count - 1)
            changes[f"{view.tag}.{parameter.name}"] = show(held, parameter.quantity)
    return changes


def _value(view: View, mishap: Mishap) -> float | None:
    """Return what is forced; None where the part has no such number, or the mishap would change nothing."""
    if mishap.times <= 0.0 and mishap.more == 0.0:
        return mishap.value
    parameter = mishap.target or mishap.number
    if not view.declares(parameter) or not view.has(parameter):
        return None
    greatest = view.peak(parameter)
    if greatest <= 0.0:
        return None
    return greatest * (mishap.times or 1.0) + mishap.more


def _stated_otherwise(loop: Loop, views: Mapping[str, View], view: View, mishap: Mishap) -> dict[str, str]:
    """Return what of the loop file a mishap states otherwise; nothing where it cannot be."""
    if loop.settled:
        return {}
    if mishap.number:
        value = _value(view, mishap)
        if value is None:
            return {}
        parameter = _parameter(view, mishap.number)
        value = max(value, parameter.low or 0.0)
        return {f"{view.tag}.{mishap.number}": show(value, parameter.quantity)}
    value = mishap.value
    if mishap.cool:
        coolest = min(
            (switch.setting for switch in loop.switches if switch.quantity == "temperature"),
            default=math.nan,
        )
        if math.isnan(coolest) or not _waits_for_a_cooler(loop, views, view.tag):
            return {}
        value = coolest - COOL
    stated = next(item for item in view.declared.start if item.name == mishap.start)
    return {f"start.{view.tag}.{mishap.start}": show(value, stated.quantity)}


def _parameter(view: View, name: str) -> Parameter:
    law = view.declared.law(view.law)
    return next(item for item in (*law.parameters, *view.declared.parameters) if item.name == name)


def _waits_for_a_cooler(loop: Loop, views: Mapping[str, View], tag: str) -> bool:
    """Tell whether liquid from a store meets a cooler before it comes to another store."""
    follows: dict[str, set[str]] = defaultdict(set)
    for line in loop.lines:
        follows[line.start.partition(".")[0]].add(line.end.partition(".")[0])
    seen: set[str] = set()
    ahead = sorted(follows[tag])
    while ahead:
        here = ahead.pop()
        role = views[here].declared.role
        if role == "cooler":
            return True
        if here in seen or role == "store":
            continue
        seen.add(here)
        ahead += sorted(follows[here])
    return False


def _of_switch(switch: Switch) -> Iterator[Fault]:
    tag = switch.tag
    yield from _stays(switch)
    yield Fault(
        name=f"{tag} frozen",
        group=SWITCH_WRONG,
        text=f"{tag} goes on reading what it reads at that moment.",
        tags=(tag,),
        holds=(f"{tag}.reading",),
    )
    other = "low" if switch.sense == "high" else "high"
    yield Fault(
        name=f"{tag} inverted",
        group=SWITCH_WRONG,
        text=f"{tag} is built in as a {other} switch: it makes when it should break.",
        tags=(tag,),
        changes={f"{tag}.sense": other},
    )
    drift = max(DRIFT if switch.quantity == "temperature" else DRIFTED_SHARE * abs(switch.setting),
                WIDE * switch.differential)  # fmt: skip
    for word, amount in (("up", drift), ("down", -drift)):
        value = switch.setting + amount
        told = show(value, switch.quantity, digits=4)
        yield Fault(
            name=f"{tag} set point drifted {word}",
            group=DRIFTED,
            text=f"The set point of {tag} has drifted {word} to {told}.",
            tags=(tag,),
            forces=(Force(target=f"{tag}.set", value=value),),
            often="common",
        )


def _stays(signal: Switch | Logic) -> Iterator[Fault]:
    high = isinstance(signal, Switch) and signal.sense == "high"
    for word, value in (("made", 1.0), ("broken", 0.0)):
        why = ""
        if isinstance(signal, Switch):
            why = " as if it read high" if high == (word == "made") else " as if it read low"
        yield Fault(
            name=f"{signal.tag} stays {word}",
            group=SWITCH_WRONG,
            text=f"{signal.tag} stays {word}{why}.",
            tags=(signal.tag,),
            forces=(Force(target=signal.tag, value=value),),
        )


def _ranks(loop: Loop) -> Iterator[Fault]:
    """Exchange the claims of two lines that enter the same junction with different ranks."""
    into: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for line in sorted(loop.lines, key=lambda line: line.tag):
        if line.rank > 0:
            into[line.end.partition(".")[0]].append((line.rank, line.tag))
    for junction, claims in sorted(into.items()):
        for (rank, tag), (other_rank, other) in combinations(sorted(claims), 2):
            if rank != other_rank:
                yield Fault(
                    name=f"{junction} {tag} behind {other}",
                    group=PRIORITIES,
                    text=f"At {junction} {other} goes before {tag}: their priorities are exchanged.",
                    tags=(junction, tag, other),
                    changes={f"{tag}.rank": str(other_rank), f"{other}.rank": str(rank)},
                )


def _cold_start(loop: Loop, views: Mapping[str, View], ambient: object) -> Iterator[Fault]:
    """Start the plant with everything as warm as what surrounds it, and nothing running."""
    if loop.settled or not loop.start:
        return
    around = ambient
    if isinstance(ambient, str):
        around = next(item.values[0] for item in loop.schedules if item.name == ambient)
    if not isinstance(around, int | float):
        return
    changes = {}
    for tag, stated in sorted(loop.start.items()):
        for parameter in views[tag].declared.start:
            if parameter.name in stated and parameter.quantity == "temperature":
                changes[f"start.{tag}.{parameter.name}"] = show(float(around), "temperature")
            elif parameter.name in stated and parameter.quantity == "flag":
                changes[f"start.{tag}.{parameter.name}"] = "false"
    told = show(float(around), "temperature", digits=4)
    yield Fault(
        name="cold start",
        group=COLD_START,
        text=f"The plant is started from cold: everything is at {told}.",
        tags=tuple(sorted(loop.start)),
        changes=changes,
        from_start=True,
        often="common",
    )
