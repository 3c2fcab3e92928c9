"""Faults of where a chiller stands, and of what proves its flow."""

from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number

LEAST_PROOF = 0.03
"""Least flow that is proved, as a share of the full flow; common practice, no source."""


def no_proof(case: Case) -> Iterable[Measure]:
    """Hold the flow at which each chiller is let run against its full flow."""
    for chiller in case.of_kind("chiller"):
        names = [n for n in ("rated_flow", "capacity") if chiller.declares(n) and chiller.has(n)]
        if not names:
            continue
        full, proof = chiller.number(names[0]), chiller.number("flow_proof")
        yield Measure(
            subject=(chiller.tag,),
            value=proof / full,
            limit=LEAST_PROOF,
            quantity="ratio",
            bound="at least",
            text=f"{chiller.tag} is let run from {proof:.3g} kg/s on; its full flow is {full:.3g} kg/s.",
            numbers=(
                Number(symbol="q_min", value=proof, quantity="mass flow", text="flow that is proved"),
                Number(symbol="q", value=full, quantity="mass flow", text=names[0].replace("_", " ")),
            ),
        )


def heat_not_located(case: Case) -> Iterable[Measure]:
    """Look at what each chiller stands in, for that takes its heat."""
    cooled = {view.tag for view in case.playing("consumer")}
    for chiller in case.of_kind("chiller"):
        wrong = not chiller.inside or chiller.inside in cooled
        where = f"in {chiller.inside}" if chiller.inside else "free in the hall"
        yield Measure(
            subject=(chiller.tag, *((chiller.inside,) if chiller.inside else ())),
            value=float(wrong),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{chiller.tag} stands {where}, which {'does not carry' if wrong else 'takes'} its heat.",
            numbers=(
                Number(
                    symbol="n", value=float(wrong), quantity="count", text="chillers without a place for heat"
                ),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F32",
        title="Chiller without flow proof",
        severity="C",
        method="structure",
        judge=no_proof,
        formula="q_min / q < 3 %",
        consequence="It runs on liquid that hardly moves, and freezes it.",
        remedy="Set the flow proof to a flow that the chiller can bear.",
        lesson="No flow, no chill: let the machine ask before it starts.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F40",
        title="Reject heat has no place",
        severity="C",
        method="structure",
        judge=heat_not_located,
        formula="the chiller stands in nothing that carries its heat away, or in what the loop cools",
        consequence="Its heat stays in the hall or comes back into the loop.",
        remedy="Site it in the vessel, or beside a sink.",
        lesson="A chiller moves heat from one place to another: name the other place.",
        source="common practice, no source; closed form: first law",
    ),
)
