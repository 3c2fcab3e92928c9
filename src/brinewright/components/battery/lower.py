"""How a battery becomes a store on a bus."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a battery down."""
    energy = part.number("energy")
    stored = builder.channel("energy", "J", energy * part.start("charge"))
    builder.battery(
        builder.bus_for(part.refers("bus")),
        stored,
        builder.channel("power", "W"),
        builder.channel("charge", "1", part.start("charge")),
        [
            energy,
            energy * (part.number("lowest_charge") if part.law == "losses" else 0.0),
            part.number("charge_efficiency"),
            part.number("discharge_efficiency"),
            part.number("charge_power"),
            part.number("discharge_power"),
        ],
    )
