"""The switches of a loop that decide what is chilled."""

from collections.abc import Sequence
from dataclasses import dataclass

from brinewright.model.case import Case
from brinewright.model.loop import Drive, Logic, Switch
from brinewright.model.part_view import PartView


@dataclass(frozen=True)
class Decision:
    """A switch that sends liquid round again, or starts a chiller, above a set point."""

    tag: str
    setting: float
    """[K]"""
    differential: float
    """[K]"""
    lag: float
    """[s]"""
    after_chillers: bool
    """Whether it senses liquid that comes straight from a chiller."""


def pass_decisions(case: Case, chillers: Sequence[PartView]) -> tuple[Decision, ...]:
    """Return the high switches on this liquid's temperature that decide what is chilled, in order of tags."""
    consumers = {view.tag for view in case.playing("consumer")}
    liquid = chillers[0].filling().name
    fresh = _straight_from(case, {view.tag for view in chillers})
    wet = {line.tag for line in case.lines}
    found = []
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        sensed = sensed_tag(switch)
        view = case.views.get(sensed)
        if switch.quantity != "temperature" or switch.sense != "high" or view is None:
            continue
        is_wet = sensed in wet or bool(case.into(sensed))
        if not is_wet or view.filling().name != liquid or not (targets(case, switch) - consumers):
            continue
        found.append(Decision(switch.tag, switch.setting, switch.differential, switch.lag, sensed in fresh))
    return tuple(found)


def sensed_tag(switch: Switch) -> str:
    """Return the tag of the part or line that a switch senses.

    Example
    -------
    >>> sensed_tag(Switch(tag="TSH-1", sense="high", senses="L-104 at 8 m", setting=295.0))
    'L-104'
    """
    return switch.senses.split(" ")[0]


def targets(case: Case, switch: Switch) -> set[str]:
    """Return the tags of what a switch drives, by logic too."""
    found = {drive.target for drive in switch.drives}
    reached, waiting = {switch.tag}, [switch.tag]
    while waiting:
        tag = waiting.pop()
        for logic in case.loop.logic:
            if logic.tag not in reached and tag in (*logic.inputs, *logic.resets):
                reached.add(logic.tag)
                waiting.append(logic.tag)
                found.update(drive.target for drive in logic.drives)
    return found


def _straight_from(case: Case, chillers: set[str]) -> set[str]:
    """Return the tags that liquid passes between a chiller and the next part that stores or joins."""
    found: set[str] = set()
    waiting = list(chillers)
    while waiting:
        for line in case.out_of(waiting.pop(), "out"):
            found.add(line.tag)
            tag = line.end.partition(".")[0]
            goes_on = len(case.out_of(tag)) == 1 == len(case.into(tag)) and not case.views[tag].gives("level")
            if tag not in found and goes_on:
                found.add(tag)
                waiting.append(tag)
    return found


def drives(case: Case) -> list[Drive]:
    """Return everything that switches and logic drive."""
    deciding: list[Switch | Logic] = [*case.loop.switches, *case.loop.logic]
    return [drive for item in deciding for drive in item.drives]
