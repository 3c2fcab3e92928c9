"""What is cooled, what it draws and what surrounds it, without a run."""

import math
from collections.abc import Sequence

from brinewright.checks.timeline import Timeline
from brinewright.model.case import Case
from brinewright.model.part_view import PartView


def ambient_temperature(case: Case, timeline: Timeline) -> float:
    """Return the mean temperature around the plant [K]."""
    raw = case.loop.site.get("ambient_temperature", case.rules.site.get("ambient_temperature"))
    return timeline.mean(raw) if isinstance(raw, float | int | str) else 293.15


def consumer_heat(
    view: PartView, timeline: Timeline, time: float, supply: float, flow: float, ambient: float
) -> float:
    """Return the heat that a consumer gives to its liquid at a time, its own store left out [W].

    Parameters
    ----------
    view : the consumer
    timeline : of the loop's schedules
    time : from midnight of the first day [s]
    supply : temperature of the liquid that comes [K]
    flow : of that liquid [kg/s]
    ambient : temperature around the plant [K]
    """
    carried = max(flow, 1e-9) * view.heat_capacity
    if view.declares("inlet_temperature"):
        stream = timeline.at(view.raw("flow"), time) * view.number("stream_heat_capacity")
        through = view.number("conductance")
        if stream <= 0.0 or through <= 0.0:
            return 0.0
        return (timeline.at(view.raw("inlet_temperature"), time) - supply) / (
            1.0 / stream + 1.0 / through + 1.0 / carried
        )
    own = timeline.at(view.raw("gains" if view.declares("gains") else "heat"), time)
    outside = view.number("outside_conductance") if view.declares("outside_conductance") else 0.0
    through = view.number("coil_conductance" if view.declares("coil_conductance") else "conductance")
    if outside == 0.0 or through <= 0.0:
        return own if through > 0.0 else 0.0
    grip = -carried * math.expm1(-through / carried)
    temperature = (own + outside * ambient + grip * supply) / (outside + grip)
    return grip * (temperature - supply)


def flow_shares(consumers: Sequence[PartView], flow: float) -> list[float]:
    """Share a flow among consumers evenly, none above its own capacity [kg/s]."""
    limits = [
        view.number("capacity") if view.declares("capacity") and view.has("capacity") else flow
        for view in consumers
    ]
    shares = [0.0] * len(consumers)
    left, waiting = flow, sorted(range(len(consumers)), key=lambda k: limits[k])
    while waiting:
        even = left / len(waiting)
        k = waiting.pop(0)
        shares[k] = min(limits[k], even)
        left -= shares[k]
    return shares


def auxiliary_power(case: Case, timeline: Timeline) -> float:
    """Return the mean electric power of all that is neither chiller nor turbine [W]."""
    total = 0.0
    for view in case.parts:
        if view.declares("drop") or not view.gives("power") or not view.gives("powered"):
            continue
        for name in ("power", "fan_power", "electric_power"):
            if view.declares(name) and view.has(name):
                total += timeline.mean(view.raw(name)) * view.count
    return total


def shell_conductance(case: Case, machine: PartView) -> float:
    """Return the declared conductance from a casing to where its heat goes without a jacket [W/K].

    That of the open hall, or of an enclosure's gas and shell in series, for each unit of a bank.
    """
    for view in case.parts:
        if machine.tag not in view.refers("around") or not view.declares("conductance"):
            continue
        gas = view.word("gas")
        factor = 0.0 if gas == "vacuum" else case.rules.gas(gas).factor
        inner = factor * view.number("conductance")
        outer = view.number("shell_conductance")
        if view.connected("in"):
            outer += view.number("cooler_conductance")
        return inner * outer / (inner + outer) / machine.count if inner + outer > 0.0 else 0.0
    return machine.number("hall_conductance")
