"""How a feeder becomes a limit between loads and their bus."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a feeder down."""
    builder.feeder(
        builder.bus_for(part.refers("bus")),
        limit=part.number("limit"),
        fixed_loss=0.0,
        load_loss=0.0,
        opens=part.word("when_over") == "opens",
        after=part.number("opens_after"),
        again=part.number("recloses_after"),
    )
