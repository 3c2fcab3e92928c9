"""The procedure: each step with what it moves and how full each store is after it, and the way back."""

from collections.abc import Iterable, Mapping, Sequence

from brinewright.plan.drainage import Aid, Cooling, Lock, Meanwhile, Outlet, Step
from brinewright.plan.outage import stopped
from brinewright.plan.outflow import Outflow
from brinewright.plan.pipework import LITRES, Pipework
from brinewright.plan.rooms import Balance
from brinewright.plan.section import Section

FILLED_WITHIN = 0.05
"""How far the volume filled may be from what was expected [1]; common practice, no source."""


class _Tally:
    """Steps as they are written, with the level of each store."""

    def __init__(self, pipes: Pipework, levels: Mapping[str, float]) -> None:
        self.pipes = pipes
        self.levels = dict(levels)
        self.steps: list[Step] = []

    def say(self, text: str) -> None:
        self.steps.append(Step(number=len(self.steps) + 1, text=text))

    def move(self, text: str, litres: float, changes: Mapping[str, float]) -> None:
        for store, change in changes.items():
            if store in self.levels:
                self.levels[store] += change / (LITRES * self.pipes.views[store].number("volume"))
        self.steps.append(
            Step(number=len(self.steps) + 1, text=text, litres=litres, levels=dict(self.levels))
        )


def procedure(
    pipes: Pipework,
    section: Section,
    account: Outflow,
    balance: Balance,
    locks: Sequence[Lock],
    cooling: Sequence[Cooling],
    consumers: Sequence[Meanwhile],
    helpful: Sequence[Aid],
) -> tuple[Step, ...]:
    """Return the steps from the permit to the opened section, in the order of trade practice."""
    tally = _Tally(pipes, {room.store: room.level_now for room in balance.rooms})
    tally.say(
        f"Write the permit and mark the section on the drawing: {', '.join(section.asked)}"
        + (f", and with it {', '.join(section.beyond)}" if section.beyond else "")
        + ". "
        + _affected(consumers)
    )
    tally.say(
        f"Hold the sum against the tanks: {balance.hold_up:.0f} l stand in the section, "
        f"{balance.needed:.0f} l must be free with reserve, {balance.free:.0f} l are."
    )
    machines = stopped(pipes, section)
    movers = [tag for tag in machines if pipes.is_mover(tag)]
    heated = [tag for tag in machines if tag not in movers]
    if heated:
        tally.say(f"Stop {_listed(heated)}. Leave every pump running until liquid and metal are cool.")
    for one in cooling:
        if one.after is None or one.after > 0.0:
            tally.say(_until_cool(one))
    if helpful:
        best = helpful[0]
        lasts = "not at all" if best.holds is None else f"after {span(best.holds)}"
        tally.say(
            f"Hold {best.tag} at {best.position} by hand while the section is shut off: the first "
            "consumer then "
            f"leaves its limits {lasts}, instead of after {span(best.instead_of)}."
        )
    if movers:
        tally.say(f"Stop {_listed(movers)}.")
    for transfer in balance.transfers:
        tally.move(
            f"Pump {transfer.litres:.0f} l from {transfer.source} to {transfer.target}, to make room.",
            transfer.litres,
            {transfer.source: -transfer.litres, transfer.target: transfer.litres},
        )
    vents = [tag for tag in account.vents if pipes.is_vent(tag)]
    tally.say(
        f"Open {_listed(vents)} before the last valve is shut, so that nothing is locked in full."
        if vents
        else "Give the section air before the last valve is shut: it has no vent point."
    )
    for lock in locks:
        tally.say(f"{lock.tag}: {lock.state}. Prove it: {lock.proofs[0]}; {lock.proofs[1]}.")
    for outlet in sorted(account.outlets, key=lambda one: (one.means != "gravity", -one.height, one.tag)):
        tally.move(_let_out(outlet), outlet.litres, {outlet.into: outlet.litres})
    for pocket in account.pockets:
        tally.say(
            f"{pocket.litres:.0f} l stay in {_listed(pocket.tags)}, lowest at {pocket.at}: draw "
            "them off by hand "
            "before it is opened there."
        )
    drained = sum(outlet.litres for outlet in account.outlets)
    tally.say(
        f"Hold what came out against {drained:.0f} l. Litres that are missing stand in a pocket: "
        "find it first."
        if account.relief.is_known
        else (
            f"Let the {balance.hold_up:.0f} l out; no heights are stated, so it is not known what runs "
            "by itself."
        )
    )
    tally.say("Work. Cap every open end.")
    return tuple(tally.steps)


def way_back(
    pipes: Pipework, section: Section, account: Outflow, balance: Balance, locks: Sequence[Lock],
    retest: Sequence[str],
) -> tuple[Step, ...]:  # fmt: skip
    """Return the steps from the finished work back to a running plant."""
    tally = _Tally(pipes, {room.store: room.level_after for room in balance.rooms})
    drained = sum(outlet.litres for outlet in account.outlets) or balance.hold_up
    heights = account.relief.heights
    ways = sorted(account.outlets, key=lambda one: one.height)
    tally.say("Close what was opened, look over every joint, and test for leaks with liquid, never with gas.")
    taken: dict[str, float] = {}
    for outlet in account.outlets:
        taken[outlet.into] = taken.get(outlet.into, 0.0) - outlet.litres
    low = f"from {ways[0].tag}, the lowest point, " if ways else "from the lowest point "
    tally.move(
        f"Fill {low}slowly: about {drained:.0f} l from {_listed(sorted(taken)) or 'the tanks'}.",
        drained,
        taken,
    )
    points = [tag for tag in account.vents if pipes.is_vent(tag)]
    vents = sorted(points, key=lambda tag: heights.get(account.relief.places.get(tag, ""), 0.0))
    if vents:
        tally.say(
            f"Let the air out on the way up, and shut each when liquid comes without air: {_listed(vents)}."
        )
    for pocket in account.unvented:
        tally.say(f"Air stays at {pocket.at}, {pocket.litres:.0f} l of it: {pocket.remedy}")
    low_end, high_end = (1.0 - FILLED_WITHIN) * drained, (1.0 + FILLED_WITHIN) * drained
    tally.say(
        f"Between {low_end:.0f} and {high_end:.0f} l should have gone in. Less is air that stays, "
        "more is a leak "
        "or a valve that passes. Take a sample of the liquid."
    )
    for lock in reversed(locks):
        tally.say(f"Take the lock off {lock.tag}, by the one who set it.")
    valves = [one.tag for one in section.isolations if one.position]
    if valves:
        tally.say(
            f"Bring back to where they stood: {_listed(valves)}. Tick each off on the list of positions."
        )
    if retest:
        tally.say(
            f"Test the truth table of {_listed(retest)} again: inject a temperature above and below "
            "each set point, "
            "at it, and after a loss of power."
        )
    tally.say(
        "Start pumps, then machines. Watch the levels for an hour, and write the change into the loop file."
    )
    return tuple(tally.steps)


def retested(pipes: Pipework, section: Section, halted: Iterable[str]) -> tuple[str, ...]:
    """Return the switches that read or drive anything in the section or on its boundary."""
    touched = {*section.lines, *section.parts, *section.stores, *halted}
    touched |= {one.tag for one in section.isolations}
    return tuple(
        switch.tag
        for switch in pipes.loop.switches
        if switch.senses.partition(" ")[0] in touched
        or any(drive.target in touched for drive in switch.drives)
    )


def _affected(consumers: Sequence[Meanwhile]) -> str:
    gone = [one for one in consumers if one.holds is not None]
    if not gone:
        return "Every consumer stays within its limits meanwhile."
    first = gone[0]
    assert first.holds is not None
    return (
        f"{first.tag} leaves its limits after {span(first.holds)}: bring other cooling to "
        f"{_listed([one.tag for one in gone])}."
    )


def _until_cool(one: Cooling) -> str:
    limit = f"{one.limit - 273.15:.0f} degC"
    if one.after is None:
        return (
            f"Cool the {one.what} {one.tag} below {limit} by other means: it does not come there by itself."
        )
    return f"Wait until the {one.what} {one.tag} is below {limit}: about {span(one.after)}."


def _let_out(outlet: Outlet) -> str:
    took = f", {span(outlet.least_time)} at best" if outlet.least_time is not None else ""
    if outlet.means == "gravity":
        return (
            f"Let {outlet.litres:.0f} l run out at {outlet.tag} ({outlet.height:g} m) into "
            f"{outlet.into}{took}."
        )
    return f"Pump {outlet.litres:.0f} l from {outlet.tag} ({outlet.height:g} m) up into {outlet.into}{took}."


def _listed(tags: Sequence[str]) -> str:
    return ", ".join(tags)


def span(seconds: float) -> str:
    """Return a time span for people.

    >>> span(50.0), span(900.0), span(7000.0), span(400000.0)
    ('50 s', '15 min', '1.9 h', '4.6 days')
    """
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    if seconds < 5400.0:
        return f"{seconds / 60.0:.0f} min"
    if seconds < 2 * 86400.0:
        return f"{seconds / 3600.0:.1f} h"
    return f"{seconds / 86400.0:.1f} days"
