"""How a machine becomes a node with heat of its own."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a machine down."""
    node = builder.node("temperature", part.number("heat_capacity"), part.start("temperature"))
    if part.number("outside_conductance") > 0.0:
        # an enclosure round it takes this way over
        builder.conductance(node, builder.surroundings(), part.number("outside_conductance"), name="hall")
    builder.watch(
        node, part.number("highest_temperature"), "above", "too-warm", "The machine is hotter than it may be."
    )
    if part.has("lowest_temperature"):
        builder.watch(
            node,
            part.number("lowest_temperature"),
            "below",
            "too-cold",
            "The machine is colder than it may be.",
        )
    power = builder.channel("power", "W")
    heat = builder.channel("heat", "W")
    running = builder.position("running", 1.0)
    powered = builder.load(power, part.peak("electric_power"))
    capacity, coil = builder.hidden(), builder.hidden()
    limit = full = 0.0
    if part.connected("in") and part.connected("out"):
        limit = part.number("capacity") if part.has("capacity") else 1e6
        full = part.number("conductance")
        capacity = builder.hidden(start=limit)
        stream = builder.inline(
            "in", "out", mass=part.number("hold_up"), node=node, conductance=full, capacity=capacity,
            heat="cooling", quadratic=rated_resistance(part, builder),
            names=("flow", "", "outlet temperature"),
        )  # fmt: skip
        coil = stream.conductance
    builder.record(
        "machine",
        [
            builder.command(1.0), running, powered, power, heat, builder.series("electric_power"),
            builder.series("heat"), node, builder.account("people and machines"), capacity, coil,
        ],
        [limit, full, float(part.word("when_stopped") == "dead end")],
    )  # fmt: skip
