"""How a tee becomes one point."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Let all lines meet in one point."""
    builder.join("in", "out")
