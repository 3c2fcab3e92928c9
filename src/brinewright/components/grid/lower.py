"""How a grid becomes a limited supply of a bus, or of the transformer that names it."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay the grid down."""
    named = part.refers("bus")
    bus = "" if not named and builder.is_named_by("supply") else builder.bus_for(named)
    builder.grid(
        bus,
        power=builder.channel("power", "W"),
        most_in=part.number("import_limit"),
        most_out=part.number("export_limit"),
    )
