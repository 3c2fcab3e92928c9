"""How an expansion vessel holds the pressure of a circuit that has no tank."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Let a gas cushion hold its charge pressure where the vessel is joined; it takes up no liquid."""
    if part.law == "gas cushion":
        for tag in part.refers("on"):
            builder.hold_pressure(tag, part.number("charge_pressure"))
