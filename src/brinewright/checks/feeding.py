"""Whether what must go on hangs on the same feeder as what may stop; what can be locked off."""

from collections.abc import Iterator

from brinewright.checks.blocked import count
from brinewright.checks.graph import waterways
from brinewright.checks.pipework import parallel
from brinewright.checks.signals import control
from brinewright.checks.words import both
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView


def _feeder(case: Case, view: PartView) -> str:
    """Return the feeder that a part hangs on, "" where it hangs on a bus itself."""
    hung = case.views.get(view.feeder)
    return view.feeder if hung is not None and hung.declared.positions else ""


def essential_on_chillers(case: Case) -> Iterator[Measure]:
    """Look for pumps and essential consumers on the feeders of chillers."""
    by_feeder: dict[str, list[str]] = {}
    for view in case.playing("cooler"):
        if feeder := _feeder(case, view):
            by_feeder.setdefault(feeder, []).append(view.tag)
    essential = [
        *case.playing("mover"),
        *(view for view in case.playing("consumer") if view.flag("essential")),
    ]
    for feeder, chillers in sorted(by_feeder.items()):
        shared = sorted(view.tag for view in essential if view.feeder == feeder)
        yield Measure(
            subject=(feeder, *shared),
            value=float(len(shared)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{both(shared)} hang on {feeder} with {both(chillers)}: if that opens, liquid stands."
                if shared
                else f"Nothing that must go on hangs on {feeder} with {both(chillers)}."
            ),
            numbers=count(len(shared), "n", f"essential loads on {feeder}"),
        )


def common_feeder(case: Case) -> Iterator[Measure]:
    """Look for pumps side by side on one feeder."""
    ways = case.once(waterways)
    for group in parallel(ways):
        tags = sorted(
            {
                ways.ways[number].tag
                for branch in group
                for number in branch.ways
                if ways.role(number) == "mover"
            }
        )
        feeders = {tag: _feeder(case, case.views[tag]) for tag in tags}
        if len(tags) < 2 or not all(feeders.values()):
            continue
        one = len(set(feeders.values())) == 1
        yield Measure(
            subject=(*tags, *sorted(set(feeders.values()))),
            value=float(one),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{both(tags)} stand for each other, and both hang on {feeders[tags[0]]}."
                if one
                else f"{both(tags)} hang on different feeders."
            ),
            numbers=count(len(tags), "n", "pumps side by side"),
        )


def lock_off(case: Case) -> Iterator[Measure]:
    """Ask how each machine is locked off."""
    driven = case.once(control).needs
    hand = sorted(view.tag for view in case.playing("valve") if view.tag not in driven)
    machines = sorted(view.tag for role in ("mover", "cooler", "consumer") for view in case.playing(role))
    if machines:
        yield Measure(
            subject=tuple(machines),
            value=0.0,
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"Hand valves drawn: {', '.join(hand) or 'none'}. Machines: {', '.join(machines)}.",
        )


CRITERIA = (
    Criterion(
        code="BW-F121",
        title="Essential loads on a chiller feeder",
        severity="C",
        method="structure",
        judge=essential_on_chillers,
        formula="a pump or an essential consumer names the feeder of a chiller",
        consequence="A chiller that trips its feeder stops the pumps: liquid stands, freezes or boils.",
        remedy="Give pumps and controls a feeder or bus of their own.",
        lesson="Never hang the rescuer on the rope of the one who falls.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F122",
        title="One feeder for both of a pair",
        severity="W",
        method="structure",
        judge=common_feeder,
        formula="all pumps side by side name one feeder",
        consequence="What stands ready for the other fails with it.",
        remedy="Split them over two feeders.",
        lesson="Two of a kind on one fuse are one.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F126",
        title="No way to lock off a machine",
        severity="S",
        method="question",
        judge=lock_off,
        formula="a machine without valves on both sides, a drain, a vent and a lockable switch",
        consequence="Someone opens what is still under pressure, hot or live.",
        remedy="Draw a pair of lockable valves, a drain and a vent round each machine.",
        lesson="What cannot be locked will be opened while it runs.",
        source="ISO 14118; OSHA 1910.147 (titles from memory, verify)",
        question=(
            "Can each machine be shut off on both sides, locked, drained, vented and proved dead, with every "
            "lock point on the list?"
        ),
    ),
)
