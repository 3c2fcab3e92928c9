"""The faults that only a pump can have."""

import math
from collections.abc import Iterable, Sequence

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.loop import Line
from brinewright.model.part_view import PartView
from brinewright.units import show

RATIO_MARGIN = 1.3
"""Suction head available over required; ANSI/HI 9.6.1 gives 1.1 to 1.3 and more for hot water."""
HEAD_MARGIN = 1.0
"""Suction head beyond what is required [m]."""
LOWEST_SHARE, HIGHEST_SHARE = 0.4, 1.2
"""Flow as a share of that of the best efficiency."""
STANDARD_GRAVITY = 9.80665


def suction(case: Case, pump: PartView) -> tuple[PartView | None, Sequence[Line]]:
    """Return the tank that a pump draws from, and the lines between, the pump's own in front."""
    lines: list[Line] = []
    tag = pump.tag
    while True:
        entering = case.into(tag)
        if len(entering) != 1 or entering[0] in lines:
            return None, lines
        lines.append(entering[0])
        tag = entering[0].start.partition(".")[0]
        view = case.views[tag]
        if view.gives("level"):
            return view, lines


def runs_dry(case: Case) -> Iterable[Measure]:
    """Hold the lowest level of the tank before each pump against the level at which nothing leaves.

    A declared pump takes no harm from running dry; there it counts only where consumers go without.
    """
    for pump in case.playing("mover"):
        tank, _ = suction(case, pump)
        if tank is None:
            continue
        level = case.seen(tank.tag, "level")
        if level is None or not (pump.pressure_driven or _feeds_a_consumer(case, pump.tag)):
            continue
        lowest = tank.number("lowest_level")
        switch = _stopping_switch(case, pump.tag, tank.tag)
        if switch:
            yield Measure(
                subject=(pump.tag, tank.tag),
                value=0.0,
                limit=0.0,
                quantity="count",
                bound="at most",
                text=f"{switch} stops {pump.tag} when {tank.tag} gets low; in the day its level falls to "
                f"{show(level.min, 'ratio', digits=3)}.",
            )
            continue
        text = (
            f"{pump.tag} draws from {tank.tag}, whose level falls to "
            f"{show(level.min, 'ratio', digits=3)} in the day; "
            f"below {show(lowest, 'ratio', digits=3)} nothing leaves it, and no level switch stops the pump."
        )
        yield _dry(pump, tank, level.min, lowest, text)


def _dry(pump: PartView, tank: PartView, level: float, lowest: float, text: str) -> Measure:
    return Measure(
        subject=(pump.tag, tank.tag),
        value=level,
        limit=lowest,
        quantity="ratio",
        bound="at least",
        strict=True,
        text=text,
        numbers=(
            Number(symbol="L", value=level, quantity="ratio", text=f"lowest level of {tank.tag} in the run"),
            Number(
                symbol="L_LL",
                value=lowest,
                quantity="ratio",
                text=f"lowest_level of {tank.tag}, stated or default",
            ),
        ),
    )


def _feeds_a_consumer(case: Case, pump: str) -> bool:
    """Tell whether what a pump moves reaches a consumer without passing a tank."""
    consumers = {view.tag for view in case.playing("consumer")}
    reached, waiting = {pump}, [pump]
    while waiting:
        for line in case.out_of(waiting.pop()):
            tag = line.end.partition(".")[0]
            if tag in consumers:
                return True
            if tag not in reached and not case.views[tag].gives("level"):
                reached.add(tag)
                waiting.append(tag)
    return False


def _stopping_switch(case: Case, pump: str, tank: str) -> str:
    """Return the level switch on a tank that stops a pump, or ""."""
    for switch in case.loop.switches:
        if switch.quantity == "temperature" or switch.senses != f"{tank} level":
            continue
        for drive in switch.drives:
            if drive.target == pump and drive.made == ("stop" if switch.sense == "low" else "run"):
                return switch.tag
    return ""


def suction_head(case: Case) -> Iterable[Measure]:
    """Hold the suction head available to each pump against what it requires."""
    from brinewright.components.pump.lower import vapour_pressure
    from brinewright.laws.pipe_flow import pipe_loss
    from brinewright.laws.pumping import suction_head as available

    gravity, ambient = case.site("gravity"), case.site("ambient_pressure")
    for pump in case.playing("mover"):
        if not pump.declares("suction_head_required"):
            continue
        tank, lines = suction(case, pump)
        if tank is None:
            continue
        level, hottest = case.seen(tank.tag, "level"), case.seen(tank.tag, "outlet temperature")
        if level is None or hottest is None:
            continue
        density = pump.density
        a, b, c = vapour_pressure(pump, ambient)
        vapour = math.exp(a - b / (hottest.max + c))
        surface = tank.number("closed_pressure") if tank.has("closed_pressure") else ambient
        height = tank.number("tank_height") or (4.0 * tank.number("volume") / math.pi) ** (1.0 / 3.0)
        at = lines[0].levels[1] if lines[0].levels else 0.0
        above = tank.number("elevation") + level.min * height - at
        flow = pump.number("duty_flow") * pump.count * pump.number("speed")
        friction = sum(_friction(case.views[line.tag], flow, pipe_loss) for line in lines)
        head = float(available(surface, vapour, density, gravity, above, friction))
        required = pump.number("suction_head_required") * STANDARD_GRAVITY / gravity
        yield Measure(
            subject=(pump.tag, tank.tag),
            value=head,
            limit=max(required * RATIO_MARGIN, required + HEAD_MARGIN),
            quantity="length",
            bound="at least",
            text=f"{pump.tag} has {head:.1f} m of suction head at its duty flow, {tank.tag} at its lowest "
            f"and warmest ({show(hottest.max, 'temperature', digits=3)}); it needs {required:.1f} m.",
            numbers=(
                Number(
                    symbol="p_s", value=surface, quantity="pressure", text=f"on the surface in {tank.tag}"
                ),
                Number(
                    symbol="p_v",
                    value=vapour,
                    quantity="pressure",
                    text=f"vapour pressure of the liquid at {show(hottest.max, 'temperature', digits=4)}",
                ),
                Number(
                    symbol="z",
                    value=above,
                    quantity="length",
                    text="surface above the pump, at the lowest level of the run",
                ),
                Number(
                    symbol="dp_f",
                    value=friction,
                    quantity="pressure difference",
                    text=f"friction of {', '.join(line.tag for line in lines)} at the duty flow",
                ),
                Number(symbol="rho", value=density, quantity="density", text="at the circuit's working mean"),
                Number(symbol="g", value=gravity, quantity="acceleration", text="of the site"),
                Number(symbol="NPSH_a", value=head, quantity="length", text="available"),
                Number(
                    symbol="NPSH_r",
                    value=required,
                    quantity="length",
                    text="suction_head_required, at the site's gravity",
                ),
            ),
        )


def _friction(line: PartView, flow: float, loss: "object") -> float:
    assert callable(loss)
    return float(
        loss(
            flow,
            line.number("length"),
            line.number("bore"),
            line.number("roughness"),
            line.number("fittings"),
            line.density,
            line.viscosity,
        )[0]
    )


def off_its_curve(case: Case) -> Iterable[Measure]:
    """Hold the flow of each pump against that of its best efficiency."""
    for pump in case.playing("mover"):
        if not pump.declares("duty_flow"):
            continue
        _, flows = case.trace(pump.tag, "flow")
        _, running = case.trace(pump.tag, "running")
        flows = flows[(running > 0.0) & (flows > 0.0)]
        if len(flows) == 0:
            continue
        best = pump.number("duty_flow") * pump.count * pump.number("speed")
        for mass, limit, bound in (
            (float(flows.max()), HIGHEST_SHARE, "at most"),
            (float(flows.min()), LOWEST_SHARE, "at least"),
        ):
            flow = mass / pump.density
            yield Measure(
                subject=(pump.tag,),
                value=flow / best,
                limit=limit,
                quantity="ratio",
                bound="at most" if bound == "at most" else "at least",
                text=f"{pump.tag} moves {show(flow, 'volume flow', digits=3)} at its "
                f"{'most' if bound == 'at most' else 'least'}; its best efficiency lies at "
                f"{show(best, 'volume flow', digits=3)}.",
                numbers=(
                    Number(symbol="q_V", value=flow, quantity="volume flow", text="from the run"),
                    Number(
                        symbol="q_best", value=best, quantity="volume flow", text=f"duty_flow of {pump.tag}"
                    ),
                ),
                remedy="Take a pump whose duty flow is that of the circuit, or throttle it, or set its speed."
                if bound == "at most"
                else "Take a smaller pump, let its speed follow the demand, or lead a least flow back.",
            )


CRITERIA = (
    Criterion(
        code="BW-F102",
        title="Pump runs dry",
        severity="C",
        method="run",
        judge=runs_dry,
        formula="L <= L_LL while the pump runs",
        consequence="Seals and bearings run without liquid and fail; the consumers behind it get nothing.",
        remedy="Stop the pump on low level, or give the tank more liquid or a larger inflow.",
        lesson="A pump is cooled and greased by what it pumps: empty the tank and you lose the pump too.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F103",
        title="Too little suction head",
        severity="C",
        method="run",
        world="real",
        judge=suction_head,
        formula="NPSH_a = (p_s - p_v)/(rho g) + z - dp_f/(rho g) < max(1.3 NPSH_r, NPSH_r + 1 m)",
        consequence="The liquid boils in the pump's eye: it rattles, loses its flow and eats its wheel.",
        remedy="Raise the tank, cool the liquid, widen or shorten the suction line, or take a slower pump.",
        lesson="A pump cannot suck: something must push the liquid in harder than its vapour pushes back.",
        source="margin after ANSI/HI 9.6.1 (from memory, verify); closed form: head balance",
    ),
    Criterion(
        code="BW-F106",
        title="Pump far from its best point",
        severity="W",
        method="run",
        world="real",
        judge=off_its_curve,
        formula="q_V / q_best > 1.2, or < 0.4",
        consequence="It wastes power, shakes, and wears its bearings and seals.",
        remedy="Take a pump whose duty flow is that of the circuit.",
        lesson="A pump lives longest where it is most efficient: choose it for the flow you will have.",
        source="common practice, no source",
    ),
)
