"""How a strainer becomes content, with a resistance that dirt raises."""

from brinewright.model.lowering import Builder, PartView

NAMES = ("flow", "", "temperature")


def lower(part: PartView, builder: Builder) -> None:
    """Lay a strainer down."""
    if part.law == "ideal":
        capacity = builder.hidden(start=part.number("capacity")) if part.has("capacity") else None
        builder.inline("in", "out", mass=part.number("hold_up"), capacity=capacity, names=NAMES)
        return
    from brinewright.laws.valve_flow import mass_flow_resistance

    coefficient = part.number("flow_coefficient") * (1.0 - part.number("fouling"))
    loss = builder.channel("pressure loss", "Pa")
    builder.inline(
        "in",
        "out",
        mass=part.number("hold_up"),
        quadratic=builder.constant(mass_flow_resistance(coefficient, part.density)),
        pressure_loss=loss,
        names=NAMES,
    )
    builder.watch(
        loss, part.number("dirty_loss"), "above", "dirty", "The strainer has to be cleaned.", after=60.0
    )
