"""The faults that only a chiller can have: too little flow, one behind another, no rest between starts."""

from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show


def _degrees(temperature: float) -> str:
    return show(temperature, "temperature", digits=4)


def freezing_point(view: PartView) -> float:
    """Return where the liquid of a chiller freezes; 0 where nothing says so [K]."""
    if not view.liquid.properties:
        return view.liquid.freezes
    from brinewright.fluids import property_value

    return float(property_value(view.liquid.properties, "freezing point").value)


def freezes_at_low_flow(case: Case) -> Iterable[Measure]:
    """Hold the coldest outlet at the least flow that its proof allows against freezing."""
    for view in case.playing("cooler"):
        freezes = freezing_point(view)
        coming = case.seen(view.tag, "inlet temperature")
        cooling = case.seen(view.tag, "cooling")
        if view.declares("drop") or freezes <= 0.0 or coming is None or cooling is None:
            continue
        least = view.number("flow_proof")
        one = cooling.max / view.count
        outlet = coming.min - one / (least * view.heat_capacity)
        held = ""
        if view.has("leaving_temperature"):
            outlet = max(outlet, view.number("leaving_temperature"))
            held = ", held by its own control"
        if view.declares("lowest_evaporation") and view.has("lowest_evaporation"):
            guarded = view.number("lowest_evaporation") + view.number("evaporator_approach")
            if guarded > outlet:
                outlet, held = guarded, ", where its frost guard stops it"
        yield Measure(
            subject=(view.tag,),
            value=outlet,
            limit=freezes + case.margin("freeze"),
            quantity="temperature",
            bound="at least",
            text=f"With only the {least:.3g} kg/s of its flow proof, {view.tag} cools liquid of "
            f"{_degrees(coming.min)} to {_degrees(outlet)}{held}; it freezes at {_degrees(freezes)}.",
            numbers=(
                Number(symbol="q_min", value=least, quantity="mass flow", text="below which it is stopped"),
                Number(symbol="Phi", value=one, quantity="power", text="most of one unit in the shared run"),
                Number(symbol="T_in", value=coming.min, quantity="temperature", text="coldest inlet"),
                Number(symbol="T_f", value=freezes, quantity="temperature", text="the liquid freezes"),
            ),
        )


def colder_and_colder(case: Case) -> Iterable[Measure]:
    """Hold the outlet of chillers that stand straight behind each other against freezing."""
    for view in case.playing("cooler"):
        row = [view, *_behind(case, view)]
        freezes = freezing_point(view)
        if len(row) < 2 or freezes <= 0.0:
            continue
        last = row[-1]
        leaving = case.seen(last.tag, "outlet temperature")
        coming = case.seen(view.tag, "inlet temperature")
        if leaving is None or coming is None:
            continue
        coldest = leaving.min
        if all(each.declares("drop") for each in row):
            coldest = min(coldest, coming.min - sum(each.number("drop") for each in row))
        yield Measure(
            subject=(last.tag, *(each.tag for each in row[:-1])),
            value=coldest,
            limit=freezes + case.margin("freeze"),
            quantity="temperature",
            bound="at least",
            text=f"{last.tag} stands straight behind {', '.join(each.tag for each in row[:-1])} and sends "
            f"liquid on at {_degrees(coldest)}; it freezes at {_degrees(freezes)}.",
            numbers=(
                Number(symbol="T_in", value=coming.min, quantity="temperature", text="before the first"),
                Number(symbol="T_out", value=coldest, quantity="temperature", text="behind the last"),
                Number(symbol="T_f", value=freezes, quantity="temperature", text="the liquid freezes"),
            ),
        )


def _behind(case: Case, view: PartView) -> list[PartView]:
    """Return the chillers that liquid meets behind one, nothing between that decides, joins or stores."""
    coolers = case.playing("cooler")
    found: list[PartView] = []
    at = view.tag
    while True:
        lines = case.out_of(at, "out")
        if len(lines) != 1:
            return found
        at = lines[0].end.partition(".")[0]
        after = case.views[at]
        if after is view or after in found:
            return found
        if after in coolers:
            found.append(after)
        elif len(case.into(at)) != 1 or len(case.out_of(at)) != 1 or after.gives("level"):
            return found


def no_rest(case: Case) -> Iterable[Measure]:
    """Hold the rest that each chiller takes between two starts against the shortest allowed."""
    for view in case.playing("cooler"):
        if not view.declares("shortest_rest"):
            continue
        rest = view.number("shortest_rest")
        yield Measure(
            subject=(view.tag,),
            value=rest,
            limit=case.margin("shortest_rest"),
            quantity="time",
            bound="at least",
            text=f"{view.tag} may start again {rest:.4g} s after it has stopped.",
            numbers=(Number(symbol="t_off", value=rest, quantity="time", text="its shortest rest"),),
        )


CRITERIA = (
    Criterion(
        code="BW-F03",
        title="Chiller freezes at low flow",
        severity="C",
        method="closed form",
        judge=freezes_at_low_flow,
        world="real",
        formula="T_in - Phi / (q_min c) < T_f + margin",
        consequence="A valve half shut is enough to freeze and burst the evaporator.",
        remedy="Prove more flow, bypass to keep it, let the machine unload, or set its frost guard higher.",
        lesson="The less liquid carries the same cold away, the colder it gets.",
        source="closed form: first law",
    ),
    Criterion(
        code="BW-F41",
        title="Second chiller gets liquid too cold",
        severity="C",
        method="closed form",
        judge=colder_and_colder,
        formula="T_in - sum of drops < T_f + margin, chillers straight behind each other",
        consequence="The last one freezes what the first has cooled already.",
        remedy="Put a decision between them, or set each to its own temperature.",
        lesson="A machine that always takes the same does not ask how cold it already is.",
        source="closed form: passes of a fixed drop",
    ),
    Criterion(
        code="BW-F44",
        title="Chiller starts again too soon",
        severity="W",
        method="structure",
        judge=no_rest,
        world="real",
        formula="t_off < shortest rest",
        consequence="Its motor is still hot and its refrigerant not yet even: it trips, or wears.",
        remedy="Give it a timer of 3 to 5 minutes between stop and start.",
        lesson="Let pressures even out before you ask a compressor to push again.",
        source="common practice, no source",
    ),
)
