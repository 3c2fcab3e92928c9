"""Whether liquid freezes or boils, and whether consumers get it warm and cold enough, and even enough."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from brinewright.checks.chilling import chillers
from brinewright.checks.decisions import Decision, pass_decisions, sensed_tag
from brinewright.checks.numbers import degrees, known, lasting, watts
from brinewright.checks.timeline import Timeline
from brinewright.laws import passes
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView
from brinewright.model.rulebook import Liquid

TICK = 1.0
"""A valve answers at the next tick [s]."""
ALIKE = 0.1
"""Two places are as hot as each other if they differ by less [K]."""
SETTLED = 3600.0
"""The first hour of the shared run belongs to how it was started [s]."""


def freezing_point(liquid: Liquid) -> float:
    """Return where a liquid freezes; 0 where nothing says so [K]."""
    if not liquid.properties:
        return liquid.freezes
    from brinewright.fluids import property_value

    return float(property_value(liquid.properties, "freezing point").value)


def cold_outlets(case: Case) -> Iterable[Measure]:
    """Hold the coldest parcel that leaves each declared chiller against freezing."""
    for view in chillers(case):
        freezes = freezing_point(view.liquid)
        if not view.declares("drop") or freezes <= 0.0:
            continue
        drop = view.number("drop")
        decisions = pass_decisions(case, [view])
        if not decisions:
            yield from _coldest_seen(case, view, freezes)
            continue
        lowest = min(decisions, key=lambda decision: decision.setting)
        late = max((decision for decision in decisions), key=lambda each: _lateness(case, each))
        lateness = _lateness(case, late)
        extra = 1 if lateness > 0.0 and late.setting == lowest.setting else 0
        coldest = passes.coldest_parcel(lowest.setting, drop, extra)
        why = f", once more because {late.tag} tells of it {lasting(lateness)} too late" if extra else ""
        yield Measure(
            subject=(view.tag, lowest.tag),
            value=coldest,
            limit=freezes + case.margin("freeze"),
            quantity="temperature",
            bound="at least",
            text=f"A parcel just above the {degrees(lowest.setting)} of {lowest.tag} is chilled by "
            f"{drop:.3g} K{why}: it leaves {view.tag} at {degrees(coldest)}, and freezes at "
            f"{degrees(freezes)}.",
            numbers=(
                known("T_s", lowest.setting, "temperature", f"at and below which {lowest.tag} breaks"),
                known("D", drop, "temperature difference", "of one pass"),
                known("n_late", float(extra), "count", "passes too many by a late sensor"),
                known("T_ideal", lowest.setting - drop, "temperature", "coldest with ideal switches"),
                known(
                    "T_late",
                    lowest.setting - 2.0 * drop,
                    "temperature",
                    "coldest if it is sent round again",
                ),
                known("T_f", freezes, "temperature", "the liquid freezes"),
            ),
        )


def _coldest_seen(case: Case, view: PartView, freezes: float) -> Iterable[Measure]:
    seen = case.seen(view.tag, "outlet temperature")
    if seen is None:
        return
    yield Measure(
        subject=(view.tag,),
        value=seen.min,
        limit=freezes + case.margin("freeze"),
        quantity="temperature",
        bound="at least",
        text=f"No switch decides what {view.tag} chills; the coldest that left it in the day was "
        f"{degrees(seen.min)}, and the liquid freezes at {degrees(freezes)}.",
        numbers=(known("T_out", seen.min, "temperature"), known("T_f", freezes, "temperature")),
    )


def _lateness(case: Case, decision: Decision) -> float:
    """Return by how much a decision comes too late for liquid that has passed its sensor [s]."""
    switch = next(each for each in case.loop.switches if each.tag == decision.tag)
    tag = sensed_tag(switch)
    line = next((line for line in case.lines if line.tag == tag), None)
    if line is None:
        return 0.0
    words = switch.senses.split(" ")
    at = float(words[2]) if len(words) > 2 else line.length
    valve = case.views.get(line.end.partition(".")[0])
    if valve is None or valve not in case.playing("valve"):
        return 0.0
    flow = case.seen(tag, "flow")
    if flow is None or flow.max <= 0.0:
        return 0.0
    left = (line.length - at) * math.pi * line.bore**2 / 4.0 * case.views[tag].density / flow.max
    stroke = valve.number("stroke_time") if valve.declares("stroke_time") else 0.0
    return switch.lag + stroke + TICK - left


def idle_legs(case: Case) -> Iterable[Measure]:
    """Hold what surrounds standing liquid against its freezing point."""
    timeline = Timeline(case.loop)
    raw = case.loop.site.get("ambient_temperature", case.rules.site.get("ambient_temperature"))
    steady = raw if isinstance(raw, float | int | str) else None
    coldest = timeline.least(steady)
    outside = [case.seen("SITE", name) for name in ("outside temperature", "sky temperature")]
    colder = min((each.min for each in outside if each), default=coldest)
    found: dict[str, tuple[float, str, Liquid]] = {}
    for tag, view in _wet(case).items():
        stands_out = view.declares("air_coefficient")
        around = colder if stands_out else coldest
        name = view.liquid.name
        if around > 0.0 and not view.inside and (name not in found or around < found[name][0]):
            found[name] = (around, tag, view.liquid)
    for around, tag, liquid in found.values():
        freezes = freezing_point(liquid)
        if freezes <= 0.0:
            continue
        yield Measure(
            subject=(tag,),
            value=around,
            limit=freezes,
            quantity="temperature",
            bound="at least",
            text=f"Around {tag} it gets {degrees(around)} cold; its liquid freezes at {degrees(freezes)}.",
            numbers=(known("T_amb", around, "temperature", "lowest"), known("T_f", freezes, "temperature")),
        )


def _wet(case: Case) -> Mapping[str, PartView]:
    """Return every part and line that holds liquid, lines first."""
    tags = [line.tag for line in case.lines]
    tags += [view.tag for view in case.parts if case.into(view.tag) or case.out_of(view.tag)]
    return {tag: case.views[tag] for tag in tags}


@dataclass
class Hot:
    """The hottest liquid of a circuit, and its lowest pressure."""

    temperature: float
    tag: str
    liquid: Liquid
    pressure: float
    there: float = 0.0
    """What it is at the place that is named, a part where a line is not much hotter [K]."""


def near_boiling(case: Case) -> Iterable[Measure]:
    """Hold the hottest liquid of each circuit in the shared run against boiling, at its lowest pressure."""
    ambient = case.site("ambient_pressure")
    circuits: dict[str, Hot] = {}
    for tag, view in reversed([*_wet(case).items()]):
        name = view.filling().name
        hot = circuits.setdefault(name, Hot(0.0, tag, view.liquid, ambient or math.inf))
        for quantity in ("outlet temperature", "temperature"):
            seen = case.seen(tag, quantity) if _is_liquid(view, quantity) else None
            hottest = seen.max if seen else 0.0
            hot.temperature = max(hot.temperature, hottest)
            if hottest > hot.there + ALIKE:
                hot.there, hot.tag = hottest, tag
        if view.declares("bore") and (seen := case.seen(tag, "pressure")):
            hot.pressure = min(hot.pressure, seen.min)
    for hot in circuits.values():
        boils = boiling_point(hot.liquid, hot.pressure)
        if boils <= 0.0 or hot.temperature <= 0.0:
            continue
        yield Measure(
            subject=(hot.tag,),
            value=hot.temperature,
            limit=boils - case.margin("boil"),
            quantity="temperature",
            bound="at most",
            text=f"The hottest liquid, in {hot.tag}, gets {degrees(hot.temperature)} hot "
            f"and boils at {degrees(boils)}.",
            numbers=(
                known("T_max", hot.temperature, "temperature", "of the shared run"),
                known("p", hot.pressure, "pressure", "lowest of the circuit"),
                known("T_boil", boils, "temperature"),
            ),
        )


def _is_liquid(view: PartView, quantity: str) -> bool:
    """Tell whether a temperature of a part is that of the liquid in it."""
    if not view.gives(quantity):
        return False
    return quantity == "outlet temperature" or view.declares("bore") or view.declares("inflow_capacity")


def boiling_point(liquid: Liquid, pressure: float) -> float:
    """Return where a liquid boils at a pressure [Pa], as declared or by its tables, [K]."""
    if not liquid.properties:
        return liquid.boils
    from brinewright.fluids import property_value

    return float(property_value(liquid.properties, "boiling point", pressure=pressure).value)


def consumers(case: Case) -> Iterable[PartView]:
    """Return the consumers through which liquid is led."""
    return [view for view in case.playing("consumer") if view.connected("in") and view.connected("out")]


def supply_of(case: Case, view: PartView) -> tuple[float, float, float] | None:
    """Return the lowest, mean and highest supply temperature of a consumer after the first hour [K]."""
    lines = case.into(view.tag, "in")
    if not lines or case.seen(lines[0].tag, "outlet temperature") is None:
        return None
    times, values = case.trace(lines[0].tag, "outlet temperature")
    settled = values[times >= min(SETTLED, 0.5 * times[-1])]
    return float(settled.min()), float(settled.mean()), float(settled.max())


def too_warm(case: Case) -> Iterable[Measure]:
    """Hold how warm each consumer gets after the first hour against what it stands."""
    for view in consumers(case):
        supply = supply_of(case, view)
        if supply is None or case.seen(view.tag, "temperature") is None:
            continue
        times, values = case.trace(view.tag, "temperature")
        warmest = float(values[times >= min(SETTLED, 0.5 * times[-1])].max())
        cooling = case.seen(view.tag, "cooling")
        limit = view.number("highest_temperature")
        yield Measure(
            subject=(view.tag,),
            value=warmest,
            limit=limit,
            quantity="temperature",
            bound="at most",
            text=f"{view.tag} gets {degrees(warmest)} warm, with a supply of up to {degrees(supply[2])}; it "
            f"stands {degrees(limit)}.",
            numbers=(
                known("T_sup", supply[2], "temperature", "warmest supply of the shared run"),
                known("T_mean", supply[1], "temperature", "mean supply"),
                known("Phi", cooling.max if cooling else 0.0, "power", "most that it gave to the liquid"),
            ),
        )


def uneven(case: Case) -> Iterable[Measure]:
    """Hold the swing of each consumer's supply against the band that the consumer stands."""
    for view in consumers(case):
        if not view.has("lowest_temperature"):
            continue
        supply = supply_of(case, view)
        if supply is None:
            continue
        band = view.number("highest_temperature") - view.number("lowest_temperature")
        yield Measure(
            subject=(view.tag, case.into(view.tag, "in")[0].tag),
            value=supply[2] - supply[0],
            limit=band,
            quantity="temperature difference",
            bound="at most",
            text=f"The supply of {view.tag} swings by {supply[2] - supply[0]:.3g} K, from "
            f"{degrees(supply[0])} to {degrees(supply[2])}; it stands a band of {band:.3g} K.",
            numbers=(
                known("T_min", supply[0], "temperature", "coldest supply of the shared run"),
                known("T_max", supply[2], "temperature", "warmest supply"),
            ),
        )


def stuck_open(case: Case) -> Iterable[Measure]:
    """Hold how cold each consumer gets at its least heat, cooled all the time, against what it stands."""
    timeline = Timeline(case.loop)
    for view in consumers(case):
        supply = supply_of(case, view)
        own = "gains" if view.declares("gains") else "heat"
        if not view.has("lowest_temperature") or supply is None or not view.declares(own):
            continue
        least = timeline.least(view.raw(own))
        flow = case.seen(view.tag, "flow")
        through = view.number("coil_conductance" if view.declares("coil_conductance") else "conductance")
        carried = (flow.max if flow else 0.0) * view.heat_capacity
        if carried <= 0.0 or through <= 0.0:
            continue
        grip = -carried * math.expm1(-through / carried)
        outside = _outside(view)
        around = case.seen("SITE", "ambient temperature")
        ambient = around.min if around else supply[1]
        coldest = (least + outside * ambient + grip * supply[1]) / (outside + grip)
        limit = view.number("lowest_temperature")
        yield Measure(
            subject=(view.tag,),
            value=coldest,
            limit=limit,
            quantity="temperature",
            bound="at least",
            text=f"If nothing stops its coolant while it makes only {watts(least)}, {view.tag} falls to "
            f"{degrees(coldest)}; it stands {degrees(limit)}.",
            numbers=(
                known("Phi_min", least, "power", "its least own heat"),
                known("T_sup", supply[1], "temperature", "mean supply of the shared run"),
                known("G", grip, "conductance", "from the consumer to what flows through it"),
                known("H", outside, "conductance", "to its surroundings"),
                known("T_amb", ambient, "temperature", "lowest around it"),
            ),
        )


def _outside(view: PartView) -> float:
    """Return the conductance from inside a consumer to its surroundings, through everything [W/K]."""
    if view.declares("outside_conductance"):
        return view.number("outside_conductance")
    if not view.declares("wall_outside_conductance"):
        return 0.0
    inner, outer = view.number("air_wall_conductance"), view.number("wall_outside_conductance")
    through = inner * outer / (inner + outer) if inner + outer > 0.0 else 0.0
    return view.number("air_outside_conductance") + through


CRITERIA = (
    Criterion(
        code="BW-F01",
        title="Liquid freezes in a chiller",
        severity="C",
        method="closed form",
        judge=cold_outlets,
        world="stylised",
        formula="T_s - (1 + n_late) D < T_f + margin",
        consequence="A plug of ice shuts the chiller, or bursts it.",
        remedy="Raise the set point, take a liquid that freezes lower, or stop the chiller by a low switch.",
        lesson="What is just too warm gets a whole pass, and comes out a whole pass below the set point.",
        source="closed form: passes of a fixed drop",
    ),
    Criterion(
        code="BW-F04",
        title="Standing liquid freezes",
        severity="C",
        method="closed form",
        judge=idle_legs,
        formula="T_amb < T_f where liquid can stand",
        consequence="A line that rests takes the cold of its surroundings, and bursts.",
        remedy="Drain it, trace it, or take a liquid that freezes lower.",
        lesson="Moving liquid brings its warmth with it; standing liquid becomes what surrounds it.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F05",
        title="Liquid near boiling",
        severity="S",
        method="run",
        judge=near_boiling,
        formula="T_max > T_boil(p) - margin",
        consequence="Vapour blocks the flow, hammers the pipes and bursts what is shut.",
        remedy="Raise the pressure, cool it earlier, take another liquid, or trip the heat on a high switch.",
        lesson="A liquid boils by its pressure where it is, not by the number on its drum.",
        source="run; boiling point of the rulebook or of the liquid's tables",
    ),
    Criterion(
        code="BW-F10",
        title="Consumer gets too warm",
        severity="W",
        method="run",
        judge=too_warm,
        formula="T > highest temperature of the consumer after the first hour",
        consequence="What is to be kept cool is not.",
        remedy="Lower the set point, give it more flow or a larger coil, or add chilling.",
        lesson="The warmest hour of the supply counts, and so does the hour when the consumer works hardest.",
        source="run",
    ),
    Criterion(
        code="BW-F11",
        title="Supply too uneven",
        severity="W",
        method="run",
        judge=uneven,
        formula="T_max - T_min of the supply > band that the consumer stands",
        consequence="The consumer is now too warm, now too cold.",
        remedy="Let the supply mix in a tank before the consumers, or blend it.",
        lesson="A fixed drop can't be divided: without a tank to mix in, it arrives whole.",
        source="run",
    ),
    Criterion(
        code="BW-F13",
        title="Consumer cooled too far when nothing stops it",
        severity="W",
        method="contingency",
        judge=stuck_open,
        formula="(Phi_min + H T_amb + G T_sup) / (H + G) < lowest temperature of the consumer",
        consequence="People, plants or goods get cold, and walls get wet.",
        remedy="Give it a low switch of its own that does not fail with the first, or warmer supply.",
        lesson="Ask of each valve what happens if it never shuts again.",
        source="closed form: balance of the consumer",
    ),
)
