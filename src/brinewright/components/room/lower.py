"""How a room becomes one or two nodes, a coil and its gains."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a room down."""
    begin = part.start("temperature")
    outside = builder.surroundings()
    if part.law == "lump":
        air = builder.node("temperature", part.number("heat_capacity"), begin)
        builder.conductance(air, outside, part.number("outside_conductance"))
    else:
        air = builder.node("temperature", part.number("air_heat_capacity"), begin)
        start = part.begins_at("wall_temperature")
        wall = builder.node(
            "wall temperature", part.number("wall_heat_capacity"), begin if start is None else start
        )
        builder.conductance(air, wall, part.number("air_wall_conductance"))
        builder.conductance(wall, outside, part.number("wall_outside_conductance"))
        builder.conductance(air, outside, part.number("air_outside_conductance"))
    gains = builder.channel("gains", "W")
    builder.follow_into(gains, "gains")
    builder.heat(air, gains, builder.account("people and machines"))
    builder.watch(
        air, part.number("highest_temperature"), "above", "too-warm", "The room is warmer than it may be."
    )
    if part.has("lowest_temperature"):
        builder.watch(
            air, part.number("lowest_temperature"), "below", "too-cold", "The room is colder than it may be."
        )
    if part.connected("in") and part.connected("out"):
        limit = part.number("capacity") if part.has("capacity") else 1e6
        capacity = builder.hidden(start=limit)
        coil = part.number("coil_conductance")
        stream = builder.inline(
            "in", "out", mass=part.number("hold_up"), node=air, conductance=coil, capacity=capacity,
            heat="cooling", quadratic=rated_resistance(part, builder),
        )  # fmt: skip
        running = builder.position("running", 1.0)
        builder.record(
            "room coil",
            [builder.command(1.0), running, capacity, stream.conductance],
            [limit, coil, float(part.word("when_stopped") == "dead end")],
        )
