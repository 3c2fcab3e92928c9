"""How a buffer tank becomes a store of liquid and a thermal node."""

import math

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a tank down: its content, its limits, what it loses to where it stands."""
    full = part.number("volume") * part.density
    level = part.start("level")
    begin = part.start("temperature")
    mass = builder.channel("mass", "kg", full * level)
    node = builder.node("temperature", full * level * part.heat_capacity, begin)
    if part.number("loss_conductance") > 0.0:
        builder.conductance(node, builder.surroundings(), part.number("loss_conductance"))
    height = part.number("tank_height") or (4.0 * part.number("volume") / math.pi) ** (1.0 / 3.0)
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
        layers=int(part.number("layers")) if part.law == "stratified" else 0,
        spread=part.number("mixing_conductivity") if part.law == "stratified" else 0.0,
    )
