"""How a steam vessel becomes a thermal node whose temperature its own law tells."""

from brinewright.model.lowering import Builder, PartView

WATER = 1000.0
"""Density at which a declared lump's level is counted [kg/m3]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a vessel down."""
    _lump(part, builder)


def _lump(part: PartView, builder: Builder) -> None:
    begin = part.start("temperature")
    water = part.number("water_mass")
    metal = part.number("metal_mass") * part.metal_heat_capacity("metal_heat_capacity")
    heat = part.number("water_heat_capacity")
    capacity = water * heat + metal
    node = builder.free_node("temperature", capacity * begin, 1.0 / capacity, begin)
    mass = builder.channel("mass", "kg", water)
    level = builder.channel("level", "1", min(water / (WATER * part.number("volume")), 1.0))
    builder.mass(mass)
    builder.record(
        "vessel lump",
        [node, mass, level, builder.channel("metal temperature", "K", begin)],
        [heat, metal, WATER * part.number("volume")],
    )
    builder.conductance(node, builder.surroundings(), part.number("loss_conductance"))
    limit = part.limit("metal_limit")
    if limit > 0.0:
        builder.watch(node, limit, "above", "overheated", "The vessel is hotter than its material stands.")
    builder.watch(level, 1e-3, "below", "dry", "The vessel has run dry.")
    if part.has("relief_temperature"):
        builder.watch(
            node, part.number("relief_temperature"), "above", "relief", "The vessel has to be relieved."
        )
