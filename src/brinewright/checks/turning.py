"""Whether turbines start and stop in peace, and whether casings have a gas that carries their heat."""

from collections.abc import Iterable

from brinewright.checks.numbers import degrees, known, lasting
from brinewright.checks.steam import all_vessels
from brinewright.checks.timeline import DAY
from brinewright.checks.vessels import saturated
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure

BRIGHT = 0.3
"""Emissivity below which a casing hardly radiates [-]."""


def starts_too_often(case: Case) -> Iterable[Measure]:
    """Hold the mean time between starts of each turbine against the shortest allowed."""
    for vessel in all_vessels(case):
        for view in vessel.turbines:
            starts = case.changes(f"{view.tag}.threshold") // 2
            period = DAY / starts if starts > 0.0 else float("inf")
            often = f"is started every {lasting(period)}" if starts else "is never started anew"
            yield Measure(
                subject=(view.tag, vessel.tag),
                value=period,
                limit=case.margin("turbine_period"),
                quantity="time",
                bound="at least",
                text=f"In the shared day {view.tag} {often}.",
                numbers=(known("n", float(starts), "number", "starts within the day"),),
            )


def runs_below_threshold(case: Case) -> Iterable[Measure]:
    """Hold the vessel at the start against where turbines that run at the start would stop."""
    for vessel in all_vessels(case):
        begin = vessel.view.start("temperature")
        for view in vessel.turbines:
            if not view.start("running"):
                continue
            if view.declares("stop_pressure"):
                stops = saturated(view.number("stop_pressure"))
            else:
                stops = view.number("threshold") - view.number("differential")
            yield Measure(
                subject=(view.tag, vessel.tag),
                value=begin,
                limit=stops,
                quantity="temperature",
                bound="at least",
                text=f"{view.tag} runs at the start, with {vessel.tag} at {degrees(begin)}; below "
                f"{degrees(stops)} it gives no power.",
                numbers=(
                    known("T_0", begin, "temperature", "of the vessel at the start"),
                    known("T_stop", stops, "temperature", "at which the turbine stops"),
                ),
            )


def empty_of_gas(case: Case) -> Iterable[Measure]:
    """Look for casings in a vacuum that can't radiate and have no jacket."""
    for view in case.parts:
        if not view.declares("gas") or not view.refers("around"):
            continue
        inside = view.refers("around")[0]
        machine = case.views[inside]
        bright = not view.declares("casing_emissivity") or view.number("casing_emissivity") < BRIGHT
        jacketed = machine.declares("jacket_conductance") and machine.connected("in")
        jacketed = jacketed and machine.number("jacket_conductance") > 0.0
        shut_in = view.word("gas") == "vacuum" and bright and not jacketed
        yield Measure(
            subject=(view.tag, inside),
            value=float(shut_in),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{view.tag} holds {view.word('gas')} around {inside}"
            f"{', which has no jacket' if not jacketed else ''}.",
        )


def gas_without_cooler(case: Case) -> Iterable[Measure]:
    """Look for enclosures whose shell gives its heat to nothing."""
    for view in case.parts:
        if not view.declares("shell_conductance"):
            continue
        cooled = view.connected("in") and view.number("cooler_conductance") > 0.0
        stuck = view.number("shell_conductance") <= 0.0 and not cooled
        yield Measure(
            subject=(view.tag, *view.refers("around")),
            value=float(stuck),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"The shell of {view.tag} gives {'nothing to anything' if stuck else 'its heat away'}.",
        )


CRITERIA = (
    Criterion(
        code="BW-F65",
        title="Turbine starts too often",
        severity="W",
        method="run",
        judge=starts_too_often,
        formula="86400 s / n < shortest time from start to start",
        consequence="Each start bends and heats the same metal; it tires.",
        remedy="Widen the differential of the threshold, add water, or run fewer turbines.",
        lesson="A turbine that nibbles at the threshold wears out before one that works all day.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F73",
        title="Casing shut into a vacuum",
        severity="C",
        method="structure",
        judge=empty_of_gas,
        formula="no gas, emissivity < 0.3 and no jacket",
        consequence="Only radiation is left, and bright metal hardly radiates: the casing glows or melts.",
        remedy="Fill the enclosure with gas, paint the casing dark, or give it a jacket.",
        lesson="A flask keeps tea warm with nothing but nothing around it.",
        source="closed form: radiation between two surfaces",
    ),
    Criterion(
        code="BW-F75",
        title="Enclosure without a cooler",
        severity="C",
        method="structure",
        judge=gas_without_cooler,
        formula="no conductance from the shell to anything",
        consequence="The gas gets as hot as the casing, and then carries nothing.",
        remedy="Lead coolant through a cooler in the shell, or let the shell shed to a sink.",
        lesson="Gas only carries heat to the next wall; something must take it from there.",
        source="closed form: balance of the shell",
    ),
    Criterion(
        code="BW-F124",
        title="Turbine counted before it can run",
        severity="C",
        method="structure",
        judge=runs_below_threshold,
        formula="a turbine runs at the start with T_0 < T_stop",
        consequence="The plan counts on power that is not there, and the start fails.",
        remedy="Start with the turbine at rest, and bring power for the warm-up from elsewhere.",
        lesson="First heat, then power: the order can't be bought off.",
        source="common practice, no source",
    ),
)
