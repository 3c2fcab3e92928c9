"""Whether what switches command works against what they read, and never with it."""

from collections.abc import Iterator

from brinewright.checks.finding import shown
from brinewright.checks.forks import Fork, forks, leads_to
from brinewright.checks.graph import Waterways, waterways
from brinewright.checks.signals import control
from brinewright.checks.switching import all_swept, set_points
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.loop import Switch
from brinewright.model.part_view import PartView

RISE = {"high": "rise", "low": "fall"}
"""When a switch of each sense makes."""
SENSED = ("temperature", "pressure")
"""Quantities that heat raises."""
COLD, HOT = -1e9, 1e9
"""Readings beyond every set point."""


def inverted(case: Case) -> Iterator[Measure]:
    """Hold each decision, then each machine that a switch runs, against its purpose."""
    for decision in case.once(forks):
        yield _decision(case, decision)
    yield from _machines(case)


def _decision(case: Case, decision: Fork) -> Measure:
    spans = case.once(all_swept)[decision]
    cold = [span for span in spans if span.step.low == float("-inf")]
    warm = [span for span in spans if span.step.high == float("inf")]
    chills_cold = any(s.chills for s in cold) and not any(s.chills for s in warm)
    delivers_warm = any(s.delivers for s in warm) and not any(s.delivers for s in cold)
    senses = ", ".join(f"{switch.tag} makes on {RISE[switch.sense]}" for switch in decision.switches)
    at = shown(decision.settings[0], "temperature")
    told = [f"liquid colder than {at} goes to the chillers"] if chills_cold else []
    told += [f"liquid warmer than {at} goes past the chillers"] if delivers_warm else []
    return Measure(
        subject=decision.subject,
        value=float(bool(told)),
        limit=0.0,
        quantity="count",
        bound="at most",
        text=(
            f"{senses}: {' and '.join(told)}."
            if told
            else f"{' and '.join(decision.actors)}: warm liquid goes to the chillers, cold liquid past them."
        ),
        numbers=set_points(decision),
    )


def acts_on(case: Case, view: PartView, switch: Switch) -> int:
    """Return -1 if a part cools what a switch reads while it runs, 1 if it warms it, 0 if neither is sure."""
    ways, reading = case.once(waterways), case.once(control).readings[switch.tag]
    if switch.quantity not in SENSED:
        return 0
    role = view.declared.role
    if reading.tag in (*view.refers("into"), *((view.inside,) if role == "cooler" else ())):
        return 1
    if reading.tag in (*view.refers("vessel"), *view.refers("cools")):
        return -1
    if role == "consumer":
        return -1 if reading.tag == view.tag else 0
    in_liquid = reading.tag in ways.by_tag or reading.tag in ways.stores.values()
    if not in_liquid or switch.quantity != "temperature" or role not in ("cooler", "mover"):
        return 0
    if view.filling().name != case.views[reading.tag].filling().name:
        return 0
    if role == "cooler":
        return -1
    leads = {leads_to(ways, branch) for branch in ways.branches if _holds(ways, branch.ways, view.tag)}
    return -1 if leads == {"cooler"} else 0


def _holds(ways: Waterways, numbers: tuple[int, ...], tag: str) -> bool:
    return any(ways.ways[number].tag == tag for number in numbers)


def _machines(case: Case) -> Iterator[Measure]:
    logic = case.once(control)
    decided = {actor for decision in case.once(forks) for actor in decision.actors}
    for actor in sorted(set(logic.needs) - decided):
        view = case.views[actor]
        words = view.declared.positions
        if words is None:
            continue
        for tag in sorted(logic.steering(actor)):
            switch = logic.switches[tag]
            effect = acts_on(case, view, switch)
            if effect == 0:
                continue
            on = {value: _runs(case, actor, words, tag, value) for value in (COLD, HOT)}
            wrong_at, right_at = (COLD, HOT) if effect < 0 else (HOT, COLD)
            wrong = on[wrong_at] and not on[right_at]
            does = "cools" if effect < 0 else "warms"
            side = "below" if effect < 0 else "above"
            at = shown(switch.setting, switch.quantity)
            yield Measure(
                subject=(tag, actor),
                value=float(wrong),
                limit=0.0,
                quantity="count",
                bound="at most",
                text=(
                    f"{actor} {does} what {tag} reads ({switch.senses}), and runs only while that is "
                    f"{side} {at}."
                    if wrong
                    else f"{actor} {does} what {tag} reads, and works against it."
                ),
                numbers=(Number(symbol="T_set", value=switch.setting, quantity=switch.quantity, text=tag),),
            )


def _runs(case: Case, actor: str, words: tuple[str, str], tag: str, value: float) -> bool:
    """Tell whether a part can be in its first position while a reading is far on one side."""
    logic = case.once(control)
    made = (logic.switches[tag].sense == "high") == (value > 0.0)
    others = logic.steering(actor) - {tag}
    return any(
        logic.drives_to(actor, signals, words, words[0]) == words[0]
        for rest in logic.combined(others)
        for signals in logic.settled({**rest, tag: made})
    )


CRITERIA = (
    Criterion(
        code="BW-F17",
        title="High and low exchanged",
        severity="C",
        method="structure",
        judge=inverted,
        formula="the way to the chillers opens when T < T_set, or the way past them when T > T_set",
        consequence="Cold liquid is cooled again until it freezes, and warm liquid is delivered.",
        remedy="Exchange high and low, or made and broken; prove it by the truth table.",
        lesson="Ask of every switch what happens when it gets hotter; the answer must be: it gets colder.",
        source="common practice, no source; closed form: temperature sweep",
    ),
)
