"""How a feeder becomes a limit, and a loss, between loads and their bus."""

from brinewright.model.lowering import Builder, PartView

RESISTIVITY = {"copper": 1.75e-8, "aluminium": 2.83e-8}
"""Resistivity of the conductors of cables at 20 degC, after the resistances of IEC 60228 [ohm m]."""
ROUNDING = 1.0 + 1e-9


def lower(part: PartView, builder: Builder) -> None:
    """Lay a feeder down."""
    bus = builder.bus_for(part.refers("bus"))
    limit = part.number("limit")
    opens = part.word("when_over") == "opens"
    loss = drop = None
    load_loss = load_drop = 0.0
    power_factor = 1.0
    if part.law == "losses":
        loss, drop = builder.channel("loss", "W"), builder.channel("voltage drop", "1")
        power_factor = part.number("power_factor")
        load_loss, load_drop = at_its_limit(part, builder.part(bus).number("voltage"))
        builder.heat(builder.surroundings(), loss, builder.account("electricity"))
        builder.watch(
            drop,
            part.number("highest_drop"),
            "above",
            "voltage-drop",
            "The feeder loses more voltage on its way than its loads should bear.",
        )
    feeder = builder.feeder(
        bus,
        limit=limit,
        opens=opens,
        after=part.number("opens_after"),
        again=part.number("recloses_after"),
        load_loss=load_loss,
        load_drop=load_drop,
        power_factor=power_factor,
        loss=loss,
        drop=drop,
    )
    builder.watch(
        feeder.power, limit * ROUNDING, "above", "feeder-overload", "The feeder carries more than its limit."
    )
    if opens:
        builder.watch(
            feeder.tripped,
            0.5,
            "above",
            "feeder-opened",
            "The feeder opened above its limit: all that hangs on it has lost its power.",
        )


def at_its_limit(part: PartView, voltage: float) -> tuple[float, float]:
    """Return what a feeder loses at its limit: power [W], and voltage as a share of `voltage`."""
    # here, so that reading a file does not load the compiler
    from brinewright.laws.electric import feeder_loss, three_phase_current, voltage_drop

    cables = part.number("cables")
    resistance = RESISTIVITY[part.word("conductor")] / (part.number("conductor_area") * cables)
    reactance = part.number("reactance") / cables
    factor = part.number("power_factor")
    length = part.number("route_length")
    current = three_phase_current(part.number("limit"), voltage, factor)
    drop = voltage_drop(current, length, resistance, reactance, factor)
    return feeder_loss(current, length, resistance), drop / voltage
