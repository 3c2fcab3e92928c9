"""How a shut-off valve becomes a capacity, or a resistance, that follows its stroke."""

from brinewright.model.lowering import Builder, PartView

FAILS = {"shut": 0.0, "open": 1.0, "stays": -1.0}
NAMES = ("flow", "", "temperature")


def lower(part: PartView, builder: Builder) -> None:
    """Lay a valve down: command, stroke, what it lets pass."""
    from brinewright.laws.valve_stroke import CHARACTERISTICS, NO_LIMIT

    begin = {"open": 1.0, "shut": 0.0, "": 1.0}[part.start_word("position")]
    position = builder.position("position", begin)
    stroke = part.number("stroke_time")
    ideal = part.law == "ideal"
    limit = part.number("capacity") if ideal and part.has("capacity") else NO_LIMIT
    capacity = builder.hidden(start=limit)
    ints = [builder.command(begin), position, capacity, builder.supplied()]
    numbers = [
        1.0 / stroke if stroke > 0.0 else 1.0,
        limit,
        part.number("leak"),
        FAILS[part.word("fail_position")],
    ]
    if ideal:
        builder.record("shut-off valve", ints, numbers)
        builder.inline("in", "out", mass=part.number("hold_up"), capacity=capacity, names=NAMES)
        return
    quadratic = builder.hidden()
    builder.record(
        "shut-off coefficient",
        [*ints, quadratic],
        [
            *numbers,
            part.number("flow_coefficient"),
            float(CHARACTERISTICS[part.word("characteristic")]),
            part.density,
        ],
    )
    builder.inline(
        "in",
        "out",
        mass=part.number("hold_up"),
        capacity=capacity,
        quadratic=quadratic,
        pressure_loss=builder.channel("pressure loss", "Pa"),
        names=NAMES,
    )
