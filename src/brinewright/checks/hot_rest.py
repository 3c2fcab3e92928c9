"""Liquid that stands beside a hot vessel once its pump has tripped."""

from collections.abc import Iterable

from brinewright.checks.cold import boiling_point
from brinewright.checks.numbers import degrees, known
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure


def standing_beside_heat(case: Case) -> Iterable[Measure]:
    """Hold what is led through a vessel, and takes its heat through its own wall, against boiling."""
    ambient = case.site("ambient_pressure")
    for line in case.lines:
        place = line.sited.inside if line.sited else ""
        hottest = case.seen(place, "temperature") if place else None
        if hottest is None or not case.views[place].gives("pressure"):
            continue  # only a vessel holds steam
        boils = boiling_point(case.views[line.tag].liquid, ambient)
        if boils <= 0.0:
            continue
        yield Measure(
            subject=(line.tag, place),
            value=hottest.max,
            limit=boils - case.margin("boil"),
            quantity="temperature",
            bound="at most",
            text=f"When its pump trips, what stands in {line.tag} comes to the {degrees(hottest.max)} of "
            f"{place}; it boils at {degrees(boils)}.",
            numbers=(
                known("T_v", hottest.max, "temperature", f"hottest of {place} in the shared run"),
                known("p_amb", ambient, "pressure", "of the site"),
                known("T_boil", boils, "temperature"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F06",
        title="Standing liquid boils beside the vessel",
        severity="S",
        method="run",
        judge=standing_beside_heat,
        formula="T_v > T_boil(p_amb) - margin where a line is led through a vessel",
        consequence="Steam throws the liquid out of the line, and burns whoever stands at its end.",
        remedy="Lead the line round the vessel, insulate it with a gap, or let it drain back and relieve it.",
        lesson="Flow is what keeps a line near the fire cool; ask what it does when the pump has stopped.",
        source="closed form: what stands takes the temperature of what surrounds it",
    ),
)
