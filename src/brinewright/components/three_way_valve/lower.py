"""How a three-way valve becomes two capacities that add up to one."""

from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""Capacity of a valve that has no limit of its own [kg/s]."""
FAILS = {"b": 0.0, "a": 1.0, "stays": -1.0}


def lower(part: PartView, builder: Builder) -> None:
    """Lay a three-way valve down: position 1 is way a, 0 is way b."""
    begin = {"a": 1.0, "b": 0.0, "": 1.0}[part.start_word("position")]
    command = builder.command(begin)
    position = builder.position("position", begin)
    limit = part.number("capacity") if part.has("capacity") else NO_LIMIT
    way_a, way_b = builder.hidden(start=limit), builder.hidden(start=limit)
    stroke = part.number("stroke_time")
    builder.record(
        "three-way valve",
        [command, position, way_a, way_b, builder.supplied()],
        [
            1.0 / stroke if stroke > 0.0 else 1.0,
            limit,
            part.number("leak"),
            FAILS[part.word("fail_position")],
        ],
    )
    # the common port is one point; each way holds half of the content
    share = 0.5 * part.number("hold_up")
    if part.word("body") == "diverting":
        builder.inline("in", "a", mass=share, capacity=way_a, names=None)
        builder.inline("in", "b", mass=share, capacity=way_b, names=None)
    else:
        builder.inline("a", "out", mass=share, capacity=way_a, names=None)
        builder.inline("b", "out", mass=share, capacity=way_b, names=None)
