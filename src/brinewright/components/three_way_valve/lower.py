"""How a three-way valve becomes two ways that share one stroke."""

from brinewright.model.lowering import Builder, PartView, Place, Stream

FAILS = {"b": 0.0, "a": 1.0, "stays": -1.0}


def lower(part: PartView, builder: Builder) -> None:
    """Lay a three-way valve down: position 1 is way a, 0 is way b; the common port is one point."""
    from brinewright.laws.valve_stroke import CHARACTERISTICS, NO_LIMIT

    begin = {"a": 1.0, "b": 0.0, "": 1.0}[part.start_word("position")]
    position = builder.position("position", begin)
    stroke = part.number("stroke_time")
    ideal = part.law == "ideal"
    limit = part.number("capacity") if ideal and part.has("capacity") else NO_LIMIT
    capacities = builder.hidden(start=limit), builder.hidden(start=limit)
    resistances = builder.hidden(), builder.hidden()
    losses = builder.hidden(), builder.hidden()
    command, powered = builder.command(begin), builder.supplied()
    ways = [_way(part, builder, way, capacities, resistances, losses) for way in (0, 1)]
    diverting = part.word("body") == "diverting"
    ints = [
        command, position, *capacities, powered, *(way.flow for way in ways),
        *(way.inlet if diverting else way.outlet for way in ways),
        builder.channel("flow", "kg/s"), builder.channel("temperature", "K", part.working_mean),
    ]  # fmt: skip
    numbers = [
        1.0 / stroke if stroke > 0.0 else 1.0,
        limit,
        part.number("leak"),
        FAILS[part.word("fail_position")],
    ]
    if ideal:
        builder.record("three-way valve", ints, numbers)
        return
    builder.record(
        "three-way coefficient",
        [*ints, *resistances, *losses, builder.channel("pressure loss", "Pa")],
        [
            *numbers,
            part.number("flow_coefficient"),
            float(CHARACTERISTICS[part.word("characteristic")]),
            part.density,
        ],
    )


def _way(
    part: PartView,
    builder: Builder,
    way: int,
    capacities: tuple[Place, Place],
    resistances: tuple[Place, Place],
    losses: tuple[Place, Place],
) -> Stream:
    """Lay one way down, with half of the content."""
    name = "ab"[way]
    start, end = ("in", name) if part.word("body") == "diverting" else (name, "out")
    return builder.inline(
        start,
        end,
        mass=0.5 * part.number("hold_up"),
        capacity=capacities[way],
        quadratic=resistances[way],
        pressure_loss=losses[way],
        names=None,
    )
