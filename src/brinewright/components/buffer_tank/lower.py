"""How a buffer tank becomes a store of liquid and a thermal node."""

import math

from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""Capacity of a tank that has no limit of its own [kg/s]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a tank down: its content, its limits, what it loses to where it stands."""
    full = part.number("volume") * part.density
    level = part.start("level")
    begin = part.start("temperature")
    mass = builder.channel("mass", "kg", full * level)
    node = builder.node("temperature", full * level * part.heat_capacity, begin)
    height = part.number("tank_height") or (4.0 * part.number("volume") / math.pi) ** (1.0 / 3.0)
    loses = part.number("loss_conductance") > 0.0
    around = builder.surroundings() if loses else None
    loss = builder.channel("loss", "W")
    if around is not None and part.law == "mixed":
        builder.conductance(node, around, part.number("loss_conductance"))
        builder.record("tank loss", [node, around, loss], [part.number("loss_conductance")])
    layered = part.law == "stratified"
    builder.tank(
        ("in", "out"),
        law=part.law,
        node=node,
        mass=mass,
        level=builder.channel("level", "1", level),
        least=full * part.number("lowest_level"),
        most=full * part.number("highest_level"),
        full=full,
        base=part.number("elevation"),
        height=height,
        gas_pressure=part.number("closed_pressure") or builder.site("ambient_pressure"),
        outlet=builder.channel("outlet temperature", "K", begin),
        inflow=builder.channel("inflow", "kg/s"),
        outflow=builder.channel("outflow", "kg/s"),
        loss=loss,
        around=None if part.law == "mixed" else around,
        conductance=part.number("loss_conductance"),
        most_in=part.number("inflow_capacity") or NO_LIMIT,
        most_out=part.number("outflow_capacity") or NO_LIMIT,
        layers=int(part.number("layers")) if layered else 0,
        spread=part.number("mixing_conductivity") * part.number("volume") / height if layered else 0.0,
        inlet_height=part.number("inlet_height") if layered else 1.0,
        outlet_height=part.number("outlet_height") if layered else 0.0,
    )
