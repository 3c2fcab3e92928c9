"""How a bus becomes a power balance."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a bus down."""
    real = part.law == "losses"
    bus = builder.bus(
        sheds=part.word("when_short") == "sheds in order",
        back=part.number("restores_after"),
        nominal=part.number("voltage") if real else 0.0,
        lowest=part.number("lowest_voltage") if real else 0.0,
        strength=part.number("short_circuit_power") if real else 0.0,
    )
    builder.watch(bus.short, 0.0, "above", "power-short", "The bus has less power than its loads draw.")
    builder.watch(
        bus.live,
        0.5,
        "below",
        "brown-out",
        "The bus cannot feed what hangs on it any more: all its loads stop.",
    )
    if real:
        builder.watch(
            bus.dip,
            0.5,
            "above",
            "voltage-dip",
            "What starts pulls the voltage down so far that contactors let go: all its loads stop.",
        )
    if part.has("rating"):
        over = part.number("rating") * (1.0 + 1e-9)
        builder.watch(bus.drawn, over, "above", "bus-overload", "More power passes the bus than its rating.")
