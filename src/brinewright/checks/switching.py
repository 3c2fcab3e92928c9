"""Whether each decision sends all liquid one way and only one."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from brinewright.checks.forks import Fork, drops, forks
from brinewright.checks.graph import Branch, Waterways
from brinewright.checks.signals import Control, Signals, Step, at_rest, control, sweep
from brinewright.checks.words import both, degrees, kelvins
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number

COLDEST, HOTTEST = 250.0, 450.0
"""Range that is swept where a liquid states no limits [K]."""
PASSES = 8
"""Passes that the lattice of a liquid's temperatures is followed for."""


@dataclass(frozen=True)
class Span:
    """What a decision leaves open while all its switches read temperatures in one step."""

    step: Step
    chills: bool
    delivers: bool


def all_swept(case: Case) -> dict[Fork, list[Span]]:
    """Return the sweep of every decision."""
    return {decision: swept(case, decision) for decision in case.once(forks)}


def swept(case: Case, decision: Fork) -> list[Span]:
    """Return what is open at each temperature, rising and falling, all switches reading the same liquid.

    What else has a say stands in every way in which something is open at some temperature.
    """
    logic, rest = case.once(control), at_rest(case)
    own = [replace(switch, senses="") for switch in decision.switches]
    others = {tag for actor in decision.actors for tag in logic.steering(actor)}
    others -= {switch.tag for switch in own}
    steps = sweep(own, extra=_lattice(case))
    found: list[Span] = []
    for rest_of_them in logic.combined(others):
        spans = []
        for step in steps:
            for signals in logic.settled({**rest_of_them, **step.signals}):
                chills, delivers = _open(logic, decision, signals, rest)
                spans.append(Span(step, chills, delivers))
        if any(span.chills or span.delivers for span in spans):
            found += spans
    return found


def _open(logic: Control, decision: Fork, signals: Signals, rest: dict[str, str]) -> tuple[bool, bool]:
    positions = logic.positions(signals, rest)

    def any_open(branches: Iterable[Branch]) -> bool:
        return any(_gates_open(logic.ways, decision, branch, positions) for branch in branches)

    return any_open(decision.chills), any_open(decision.delivers)


def _gates_open(ways: Waterways, decision: Fork, branch: Branch, positions: int) -> bool:
    """Tell whether the decision's own actors leave a branch open; a pump that rests is none of them."""
    return all(
        ways.is_open(number, positions)
        for number in branch.ways
        if ways.ways[number].gate >= 0 and ways.actors[ways.ways[number].gate] in decision.actors
    )


def _lattice(case: Case) -> set[float]:
    """Return the temperatures that stated liquid comes to after whole passes."""
    stated = [begin["temperature"] for begin in case.loop.start.values() if "temperature" in begin]
    begins = [value for value in stated if isinstance(value, float)]
    return {
        begin - passes * drop
        for begin in begins
        for drop in set(case.once(drops).values())
        for passes in range(PASSES)
    }


def liquid_range(case: Case, decision: Fork) -> tuple[float, float]:
    """Return the temperatures over which a decision's liquid is liquid, as far as it states them [K]."""
    liquid = case.views[decision.tag].liquid
    return liquid.freezes or COLDEST, liquid.boils or HOTTEST


def _width(case: Case, decision: Fork, spans: Iterable[Span]) -> tuple[float, float, float]:
    """Return how many kelvin these spans cover, and the lowest and highest of them."""
    bottom, top = liquid_range(case, decision)
    pieces = {
        (max(span.step.low, bottom), min(span.step.high, top))
        for span in spans
        if span.step.high > bottom and span.step.low < top
    }
    pieces = {piece for piece in pieces if piece[1] > piece[0]}
    if not pieces:
        return 0.0, 0.0, 0.0
    return (
        sum(high - low for low, high in pieces),
        min(low for low, _ in pieces),
        max(high for _, high in pieces),
    )


def set_points(decision: Fork) -> tuple[Number, ...]:
    """Return the set points of a decision as numbers to trace."""
    return tuple(
        Number(
            symbol=f"T_{switch.tag}",
            value=switch.setting,
            quantity="temperature",
            text=f"set point; its differential is {kelvins(switch.differential)}",
        )
        for switch in decision.switches
    )


def equality_hole(case: Case) -> Iterator[Measure]:
    """Look for single temperatures at which a decision opens nothing."""
    for decision in case.once(forks):
        holes = sorted(
            {
                span.step.low
                for span in case.once(all_swept)[decision]
                if span.step.low == span.step.high and not span.chills and not span.delivers
            }
        )
        wide = [span for span in case.once(all_swept)[decision] if not span.chills and not span.delivers]
        lone = [value for value in holes if not _inside(value, wide)]
        at = degrees(lone[0]) if lone else ""
        reached = lone and lone[0] in _lattice(case)
        yield Measure(
            subject=decision.subject,
            value=float(len(lone)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"At exactly {at} neither the way to the chillers nor the way past them opens."
                + (" After whole passes liquid of this loop comes to exactly that." if reached else "")
                if lone
                else f"{both(decision.actors)}: at every temperature one way opens."
            ),
            numbers=set_points(decision),
        )


def _inside(value: float, spans: Iterable[Span]) -> bool:
    return any(span.step.low < span.step.high and value in (span.step.low, span.step.high) for span in spans)


def gap(case: Case) -> Iterator[Measure]:
    """Look for a band of temperatures in which a decision opens nothing."""
    for decision in case.once(forks):
        shut = [span for span in case.once(all_swept)[decision] if not span.chills and not span.delivers]
        width, low, high = _width(case, decision, shut)
        yield Measure(
            subject=decision.subject,
            value=width,
            limit=0.0,
            quantity="temperature difference",
            bound="at most",
            text=(
                f"Between {degrees(low)} and {degrees(high)} both ways can be shut: {_settings(decision)}."
                if width > 0.0
                else f"{both(decision.actors)}: no temperature at which both ways are shut."
            ),
            numbers=set_points(decision),
        )


def overlap(case: Case) -> Iterator[Measure]:
    """Look for a band of temperatures in which a decision opens both ways."""
    for decision in case.once(forks):
        double = [span for span in case.once(all_swept)[decision] if span.chills and span.delivers]
        width, low, high = _width(case, decision, double)
        yield Measure(
            subject=decision.subject,
            value=width,
            limit=0.0,
            quantity="temperature difference",
            bound="at most",
            text=(
                f"Between {degrees(low)} and {degrees(high)} both ways can be open: "
                f"warm liquid goes to the consumers unchilled."
                if width > 0.0
                else f"{both(decision.actors)}: no temperature at which both ways are open."
            ),
            numbers=set_points(decision),
        )


def _settings(decision: Fork) -> str:
    return " and ".join(f"{switch.tag} is set to {degrees(switch.setting)}" for switch in decision.switches)


def sensors_apart(case: Case) -> Iterator[Measure]:
    """Hold the differential of two switches that share one decision against what their sensors may err."""
    logic = case.once(control)
    error = case.margin("sensor")
    for decision in case.once(forks):
        switches = decision.switches
        if len({logic.readings[switch.tag] for switch in switches}) < 2 and len(switches) < 2:
            continue
        differential = min(switch.differential for switch in switches)
        yield Measure(
            subject=decision.subject,
            value=differential,
            limit=2.0 * error,
            quantity="temperature difference",
            bound="at least",
            strict=True,
            text=(
                f"{both(switch.tag for switch in switches)} share one decision; their sensors may read "
                f"{kelvins(2.0 * error)} apart."
            ),
            numbers=(
                Number(
                    symbol="d", value=differential, quantity="temperature difference", text="differential"
                ),
                Number(symbol="e", value=error, quantity="temperature difference", text="error of a sensor"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F14",
        title="No way open at one temperature",
        severity="C",
        method="structure",
        judge=equality_hole,
        formula="there is a T at which no way of the decision is open, though ways open on both sides of it",
        consequence="A parcel of exactly that temperature opens nothing and stops what comes behind it.",
        remedy="Let one test hold at equality and the other not, or drive both valves from one switch.",
        lesson="Of two tests that split all temperatures, exactly one must own the boundary.",
        source="closed form: temperature sweep over every set point, rising and falling",
    ),
    Criterion(
        code="BW-F15",
        title="Gap between the set points of one decision",
        severity="C",
        method="structure",
        judge=gap,
        formula="T at which the way to the chillers opens > T at which the way past them shuts",
        consequence="In the band both ways are shut: the pump pushes against them and the return backs up.",
        remedy="Take one sensor and one switch for both valves; drive the second through the same signal.",
        lesson="Two valves that must never be shut together should listen to one voice.",
        source="closed form: temperature sweep over every set point, rising and falling",
    ),
    Criterion(
        code="BW-F16",
        title="Overlap between the set points of one decision",
        severity="W",
        method="structure",
        judge=overlap,
        formula="T at which the way to the chillers opens < T at which the way past them shuts",
        consequence="In the band both ways are open and warm liquid leaks to the consumers.",
        remedy="Take one sensor and one switch for both valves; drive the second through the same signal.",
        lesson="A door that is open on both sides decides nothing.",
        source="closed form: temperature sweep over every set point, rising and falling",
    ),
    Criterion(
        code="BW-F23",
        title="Two sensors for one decision",
        severity="W",
        method="closed form",
        judge=sensors_apart,
        formula="d <= 2 e",
        consequence="As the sensors drift, a gap or an overlap opens that no set point shows.",
        remedy="Let one sensor and one switch steer both valves, or calibrate and widen the differential.",
        lesson="Two thermometers never agree for long.",
        source="common practice, no source",
    ),
)
