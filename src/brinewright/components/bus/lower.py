"""How a bus becomes a power balance."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a bus down."""
    builder.bus(sheds=part.word("when_short") == "sheds in order", back=part.number("restores_after"))
