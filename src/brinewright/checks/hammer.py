"""What a column of liquid does when a valve shuts, and valves that stand the wrong way round."""

import math
from collections.abc import Iterable

from brinewright.laws.hammer import critical_time, surge, wave_speed
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.loop import Line
from brinewright.units import show

STIFFNESS = 2.2e9
"""Bulk modulus of water and its mixtures [Pa]."""
STEEL = 2.0e11
"""Elasticity of a steel wall [Pa]."""
RATED = 16e5
"""Gauge pressure that usual fittings of a cold loop are made for, PN 16 [Pa]."""


def way_to_a_surface(case: Case, line: Line) -> float:
    """Return the shortest way against the flow from the end of a line to a tank, in metres of pipe."""
    best = {line.tag: line.length}
    waiting = [line]
    while waiting:
        here = min(waiting, key=lambda item: best[item.tag])
        waiting.remove(here)
        tag = here.start.partition(".")[0]
        if case.views[tag].gives("level"):
            return best[here.tag]
        for before in case.into(tag):
            length = best[here.tag] + before.length
            if length < best.get(before.tag, math.inf):
                best[before.tag] = length
                waiting.append(before)
    return max(best.values())


def slams(case: Case) -> Iterable[Measure]:
    """Hold the pressure before each valve as it shuts against what fittings are made for."""
    ambient = case.site("ambient_pressure")
    for valve in case.playing("valve"):
        if valve.declares("body"):  # one way opens as the other shuts: the column goes on
            continue
        for line in case.into(valve.tag):
            view = case.views[line.tag]
            flow, pressure = case.seen(line.tag, "flow"), case.seen(line.tag, "pressure")
            if flow is None or pressure is None or flow.max <= 0.0:
                continue
            bore, density = view.number("bore"), view.density
            speed = flow.max / (density * math.pi / 4.0 * bore**2)
            wave = float(wave_speed(STIFFNESS, density, bore, view.number("wall_thickness"), STEEL))
            length, stroke = way_to_a_surface(case, line), valve.number("stroke_time")
            rise = float(surge(density, wave, speed, length, stroke))
            peak = pressure.max + rise
            yield Measure(
                subject=(valve.tag, line.tag),
                value=peak,
                limit=RATED + ambient,
                quantity="pressure",
                bound="at most",
                text=f"When {valve.tag} shuts in {show(stroke, 'time', digits=3)}, {speed:.2f} m/s in "
                f"{line.tag} "
                f"stop and {rise / 1e5:.1f} bar come on top of {show(pressure.max, 'pressure', digits=3)}.",
                numbers=(
                    Number(symbol="rho", value=density, quantity="density", text="at the working mean"),
                    Number(symbol="a", value=wave, quantity="speed", text="of the wave, in a steel wall"),
                    Number(
                        symbol="dv", value=speed, quantity="speed", text="largest of the run, all stopped"
                    ),
                    Number(symbol="L", value=length, quantity="length", text="of pipe to the next tank"),
                    Number(symbol="t", value=stroke, quantity="time", text=f"stroke_time of {valve.tag}"),
                    Number(
                        symbol="2L/a",
                        value=float(critical_time(length, wave)),
                        quantity="time",
                        text="shut faster than this the whole blow comes",
                    ),
                    Number(
                        symbol="dp",
                        value=rise,
                        quantity="pressure difference",
                        text="rho a dv, or 2 rho L dv / t",
                    ),
                    Number(symbol="p", value=pressure.max, quantity="pressure", text="before, of the run"),
                ),
                remedy=f"Let {valve.tag} take {max(2.0, 4.0 * length / wave):.0f} s or more."
                if peak > RATED + ambient
                else "",
            )


def wrong_body(case: Case) -> Iterable[Measure]:
    """Hold the body of each three-way valve against the way in which liquid passes it."""
    for valve in case.playing("valve"):
        if not valve.declares("body"):
            continue
        ways_in, ways_out = len(case.into(valve.tag)), len(case.out_of(valve.tag))
        body = valve.word("body")
        needed = "diverting" if ways_out > ways_in else "mixing"
        wrong = body != needed
        yield Measure(
            subject=(valve.tag,),
            value=float(wrong),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{valve.tag} has {ways_in} way{'s' * (ways_in > 1)} in and {ways_out} out, which takes a "
            f"{needed} body; it has a {body} one.",
        )


CRITERIA = (
    Criterion(
        code="BW-F26",
        title="Valve that slams",
        severity="C",
        method="run",
        world="real",
        judge=slams,
        formula="p + dp > 16 bar gauge, with dp = rho a dv where the valve shuts faster than 2L/a",
        consequence="The blow bursts gaskets and tears pipes from their anchors.",
        remedy="A slower valve, or an arrestor close before it.",
        lesson="A column of liquid is a train: stop it in an instant and it goes through the wall.",
        source="Joukowsky 1898; closed form: momentum of the column",
    ),
    Criterion(
        code="BW-F27",
        title="Mixing valve used to divert",
        severity="W",
        method="structure",
        judge=wrong_body,
        formula="two ways out of a mixing body, or two ways into a diverting one",
        consequence="The plug is pushed off its seat: it chatters and leaks by.",
        remedy="Take the body that is made for it.",
        lesson="A door that opens outwards cannot be held shut from inside: flow must press the plug home.",
        source="common practice, no source",
    ),
)
