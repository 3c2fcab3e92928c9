"""How a process stream, liquid or gas, becomes two contents or two streams that pass each other."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""Capacity of a coolant path that has no limit of its own [kg/s]."""
LEAST = 0.1
"""Least content of coolant that is stirred [kg]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a process stream down."""
    from brinewright.laws.exchange import ARRANGEMENTS

    limit = part.number("capacity") if part.has("capacity") else NO_LIMIT
    capacity = builder.hidden(start=limit)
    flow, outlet = (
        builder.channel("flow", "kg/s"),
        builder.channel("outlet temperature", "K", part.working_mean),
    )
    stirred = part.law == "lump"
    came = builder.series("inlet_temperature")
    begins = part.begins_at("temperature")
    begin = part.first("inlet_temperature") if begins is None else begins
    content = part.number("content") * part.number("stream_heat_capacity")
    if stirred:
        temperature = builder.node("temperature", content, begin)
    else:
        temperature = builder.channel("temperature", "K", begin)
    ints = [
        builder.command(1.0), builder.position("running", 1.0), capacity,
        builder.channel("stream flow", "kg/s"), builder.series("flow"), came, temperature,
        builder.channel("cooling", "W"), builder.account("process streams"),
    ]  # fmt: skip
    numbers = [
        limit,
        float(part.word("when_stopped") == "dead end"),
        part.number("stream_heat_capacity"),
        part.number("conductance"),
    ]
    if stirred:
        coolant = max(part.number("hold_up"), LEAST) * part.heat_capacity
        ints += [builder.node("", coolant, part.working_mean), outlet]
        record = builder.record("stream contents", ints, [*numbers, content, coolant])
    else:
        record = builder.record(
            "stream passing", ints, [*numbers, float(ARRANGEMENTS[part.word("arrangement")])]
        )
    builder.inline(
        "in",
        "out",
        mass=0.0 if stirred else part.number("hold_up"),
        record=record,
        before=False,
        capacity=capacity,
        quadratic=rated_resistance(part, builder),
        names=(flow, "inlet temperature", outlet),
    )
    what = part.kind
    builder.watch(
        temperature, part.number("highest_temperature"), "above", "too-warm",
        f"The {what} leaves warmer than it may.",
    )  # fmt: skip
    if part.has("lowest_temperature"):
        builder.watch(
            temperature, part.number("lowest_temperature"), "below", "too-cold",
            f"The {what} leaves colder than it may.",
        )  # fmt: skip
