"""Where condensate and the heat of condensers go."""

from collections.abc import Iterator

from brinewright.checks.blocked import count
from brinewright.checks.finding import shown
from brinewright.checks.signals import control
from brinewright.checks.words import both
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView


def _pumps(case: Case) -> list[PartView]:
    return [view for view in case.views.values() if view.refers("serves")]


def _steam_flow(view: PartView) -> float:
    name = "steam_flow" if view.declares("steam_flow") else "design_flow"
    return view.number(name) * view.count


def _lift(turbine: PartView) -> float:
    """Return the pressure of a turbine's vessel above that of its condenser at the design point [Pa]."""
    if not turbine.declares("design_inlet_pressure"):
        return 0.0
    return turbine.number("design_inlet_pressure") - turbine.number("design_exhaust_pressure")


def return_blocked(case: Case) -> Iterator[Measure]:
    """Hold each condensate pump against the steam of its turbines, their pressures and their commands."""
    logic = case.once(control)
    for pump in _pumps(case):
        turbines = [case.views[tag] for tag in pump.refers("serves")]
        steam = sum(_steam_flow(view) for view in turbines)
        capacity = pump.number("capacity") * pump.count
        tags = [view.tag for view in turbines]
        yield Measure(
            subject=(pump.tag, *tags),
            value=capacity,
            limit=steam,
            quantity="mass flow",
            bound="at least",
            text=(
                f"{both(tags)} can pass {shown(steam, 'mass flow')} of steam; {pump.tag} returns "
                f"{shown(capacity, 'mass flow')}."
            ),
            numbers=(Number(symbol="q_s", value=steam, quantity="mass flow", text="steam of its turbines"),),
        )
        together = {switch for tag in tags for switch in logic.steering(tag)}
        stops = sorted(logic.steering(pump.tag) - together)
        yield Measure(
            subject=(pump.tag, *stops),
            value=float(len(stops)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{both(stops)} can stop {pump.tag} while {both(tags)} runs on."
                if stops
                else f"No switch stops {pump.tag} while {both(tags)} runs on."
            ),
            numbers=count(len(stops), "n", "switches that stop the pump alone"),
            remedy="Let the same signal stop the turbine." if stops else "",
        )
        lift = max(_lift(view) for view in turbines)
        if pump.declares("highest_rise") and lift > 0.0:
            yield Measure(
                subject=(pump.tag, *tags),
                value=pump.number("highest_rise"),
                limit=lift,
                quantity="pressure difference",
                bound="at least",
                text=f"{pump.tag} must lift condensate by {shown(lift, 'pressure difference')}.",
                numbers=(Number(symbol="dp", value=lift, quantity="pressure difference", text="at design"),),
            )


def returns_uphill(case: Case) -> Iterator[Measure]:
    """Look for condensers below the pressure of their vessel with nothing to lift their condensate."""
    served = {tag for pump in _pumps(case) for tag in pump.refers("serves")}
    for turbine in case.views.values():
        lift = _lift(turbine)
        if lift <= 0.0:
            continue
        missing = turbine.tag not in served
        yield Measure(
            subject=(turbine.tag,),
            value=float(missing),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{turbine.tag}: at its design point the vessel stands "
                f"{shown(lift, 'pressure difference')} above the condenser, "
                + ("and no condensate pump is drawn." if missing else "and a pump lifts its condensate.")
            ),
            numbers=(
                Number(symbol="dp", value=lift, quantity="pressure difference", text="at the design point"),
            ),
        )


def wrong_vessel(case: Case) -> Iterator[Measure]:
    """Look for condensate pumps whose turbines draw from different vessels."""
    for pump in _pumps(case):
        vessels = sorted({tag for each in pump.refers("serves") for tag in case.views[each].refers("vessel")})
        yield Measure(
            subject=(pump.tag, *vessels),
            value=float(len(vessels) - 1),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"{pump.tag} mixes condensate of {both(vessels)}: water moves from one to the other."
                if len(vessels) > 1
                else f"{pump.tag} returns to {both(vessels)} what came from it."
            ),
            numbers=count(len(vessels), "n", "vessels that its turbines draw from"),
        )


def no_cold_sink(case: Case) -> Iterator[Measure]:
    """Follow the heat of each condenser to a final sink or to chillers."""
    for turbine in case.views.values():
        if not turbine.declares("condenser_temperature"):
            continue
        if turbine.refers("sink"):
            ends = list(turbine.refers("sink"))
        elif turbine.connected("cooling-in") and turbine.connected("cooling-out"):
            name = turbine.filling("cooling-in").name
            takers = [*case.of_kind("final sink"), *case.playing("cooler")]
            ends = [v.tag for v in takers if v.connected("in") and v.filling("in").name == name]
        else:
            ends = []
        yield Measure(
            subject=(turbine.tag, *ends),
            value=float(not ends),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=(
                f"The condenser of {turbine.tag} gives its heat to {both(ends)}."
                if ends
                else f"Nothing takes the heat of the condenser of {turbine.tag}."
            ),
            numbers=count(len(ends), "n", "sinks that its heat comes to"),
        )


CRITERIA = (
    Criterion(
        code="BW-F57",
        title="Condensate cannot return",
        severity="C",
        method="structure",
        judge=return_blocked,
        formula="pump capacity < steam flow, pump lift < p_vessel - p_condenser, or the pump can stop alone",
        consequence="The hotwell floods the turbine while the vessel boils dry.",
        remedy="Take a larger or a second pump; trip the turbine on a high hotwell.",
        lesson="What leaves as steam must come back as water, or the kettle boils dry.",
        source="common practice, no source; closed form: mass and pressure",
    ),
    Criterion(
        code="BW-F57b",
        title="No condensate pump",
        severity="W",
        method="structure",
        judge=returns_uphill,
        world="real",
        formula="p_vessel > p_condenser, and no pump serves the turbine",
        consequence="Water does not flow uphill into a vessel under pressure: the turbine floods.",
        remedy="Draw a condensate pump that serves this turbine, with its standby and its power.",
        lesson="Steam finds its own way down; water needs a push back up.",
        source="common practice, no source; closed form: pressures at the design point",
    ),
    Criterion(
        code="BW-F58",
        title="Condensate to the wrong vessel",
        severity="C",
        method="structure",
        judge=wrong_vessel,
        formula="one condensate pump serves turbines of different vessels",
        consequence="One vessel fills and the other empties, slowly and unseen.",
        remedy="Give the turbines of each vessel a pump of their own.",
        lesson="Give back to the one you borrowed from.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F62",
        title="No cold sink for the condenser",
        severity="C",
        method="structure",
        judge=no_cold_sink,
        world="real",
        formula="the heat of the condenser comes to no final sink and no chiller",
        consequence="The condenser warms up until the turbine stands: it is no sink by itself.",
        remedy="Lead its cooling to radiators, ground or water.",
        lesson="A turbine passes heat on; it does not swallow it.",
        source="closed form: first law",
    ),
)
