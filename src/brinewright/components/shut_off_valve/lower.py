"""How a shut-off valve becomes a capacity that follows its stroke."""

from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""Capacity of a valve that has no limit of its own [kg/s]."""
FAILS = {"shut": 0.0, "open": 1.0, "stays": -1.0}


def lower(part: PartView, builder: Builder) -> None:
    """Lay a valve down: command, stroke, capacity."""
    begin = {"open": 1.0, "shut": 0.0, "": 1.0}[part.start_word("position")]
    command = builder.command(begin)
    position = builder.position("position", begin)
    limit = part.number("capacity") if part.has("capacity") else NO_LIMIT
    capacity = builder.hidden(start=limit)
    powered = builder.supplied()
    stroke = part.number("stroke_time")
    builder.record(
        "shut-off valve",
        [command, position, capacity, powered],
        [
            1.0 / stroke if stroke > 0.0 else 1.0,
            limit,
            part.number("leak"),
            FAILS[part.word("fail_position")],
        ],
    )
    builder.inline("in", "out", mass=part.number("hold_up"), capacity=capacity)
