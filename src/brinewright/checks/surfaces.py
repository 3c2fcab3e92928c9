"""What people touch, what gets wet, and what heat creeps along: the outsides of pipes and vessels."""

import math
from collections.abc import Iterable

from brinewright.checks.asking import asked
from brinewright.laws.insulation import pipe_conductance, surface_temperature
from brinewright.laws.moist_air import dew_point, saturation_pressure
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

ABOVE_DEW = 1.0
"""[K]"""
HUMID = 0.60
"""Relative humidity of a hall where none is stated; common practice."""
TOUCHED = 333.15
"""Surface that a hand may meet [K]."""
STILL_AIR = 9.0
"""Convection and radiation of a surface in a hall [W/(m2 K)]."""
GOOD_FILM = 1e4
"""Film of the liquid: it hardly counts beside insulation [W/(m2 K)]."""
SHARE_OF_DUTY = 0.01
STEEL_EXPANDS = 1.2e-5
"""[1/K]"""
ASKED_FROM = 0.01
"""Growth of a run about which is asked [m]."""


def outer_surface(view: PartView, inside: float, around: float) -> tuple[float, float]:
    """Return the temperature [K] of the outside of a pipe run and its conductance by length [W/(m K)]."""
    bore, wall = view.number("bore"), view.number("wall_thickness")
    insulation = view.number("insulation_thickness")
    outer = view.number("outer_coefficient")
    conductivity = (
        view.number("wall_conductivity")
        if view.has("wall_conductivity")
        else view.wall_conductivity("wall_conductivity")
    )
    conductance = float(
        pipe_conductance(
            GOOD_FILM,
            bore,
            bore + 2.0 * wall,
            conductivity,
            insulation,
            view.number("insulation_conductivity"),
            outer,
        )
    )
    radius = 0.5 * bore + wall + insulation
    return float(surface_temperature(inside, around, conductance, radius, outer)), conductance


def _around(case: Case, view: PartView) -> tuple[float, float, str]:
    """Return temperature [K] and vapour pressure [Pa] of the air around a run, and where they come from."""
    room = case.seen(view.inside, "temperature") if view.inside else None
    damp = case.seen(view.inside, "humidity") if view.inside else None
    if room is not None and damp is not None:
        return room.mean, damp.max * float(saturation_pressure(room.mean)), f"{view.inside} at its dampest"
    place = case.seen("SITE", "ambient temperature")
    temperature = place.mean if place is not None else 293.15
    stated = case.site("humidity") if "weather" not in case.loop.site else 0.0
    share = stated or HUMID
    told = f"{show(share, 'ratio', digits=3)} in the hall, {'stated' if stated else 'as none is stated'}"
    return temperature, share * float(saturation_pressure(temperature)), told


def _layered(case: Case) -> Iterable[tuple[PartView, float, float]]:
    """Yield each run in real layers, with the coldest and the hottest that stands in it [K]."""
    for line in case.lines:
        view = case.views[line.tag]
        seen = case.seen(line.tag, "temperature")
        if seen is not None and view.declares("outer_coefficient") and view.number("outer_coefficient") > 0.0:
            yield view, seen.min, seen.max


def sweats(case: Case) -> Iterable[Measure]:
    """Hold the outside of each cold run against the dew point around it."""
    for view, coldest, _ in _layered(case):
        around, vapour, told = _around(case, view)
        if coldest >= around:
            continue
        surface, conductance = outer_surface(view, coldest, around)
        dew = float(dew_point(vapour))
        yield Measure(
            subject=(view.tag,),
            value=surface,
            limit=dew + ABOVE_DEW,
            quantity="temperature",
            bound="at least",
            text=f"The outside of {view.tag} is at {show(surface, 'temperature', digits=3)} while "
            f"{show(coldest, 'temperature', digits=3)} stands in it; the air around it "
            f"({show(around, 'temperature', digits=3)}) drips at {show(dew, 'temperature', digits=3)}.",
            numbers=(
                Number(symbol="T_in", value=coldest, quantity="temperature", text="coldest of the run"),
                Number(symbol="T_amb", value=around, quantity="temperature", text="mean around it"),
                Number(
                    symbol="U'",
                    value=conductance,
                    quantity="conductance per metre",
                    text=f"wall, {view.number('insulation_thickness') * 1e3:.0f} mm of insulation, "
                    "outer_coefficient",
                ),
                Number(symbol="T_surf", value=surface, quantity="temperature", text="of its outside"),
                Number(symbol="T_dew", value=dew, quantity="temperature", text=told),
            ),
            remedy=f"Insulate {view.tag}, and close the outside against vapour."
            if view.number("insulation_thickness") == 0.0
            else "",
        )


def burns(case: Case) -> Iterable[Measure]:
    """Hold the outside of each hot run and of each vessel against what a hand bears."""
    for view, _, hottest in _layered(case):
        around = _around(case, view)[0]
        if hottest <= around:
            continue
        surface, conductance = outer_surface(view, hottest, around)
        yield _touched(
            view, surface, hottest, around, f"{conductance:.3g} W/(m K) through wall and insulation"
        )
    for view in case.of_kind("steam vessel"):
        seen, place = case.seen(view.tag, "temperature"), case.seen("SITE", "ambient temperature")
        if seen is None or not view.declares("design_pressure"):
            continue
        around = place.mean if place is not None else 293.15
        area = wall_area(view)
        loss = view.number("loss_conductance") * (seen.max - around)
        told = f"{show(loss, 'power', digits=3)} through {area:.1f} m2 into still air"
        yield _touched(view, around + loss / (STILL_AIR * area), seen.max, around, told)


def wall_area(vessel: PartView) -> float:
    """Return the outer area of a vessel from its volume and inner height [m2].

    An upright cylinder; a lying one has the inner height as its diameter.
    """
    volume, height = vessel.number("volume"), vessel.number("inner_height")
    if vessel.word("shape") == "lying":
        diameter, length = height, 4.0 * volume / (math.pi * height**2)
    else:
        diameter, length = math.sqrt(4.0 * volume / (math.pi * height)), height
    return math.pi * diameter * length + 0.5 * math.pi * diameter**2


def _touched(view: PartView, surface: float, hottest: float, around: float, how: str) -> Measure:
    return Measure(
        subject=(view.tag,),
        value=surface,
        limit=TOUCHED,
        quantity="temperature",
        bound="at most",
        text=f"The outside of {view.tag} gets {show(surface, 'temperature', digits=3)} hot while "
        f"{show(hottest, 'temperature', digits=4)} stands in it.",
        numbers=(
            Number(symbol="T_in", value=hottest, quantity="temperature", text="hottest of the run"),
            Number(symbol="T_amb", value=around, quantity="temperature", text="mean around it"),
            Number(symbol="T_surf", value=surface, quantity="temperature", text=how),
        ),
    )


def bridges(case: Case) -> Iterable[Measure]:
    """Hold the heat that creeps along the metal from a hot vessel to each cold line against the duty."""
    for line in case.lines:
        view = case.views[line.tag]
        for end in (line.start, line.end):
            part = case.views[end.partition(".")[0]]
            host = case.views.get(part.inside)
            if host is None or not host.declares("water_mass") or not view.declares("wall_thickness"):
                continue
            hot, cold = case.seen(host.tag, "temperature"), case.seen(line.tag, "temperature")
            duty = case.seen(part.tag, "cooling")
            if hot is None or cold is None or duty is None or duty.max <= 0.0:
                continue
            wall, bore = view.number("wall_thickness"), view.number("bore")
            area = math.pi * (bore + wall) * wall
            metal = view.number("wall_conductivity") or view.wall_conductivity("wall_conductivity")
            length = view.number("length")
            heat = metal * area * (hot.max - cold.min) / length
            yield Measure(
                subject=(line.tag, part.tag, host.tag),
                value=heat,
                limit=SHARE_OF_DUTY * duty.max,
                quantity="power",
                bound="at most",
                text=f"{heat:.3g} W creep along the wall of {line.tag} from {host.tag} at "
                f"{show(hot.max, 'temperature', digits=4)}; {part.tag} cools "
                f"{show(duty.max, 'power', digits=3)}.",
                numbers=(
                    Number(symbol="k", value=metal, quantity="conductivity", text=f"wall of {line.tag}"),
                    Number(symbol="A", value=area, quantity="area", text="pi (D + e) e of its wall"),
                    Number(symbol="L", value=length, quantity="length", text=f"of {line.tag}"),
                    Number(
                        symbol="dT",
                        value=hot.max - cold.min,
                        quantity="temperature difference",
                        text="vessel to coldest liquid, of the run",
                    ),
                ),
            )


def asks_about_growth(case: Case) -> Iterable[Measure]:
    """Ask how each long run takes its growth."""
    place = case.seen("SITE", "ambient temperature")
    for view, coldest, hottest in _layered(case):
        at_rest = [place.min, place.max] if place is not None else []
        swing = max(hottest, *at_rest) - min(coldest, *at_rest)
        growth = STEEL_EXPANDS * view.number("length") * swing
        if growth >= ASKED_FROM:
            yield asked(
                (view.tag,),
                f"{view.tag}, {show(view.number('length'), 'length', digits=3)} long, moves "
                f"{growth * 1e3:.0f} mm as steel over {swing:.0f} K; as copper {growth * 1e3 * 1.42:.0f} mm.",
            )


CRITERIA = (
    Criterion(
        code="BW-F12",
        title="Cold surface drips",
        severity="W",
        method="run",
        world="real",
        judge=sweats,
        formula="T_surf < T_dew + 1 K",
        consequence="Water drips on floors and switchgear, and mould and rust follow.",
        remedy="More insulation with a vapour barrier on its outside, or colder rooms dried first.",
        lesson="Air lets go of its water on whatever is colder than its dew point.",
        source="closed form: layers in series; dew point after IAPWS R6-95(2018)",
    ),
    Criterion(
        code="BW-F87",
        title="Pipe has no room to grow",
        severity="W",
        method="question",
        world="real",
        judge=asks_about_growth,
        formula="alpha L dT > what its bends, loops and joints take",
        consequence="Anchors tear out, flanges leak.",
        remedy="Bends, loops or joints, with anchors and guides that say where it may move.",
        lesson="A hot pipe is longer than a cold one, and no wall is strong enough to talk it out of that.",
        source="closed form: alpha of steel 12e-6, of copper 17e-6 1/K (from memory, verify)",
        question="Where is each of these runs anchored, and which bend, loop or joint takes its growth?",
    ),
    Criterion(
        code="BW-F88",
        title="Heat creeps along the metal",
        severity="W",
        method="run",
        world="real",
        judge=bridges,
        formula="k A dT / L > 1 % of the machine's cooling",
        consequence="The chiller cools its own exhaust.",
        remedy="A longer run, a thinner wall, or a piece between that conducts badly.",
        lesson="A thick short pipe from the boiler to the ice box is a heater.",
        source="closed form: conduction",
    ),
    Criterion(
        code="BW-F89",
        title="Surface hot enough to burn",
        severity="S",
        method="run",
        world="real",
        judge=burns,
        formula="T_surf > 60 degC",
        consequence="Whoever steadies himself on it is burned.",
        remedy="Insulate it, or put a guard before it.",
        lesson="A hand needs a second to let go; the surface must be cool enough to give it that second.",
        source="ISO 13732-1 (from memory, verify); closed form: layers in series",
    ),
)
