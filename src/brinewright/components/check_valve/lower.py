"""How a check valve becomes a way that lets nothing back."""

from brinewright.model.lowering import Builder, PartView

NAMES = ("flow", "", "temperature")


def lower(part: PartView, builder: Builder) -> None:
    """Lay a check valve down; where ranks decide, flow never turns and it only limits."""
    if part.law == "ideal":
        stream = builder.inline(
            "in",
            "out",
            mass=part.number("hold_up"),
            capacity=builder.hidden(start=part.number("capacity")) if part.has("capacity") else None,
            names=NAMES,
        )
    else:
        from brinewright.laws.valve_flow import mass_flow_resistance

        stream = builder.inline(
            "in",
            "out",
            mass=part.number("hold_up"),
            quadratic=builder.constant(mass_flow_resistance(part.number("flow_coefficient"), part.density)),
            head=builder.constant(-part.number("opening_pressure")),
            check=True,
            pressure_loss=builder.channel("pressure loss", "Pa"),
            names=NAMES,
        )
    builder.record("check valve", [stream.flow, builder.channel("open", "1")], [])
