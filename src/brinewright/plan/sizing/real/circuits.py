"""Circuits: main, pump and what they add to the load that sets their flow."""

from dataclasses import dataclass

from brinewright.laws import insulation
from brinewright.plan.sizing.real.coolant import Coolant
from brinewright.plan.sizing.real.design import Circuit
from brinewright.plan.sizing.real.loads import Load
from brinewright.plan.sizing.real.piping import FITTINGS, lifted, line_loss, size_for
from brinewright.plan.sizing.stock import Item

EVAPORATOR_LOSS = 45e3
VALVES_LOSS = 15e3
"""Pressure lost in an evaporator, and in the valves of a circuit [Pa], common practice."""
ROOM_AIR = 22.0 + 273.15
"""Air around pipes inside [K]."""
INSULATION, INSULATION_CONDUCTIVITY, INSIDE_FILM, AIR_FILM = 0.04, 0.037, 2000.0, 9.0
"""Of the pipes [m], [W/(m K)] and [W/(m2 K)], common practice."""
WALL = 0.0036
"""Thickness of the pipes [m]."""
ROUNDS = 12
"""Rounds in which load and flow settle; three are enough."""


@dataclass(frozen=True)
class Hydraulics:
    """The loop that settles between load, flow and what pump and pipes add to the load."""

    load: float
    circuit: Circuit
    gains: float


def circuit(
    coolant: Coolant,
    flow: float,
    length: float,
    fixed_loss: float,
    mover: Item,
    fittings: float = FITTINGS,
) -> Circuit:
    """Return a circuit of one main and what else loses pressure in it.

    Parameters
    ----------
    coolant : the liquid
    flow : [kg/s]
    length : of the main there and back [m]
    fixed_loss : of everything else at that flow [Pa]
    mover : the pump
    fittings : their loss as a share of that of straight pipe [-]
    """
    main = size_for(flow, coolant)
    pressure = line_loss(flow, length, main.bore, coolant, fittings) + fixed_loss
    shaft = lifted(pressure, flow, coolant, mover.number("efficiency"))
    return Circuit(
        coolant=coolant,
        flow=flow,
        main=main,
        length=length,
        pressure=pressure,
        shaft=shaft,
        electric=shaft / mover.number("motor_efficiency"),
    )


def pipe_gain(size_bore: float, length: float, there: float, back: float) -> float:
    """Return the heat into insulated mains, half their length cold and half warm, [W]."""
    wall = size_bore + 2.0 * WALL
    conductance = insulation.pipe_conductance(
        INSIDE_FILM, size_bore, wall, 50.0, INSULATION, INSULATION_CONDUCTIVITY, AIR_FILM
    )
    return 0.5 * length * conductance * ((ROOM_AIR - there) + (ROOM_AIR - back))


def settled_load(
    loads: tuple[Load, ...], coolant: Coolant, supply: float, length: float, mover: Item, *, tank_gain: float
) -> Hydraulics:
    """Return load, flow and gains of the consumers' loop: each adds to the others."""
    consumers = sum(load.peak for load in loads)
    stated = sum(load.flow for load in loads)
    rise = consumers / (stated * coolant.heat_capacity)
    load, gains = consumers, 0.0
    found = circuit(coolant, stated, length, 0.0, mover)
    for _ in range(ROUNDS):
        flow = load / (coolant.heat_capacity * rise)
        loss = EVAPORATOR_LOSS + max(item.loss for item in loads) + VALVES_LOSS
        found = circuit(coolant, flow, length, loss, mover)
        gains = pipe_gain(found.main.bore, length, supply, supply + rise)
        load = consumers + gains + tank_gain + found.shaft
    return Hydraulics(load, found, gains)
