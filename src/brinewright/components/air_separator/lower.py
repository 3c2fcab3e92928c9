"""How an air separator becomes content with a resistance."""

from brinewright.model.lowering import Builder, PartView

NAMES = ("flow", "", "temperature")


def lower(part: PartView, builder: Builder) -> None:
    """Lay an air separator down."""
    if part.law == "ideal":
        capacity = builder.hidden(start=part.number("capacity")) if part.has("capacity") else None
        builder.inline("in", "out", mass=part.number("hold_up"), capacity=capacity, names=NAMES)
        return
    from brinewright.laws.valve_flow import mass_flow_resistance

    builder.inline(
        "in",
        "out",
        mass=part.number("hold_up"),
        quadratic=builder.constant(mass_flow_resistance(part.number("flow_coefficient"), part.density)),
        pressure_loss=builder.channel("pressure loss", "Pa"),
        names=NAMES,
    )
