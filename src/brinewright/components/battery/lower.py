"""How a battery becomes a store on a bus."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a battery down."""
    real = part.law == "losses"
    energy = part.number("energy")
    begin = part.start("charge")
    lowest = part.number("lowest_charge") if real else 0.0
    charge = builder.channel("charge", "1", begin)
    loss = builder.channel("loss", "W")
    # a declared store loses its losses from sight; a real one warms where it stands
    gone = builder.surroundings() if real else builder.account("unaccounted for")
    builder.heat(gone, loss, builder.account("electricity"))
    builder.battery(
        builder.bus_for(part.refers("bus")),
        stored=builder.channel("energy", "J", energy * begin),
        power=builder.channel("power", "W"),
        charge=charge,
        loss=loss,
        numbers=[
            energy,
            energy * lowest,
            part.number("charge_efficiency"),
            part.number("discharge_efficiency"),
            part.number("charge_power"),
            part.number("discharge_power"),
            part.number("standing_loss") if real else 0.0,
        ],
    )
    builder.watch(
        charge,
        lowest + 1e-9,
        "below",
        "battery-empty",
        "The battery has given all that it may give.",
        back=0.01,
    )
