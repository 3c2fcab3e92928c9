"""How evenly what runs side by side shares its flow, and what leaks past shut valves."""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

SPREAD = 0.10
LEAK = 0.05


def coolers_apart(case: Case) -> Iterable[Measure]:
    """Hold the flows of like machines side by side against each other."""
    alike: dict[tuple[str, str], list[PartView]] = defaultdict(list)
    made = {part.tag: part.use for part in case.loop.parts}
    for view in case.playing("cooler"):
        if view.pressure_driven and view.connected("in"):
            alike[(made[view.tag], view.filling().name)].append(view)
    for views in alike.values():
        flows = {view.tag: seen.max / view.count for view in views if (seen := case.seen(view.tag, "flow"))}
        if len(flows) < 2 or min(flows.values()) <= 0.0:
            continue
        least, most = min(flows, key=lambda t: flows[t]), max(flows, key=lambda t: flows[t])
        mean = sum(flows.values()) / len(flows)
        yield Measure(
            subject=(least, most),
            value=(flows[most] - flows[least]) / mean,
            limit=SPREAD,
            quantity="ratio",
            bound="at most",
            text=f"At their largest, {flows[most]:.3g} kg/s pass {most} and {flows[least]:.3g} kg/s pass "
            f"{least}, which is built alike.",
            numbers=tuple(
                Number(symbol=f"q {tag}", value=flow, quantity="mass flow", text="largest of the run")
                for tag, flow in sorted(flows.items())
            ),
        )


def branches_apart(case: Case) -> Iterable[Measure]:
    """Hold the flows of consumers, as shares of their rated ones, against each other."""
    groups: dict[str, list[PartView]] = defaultdict(list)
    for view in case.playing("consumer"):
        if view.pressure_driven and view.connected("in") and view.has("rated_flow"):
            groups[view.filling().name].append(view)
    for views in groups.values():
        if len(views) < 2:
            continue
        rows = np.array([case.trace(view.tag, "flow")[1] / (view.number("rated_flow") * view.count)
                         for view in views])  # fmt: skip
        together = rows[:, (rows > 0.0).all(axis=0)]
        if together.shape[1] == 0:
            continue
        shares = together.mean(axis=1)
        mean = float(shares.mean())
        worst = int(np.abs(shares / mean - 1.0).argmax())
        yield Measure(
            subject=(views[worst].tag,),
            value=abs(float(shares[worst]) / mean - 1.0),
            limit=SPREAD,
            quantity="ratio",
            bound="at most",
            text=f"While all consumers run, {views[worst].tag} gets {float(shares[worst]):.2f} of its rated "
            f"flow and all of them {mean:.2f} on average.",
            numbers=tuple(
                Number(
                    symbol=f"q/q_r {view.tag}",
                    value=float(share),
                    quantity="number",
                    text="mean while all run",
                )
                for view, share in zip(views, shares, strict=True)
            ),
        )


def leaks_past(case: Case) -> Iterable[Measure]:
    """Hold what passes each shut valve against the flow that does the work."""
    for view in case.playing("valve"):
        if not view.declares("leak"):
            continue
        leak = view.number("leak")
        yield Measure(
            subject=(view.tag,),
            value=leak,
            limit=LEAK,
            quantity="ratio",
            bound="at most",
            text=f"Shut, {view.tag} lets {show(leak, 'ratio', digits=3)} of its open flow pass.",
            numbers=(
                Number(symbol="leak", value=leak, quantity="ratio", text=f"of {view.tag}, stated or default"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F42",
        title="Machines side by side share unevenly",
        severity="W",
        method="run",
        world="real",
        judge=coolers_apart,
        formula="(q_most - q_least) / q_mean > 10 %",
        consequence="The one with little flow gets close to freezing, the other does little.",
        remedy="Lay both ways equally long, or throttle the easy one.",
        lesson="Liquid is lazy: it takes the short way, and the machine on the long one starves.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F107",
        title="Branches out of balance",
        severity="W",
        method="run",
        world="real",
        judge=branches_apart,
        formula="one branch's q / q_rated is off the mean of all by more than 10 %",
        consequence="One room stays warm while another takes what it does not need.",
        remedy="Balance with a throttle in the branches that get too much.",
        lesson="Opening one tap takes from all others: set them against each other, not one by one.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F114",
        title="Shut valve that leaks",
        severity="W",
        method="closed form",
        judge=leaks_past,
        formula="leak > 5 % of the open flow",
        consequence="Warm liquid reaches the consumers, and no one sees from where.",
        remedy="A valve of a tighter class; feel the pipe on both sides.",
        lesson="If the supply is warm and all valves are shut, put a hand on the pipe behind them.",
        source="common practice, no source; leak classes in ISO 5208",
    ),
)
