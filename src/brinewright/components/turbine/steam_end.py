"""The faults of a turbine that obeys physics: too wet an exhaust, cold water on hot metal."""

from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

DRIEST_NEEDED = 0.88
"""Exhaust dryness below which drops wear the blades."""
COLD_ON_HOT = 100.0
"""Difference of metal and returned water that metal bears for years [K]."""


def exhaust_dryness(inlet: float, exhaust: float, efficiency: float) -> float:
    """Return the dryness of steam that enters dry and saturated and expands.

    h_2 = h_g(p_1) - eta (h_g(p_1) - h_2s),  x_2 = (h_2 - h_f(p_2)) / h_fg(p_2)

    Parameters
    ----------
    inlet : pressure p_1 [Pa]
    exhaust : pressure p_2 [Pa]
    efficiency : isentropic [-]

    Example
    -------
    >>> round(exhaust_dryness(3.1323e5, 9595.0, 0.70), 3)
    0.908
    """
    from brinewright.fluids import property_value
    from brinewright.laws.expansion import dryness, specific_work

    def at(pressure: float, name: str, share: float) -> float:
        return float(property_value("water", name, pressure=pressure, dryness=share).value)

    entering, entropy = at(inlet, "enthalpy", 1.0), at(inlet, "entropy", 1.0)
    liquid, vapour = at(exhaust, "enthalpy", 0.0), at(exhaust, "enthalpy", 1.0)
    share = (entropy - at(exhaust, "entropy", 0.0)) / (
        at(exhaust, "entropy", 1.0) - at(exhaust, "entropy", 0.0)
    )
    work = specific_work(entering, liquid + share * (vapour - liquid), efficiency)
    return float(dryness(entering - work, liquid, vapour))


def too_wet(case: Case) -> Iterable[Measure]:
    """Hold the dryness of the exhaust at the design point against what blades bear."""
    for view in case.of_kind("turbine"):
        if not view.declares("design_inlet_pressure"):
            continue
        inlet, exhaust = view.number("design_inlet_pressure"), view.number("design_exhaust_pressure")
        efficiency = view.number("isentropic_efficiency")
        dry = exhaust_dryness(inlet, exhaust, efficiency)
        yield Measure(
            subject=(view.tag,),
            value=dry,
            limit=DRIEST_NEEDED,
            quantity="ratio",
            bound="at least",
            text=f"Steam leaves {view.tag} with {show(1.0 - dry, 'ratio', digits=3)} of its mass as "
            f"drops when it expands from "
            f"{show(inlet, 'pressure', digits=3)} to {show(exhaust, 'pressure', digits=3)}.",
            numbers=(
                Number(symbol="p_1", value=inlet, quantity="pressure", text="design_inlet_pressure"),
                Number(symbol="p_2", value=exhaust, quantity="pressure", text="design_exhaust_pressure"),
                Number(symbol="eta_is", value=efficiency, quantity="ratio", text="isentropic_efficiency"),
                Number(symbol="x_2", value=dry, quantity="ratio", text="from the tables of water"),
            ),
        )


def cold_return(case: Case) -> Iterable[Measure]:
    """Hold the vessel's metal against the condensate that comes back to it."""
    for view in case.of_kind("turbine"):
        if not view.declares("design_inlet_pressure"):
            continue
        vessel = next(iter(view.refers("vessel")), "")
        metal, returned = (
            case.seen(vessel, "metal temperature"),
            case.seen(view.tag, "condensate temperature"),
        )
        if metal is None or returned is None:
            continue
        difference = metal.max - returned.min
        yield Measure(
            subject=(vessel, view.tag),
            value=difference,
            limit=COLD_ON_HOT,
            quantity="temperature difference",
            bound="at most",
            text=f"Condensate of {view.tag} at {show(returned.min, 'temperature', digits=3)} returns to "
            f"{vessel}, whose metal is at {show(metal.max, 'temperature', digits=4)}.",
            numbers=(
                Number(
                    symbol="T_metal", value=metal.max, quantity="temperature", text="hottest metal of the run"
                ),
                Number(
                    symbol="T_return",
                    value=returned.min,
                    quantity="temperature",
                    text="coldest condensate of the run",
                ),
            ),
        )


def _real(case: Case) -> list[PartView]:
    return [view for view in case.of_kind("turbine") if view.declares("design_inlet_pressure")]


def asks_about_water(case: Case) -> Iterable[Measure]:
    """Ask how water is kept out of each turbine."""
    for view in _real(case):
        vessel = next(iter(view.refers("vessel")), "")
        level = case.seen(vessel, "level")
        told = (
            f" The level of {vessel} rises to {show(level.max, 'ratio', digits=3)} in the day."
            if level
            else ""
        )
        yield _asked(
            (view.tag, vessel),
            f"{view.tag} draws steam from {vessel}.{told}",
        )


def asks_about_speed(case: Case) -> Iterable[Measure]:
    """Ask what holds each turbine's speed when its load is gone."""
    for view in _real(case):
        power = case.seen(view.tag, "generated")
        most = power.max if power else view.number("highest_power") * view.count
        yield _asked(
            (view.tag,),
            f"{view.tag} gives up to {show(most, 'power', digits=3)}; when its breaker opens, all that "
            "drives its shaft alone.",
        )


def _asked(subject: tuple[str, ...], text: str) -> Measure:
    return Measure(subject=subject, value=0.0, limit=0.0, quantity="count", bound="at most", text=text)


CRITERIA = (
    Criterion(
        code="BW-F59",
        title="Cold water on hot metal",
        severity="W",
        method="run",
        world="real",
        judge=cold_return,
        formula="T_metal - T_return > 100 K",
        consequence="The metal where the water enters cracks in the course of years.",
        remedy="Lead it in through a sleeve or a sparge pipe under the water, or warm it first.",
        lesson="Hot metal bears heat well, but not a cold stream on one spot.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F60",
        title="Water carried into a turbine",
        severity="S",
        method="question",
        world="real",
        judge=asks_about_water,
        formula="the vessel's level or an undrained line can send water to the blades",
        consequence="A slug of water wrecks the blades, and pieces may leave the casing.",
        remedy="Trip the turbine on high level, drain every low point of the steam line, warm it up first.",
        lesson="To blades that spin, a litre of water is a stone.",
        source="ASME TDP-1 (from memory, verify)",
        question="Does a high level trip the turbine, is every low point of the steam line drained, "
        "and is the line warmed up before each start?",
    ),
    Criterion(
        code="BW-F61",
        title="Exhaust too wet",
        severity="W",
        method="closed form",
        world="real",
        judge=too_wet,
        formula="x_2 < 0.88",
        consequence="Drops wear the last blades away.",
        remedy="Condense warmer, superheat, or expand in two steps with the water taken out between.",
        lesson="Steam that gives much of its heat away becomes rain, and rain at that speed is sandpaper.",
        source="common practice, no source; properties after IAPWS R6-95(2018)",
    ),
    Criterion(
        code="BW-F123",
        title="Turbine runs away when its load is gone",
        severity="S",
        method="question",
        world="real",
        judge=asks_about_speed,
        formula="the load is lost while steam flows and no stop valve shuts within a second",
        consequence="The rotor bursts.",
        remedy="Governor, a stop valve that shuts by itself in under a second, an own overspeed trip.",
        lesson="A turbine without load does not idle: it runs faster until something breaks.",
        source="common practice, no source; usual trip at 110 % of speed (from memory, verify)",
        question="Has the overspeed trip been tested, does the stop valve shut within one second of a lost "
        "load, and does it shut without power or signal?",
    ),
)
