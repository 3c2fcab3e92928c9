"""The faults of a chiller that obeys physics: frost at its evaporator, a lift that none can make."""

from collections.abc import Iterable

from brinewright.components.liquid_state import freezing_point, is_water
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

WATER_LEAVES = 277.15
"""Coldest water that may leave an evaporator, wall and outlet being two things [K]."""
STATE_OF_THE_ART = 433.15
"""Condensation that machines reach today [K]."""
EARNEST = 1.0
"""Cooling above which a machine counts as running [W]."""


def frost_at_the_wall(case: Case) -> Iterable[Measure]:
    """Hold the evaporator's wall, and the setting of its frost guard, against the freezing point."""
    margin = case.margin("freeze")
    for view in case.playing("cooler"):
        if not view.declares("lowest_step") or not view.connected("in"):
            continue
        freezes = freezing_point(view.liquid)
        leaving = _coldest_leaving(case, view)
        if freezes <= 0.0 or leaving is None:
            continue
        approach = view.number("evaporator_approach") if view.declares("evaporator_approach") else 0.0
        wall = leaving - approach
        numbers = [
            Number(
                symbol="T_out",
                value=leaving,
                quantity="temperature",
                text="coldest of the run while it cools",
            ),
            Number(
                symbol="T_freeze",
                value=freezes,
                quantity="temperature",
                text=f"of {view.liquid.properties or view.liquid.name}",
            ),
        ]
        if is_water(view.liquid):
            yield Measure(
                subject=(view.tag,),
                value=leaving,
                limit=WATER_LEAVES,
                quantity="temperature",
                bound="at least",
                text=f"Water leaves {view.tag} at {show(leaving, 'temperature', digits=3)} at its coldest.",
                numbers=tuple(numbers),
            )
            continue
        numbers.insert(
            1,
            Number(
                symbol="d_e",
                value=approach,
                quantity="temperature difference",
                text="evaporator_approach: leaving liquid above evaporation",
            ),
        )
        yield Measure(
            subject=(view.tag,),
            value=wall,
            limit=freezes + margin,
            quantity="temperature",
            bound="at least",
            text=f"The wall of {view.tag} gets down to {show(wall, 'temperature', digits=3)} while "
            f"{show(leaving, 'temperature', digits=3)} leaves it; "
            f"the liquid freezes at {show(freezes, 'temperature', digits=3)}.",
            numbers=(
                *numbers,
                Number(
                    symbol="m",
                    value=margin,
                    quantity="temperature difference",
                    text="margin.freeze, the loop's or the usual one",
                ),
            ),
        )
        if view.declares("lowest_evaporation") and view.has("lowest_evaporation"):
            guard = view.number("lowest_evaporation")
            yield Measure(
                subject=(view.tag,),
                value=guard,
                limit=freezes,
                quantity="temperature",
                bound="at least",
                text=f"The frost guard of {view.tag} stops it at {show(guard, 'temperature', digits=3)}; "
                f"its liquid freezes at {show(freezes, 'temperature', digits=3)}.",
                numbers=(
                    Number(symbol="T_guard", value=guard, quantity="temperature", text="lowest_evaporation"),
                    numbers[-1],
                ),
                remedy="Set the guard above the freezing point of the liquid that is in the loop.",
            )


def _coldest_leaving(case: Case, view: PartView) -> float | None:
    """Return the coldest liquid that leaves while the machine cools, of the run's samples [K]."""
    if case.seen(view.tag, "cooling") is None:
        return None
    _, cooling = case.trace(view.tag, "cooling")
    _, leaving = case.trace(view.tag, "outlet temperature")
    leaving = leaving[cooling > EARNEST]
    return float(leaving.min()) if len(leaving) else None


def lift(case: Case) -> Iterable[Measure]:
    """Hold the condensation temperature of each machine against what it, and any machine, can reach."""
    for view in case.playing("cooler"):
        if not view.declares("lowest_step"):
            continue
        metal = case.seen(view.tag, "metal temperature")
        if metal is None:
            continue
        approach = view.number("condenser_approach")
        condensing = metal.max + approach
        own = max(row[1] for row in view.rows("table")) if view.declares("table") else (
            view.number("highest_condensation")
        )  # fmt: skip
        limit = min(own, STATE_OF_THE_ART)
        which = "its own highest" if own <= STATE_OF_THE_ART else "the highest that machines reach today"
        yield Measure(
            subject=(view.tag, view.inside) if view.inside else (view.tag,),
            value=condensing,
            limit=limit,
            quantity="temperature",
            bound="at most",
            text=f"{view.tag} condenses at {show(condensing, 'temperature', digits=4)} to give its heat to "
            f"what it stands in; {which} is {show(limit, 'temperature', digits=4)}.",
            numbers=(
                Number(
                    symbol="T_metal", value=metal.max, quantity="temperature", text="hottest metal of the run"
                ),
                Number(
                    symbol="d_h",
                    value=approach,
                    quantity="temperature difference",
                    text="condenser_approach: condensation above its metal",
                ),
                Number(
                    symbol="T_h",
                    value=condensing,
                    quantity="temperature",
                    text="condensation, T_metal + d_h",
                ),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F02",
        title="Frost at the evaporator's wall",
        severity="C",
        method="run",
        world="real",
        judge=frost_at_the_wall,
        formula="T_out - d_e < T_freeze + m (water: T_out < 4 degC), or a frost guard below T_freeze",
        consequence="Ice forms on the tubes, the flow stops, and the tubes burst.",
        remedy="Hold the leaving liquid warmer, take a stronger mixture, and set frost guard and flow proof.",
        lesson="It freezes first where nobody measures: at the wall, colder by some kelvin than what leaves.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F38",
        title="Lift beyond what a machine can do",
        severity="C",
        method="run",
        world="real",
        judge=lift,
        formula="T_h > its highest condensation, or > 160 degC",
        consequence="No one can build it, or its guard stops it just when the vessel is hottest.",
        remedy="Let the vessel run cooler, or lift in two machines one upon the other.",
        lesson="A chiller is a pump for heat, and every pump has a height to which it cannot lift.",
        source="published state of high-temperature heat pumps, IEA Annex 58 (from memory, verify)",
    ),
)
