"""How a room becomes one or two nodes, a coil, its gains and the water in its air."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.model.lowering import Builder, PartView, Place, Stream

NO_LIMIT = 1e6
"""Flow through a coil that has no limit of its own [kg/s]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a room down."""
    air = _lump(part, builder) if part.law == "lump" else _two_nodes(part, builder)
    gains = builder.channel("gains", "W")
    builder.follow_into(gains, "gains")
    builder.heat(air, gains, builder.account("people and machines"))
    builder.watch(
        air, part.number("highest_temperature"), "above", "too-warm", "The room is warmer than it may be."
    )
    if part.has("lowest_temperature"):
        builder.watch(
            air, part.number("lowest_temperature"), "below", "too-cold", "The room is colder than it may be."
        )
    coiled = part.connected("in") and part.connected("out")
    if part.law == "lump":
        if coiled:
            _coil(part, builder, air, "out", "cooling", "outlet temperature")
        return
    ints, numbers = _moisture(part, builder, air)
    if not coiled:
        spare = [builder.hidden() for _ in range(7)]
        builder.record(
            "room air", [*ints, *spare, builder.account("moisture in the air")], [*numbers, 0.0, 0.0]
        )
        return
    stream, conductance = _coil(part, builder, air, "wet", "", "")
    cooling = builder.channel("cooling", "W")
    places = [stream.flow, stream.inlet, stream.outlet, conductance, builder.hidden(), stream.heat, cooling]
    record = builder.record(
        "room air",
        [*ints, *places, builder.account("moisture in the air")],
        [*numbers, 1.0, part.heat_capacity],
    )
    # the water that condenses gives its heat behind the content, so that this flow meets it at once
    builder.inline("wet", "out", record=record, names=("", "", "outlet temperature"))


def _lump(part: PartView, builder: Builder) -> Place:
    node = builder.node("temperature", part.number("heat_capacity"), part.start("temperature"))
    builder.conductance(node, builder.surroundings(), part.number("outside_conductance"))
    return node


def _two_nodes(part: PartView, builder: Builder) -> Place:
    begin = part.start("temperature")
    start = part.begins_at("wall_temperature")
    outside = builder.surroundings()
    air = builder.node("temperature", part.number("air_heat_capacity"), begin)
    wall = builder.node(
        "wall temperature", part.number("wall_heat_capacity"), begin if start is None else start
    )
    builder.conductance(air, wall, part.number("air_wall_conductance"))
    builder.conductance(wall, outside, part.number("wall_outside_conductance"))
    builder.conductance(air, outside, part.number("air_outside_conductance"))
    return air


def _coil(
    part: PartView, builder: Builder, air: Place, end: str, cooling: str, outlet: str
) -> tuple[Stream, Place]:
    """Lead the coolant through the room; return its stream and the conductance of the coil."""
    limit = part.number("capacity") if part.has("capacity") else NO_LIMIT
    coil = part.number("coil_conductance")
    capacity = builder.hidden(start=limit)
    stream = builder.inline(
        "in", end, mass=part.number("hold_up"), node=air, conductance=coil, capacity=capacity, heat=cooling,
        quadratic=rated_resistance(part, builder), names=("flow", "", outlet),
    )  # fmt: skip
    running = builder.position("running", 1.0)
    fan = part.number("fan_power") if part.law == "two-node" else 0.0
    power, powered = builder.hidden(), builder.constant(1.0)
    if part.law == "two-node":
        power = builder.channel("power", "W")
        powered = builder.load(power, fan)
        builder.heat(air, power, builder.account("electricity"))
    builder.record(
        "room coil",
        [builder.command(1.0), running, capacity, stream.conductance, powered, power],
        [limit, coil, float(part.word("when_stopped") == "dead end"), fan],
    )
    return stream, stream.conductance


def _moisture(part: PartView, builder: Builder, air: Place) -> tuple[list[Place], list[float]]:
    """Return places and numbers of the air's law, up to those of the coil."""
    # here, so that reading a file does not load the compiler
    from brinewright.laws.moist_air import humidity_ratio, saturation_pressure

    pressure = builder.site("ambient_pressure")
    start = part.start("humidity")
    ratio = builder.hidden(
        start=humidity_ratio(start * saturation_pressure(part.start("temperature")), pressure)
    )
    humidity = builder.channel("humidity", "1", start)
    if part.has("highest_humidity"):
        builder.watch(
            humidity,
            part.number("highest_humidity"),
            "above",
            "too-humid",
            "The air of the room is more humid than it may be.",
        )
    around = builder.ambient_humidity()
    exchange = builder.conductance(air, builder.outside, part.peak("ventilation") * 1006.0)
    ints = [
        air, builder.outside, around or builder.hidden(), builder.series("ventilation"), exchange,
        builder.series("moisture_gain"), ratio, humidity,
    ]  # fmt: skip
    return ints, [pressure, part.number("air_mass"), float(around is not None)]
