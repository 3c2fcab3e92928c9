"""How a tee becomes one point."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Let all lines meet in one point."""
    builder.join(
        "in",
        "out",
        flow=builder.channel("flow", "kg/s"),
        temperature=builder.channel("temperature", "K", part.working_mean),
    )
