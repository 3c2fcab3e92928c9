"""How a grid becomes a limited supply of a bus."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay the grid down."""
    closed = builder.position("closed", 1.0)
    builder.grid(
        builder.bus_for(part.refers("bus")),
        builder.channel("power", "W"),
        closed,
        part.number("import_limit"),
        part.number("export_limit"),
    )
