"""How a final sink becomes a node that takes heat, and conductances from what it cools."""

from brinewright.components.fan_supply import fan_supply
from brinewright.components.usual_ambient import usual_ambient
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place

NO_LIMIT = 1e6
"""Stands for the greatest flow where none is stated [kg/s]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a sink (or a bank of them) down."""
    count = part.count
    running = builder.position("running", 1.0)
    power = builder.channel("power", "W")
    watts = part.number("power") * count
    powered = fan_supply(part, builder, power, watts)
    node, series, numbers, energy = _node(part, builder)
    leaving = builder.channel("leaving temperature", "K") if part.law == "water" else builder.hidden()
    if part.law == "water" and part.has("highest_water_temperature"):
        builder.watch(
            leaving, part.number("highest_water_temperature"), "above", "water-too-warm",
            "The water leaves warmer than it may be given back.",
        )  # fmt: skip
    if part.law == "radiator" and part.has("sky_temperature"):
        sky = builder.hidden(start=part.number("sky_temperature"))
    else:
        sky = builder.sky
    stream, most, users = builder.shared("stream"), builder.shared("most"), builder.shared("users")
    attached = builder.shared("attached")
    builder.record(
        "final sink",
        [
            builder.command(1.0),
            running,
            powered,
            power,
            builder.channel("heat", "W"),
            node,
            stream,
            most,
            users,
            builder.hidden(start=energy),
            series,
            leaving,
            sky,
            builder.outside,
            attached,
            builder.account("declared heat"),
        ],
        [_types()[part.law], watts, *numbers],
    )
    conductance = part.number("conductance") * count if part.declares("conductance") else 0.0
    shared = [node, stream, most]
    for tag in part.refers("cools"):
        other = builder.part(tag)
        target = builder.node_of(tag, "temperature" if other.gives("temperature") else "shell temperature")
        edge = builder.conductance(target, node, conductance)
        _touch(part, builder, [edge, target, *shared, builder.hidden(), builder.hidden()], conductance, 0.0)
        builder.add_to(users, 1.0)
        builder.add_to(attached, conductance)
    if part.connected("in") and part.connected("out"):
        limit = part.number("capacity") * count if part.has("capacity") else NO_LIMIT
        through = builder.inline(
            "in", "out", mass=part.number("hold_up") * count, node=node, conductance=conductance,
            capacity=builder.hidden(start=limit),
        )  # fmt: skip
        ints = [through.conductance, through.outlet, *shared, through.flow, through.inlet]
        _touch(part, builder, ints, conductance, part.heat_capacity)
        builder.add_to(users, 1.0)
        builder.add_to(attached, conductance)


def _touch(
    part: PartView, builder: Builder, ints: list[Place], conductance: float, heat_capacity: float
) -> None:
    builder.record("sink touch", ints, [conductance, heat_capacity, float(part.law == "declared")])


def _node(part: PartView, builder: Builder) -> tuple[Place, Place, list[float], float]:
    """Return node, value that a schedule sets, numbers of the law and energy at the start."""
    from brinewright.laws.radiation import STEFAN_BOLTZMANN

    name = "sink temperature"
    still = builder.hidden(start=1.0)
    nothing = [0.0, 0.0, 0.0, 0.0]
    if part.law == "fixed temperature contact":
        node = builder.boundary(name, 0.0)
        builder.follow_into(node, "contact_temperature")
        return node, still, nothing, 0.0
    if part.law == "declared":
        return builder.boundary(name, part.number("lowest_temperature")), builder.series("heat"), nothing, 0.0
    if part.law == "water":
        node = builder.boundary(name, 0.0)
        builder.follow_into(node, "water_temperature")
        return node, builder.series("water_flow"), [part.number("water_heat_capacity"), 0.0, 0.0, 0.0], 0.0
    if part.law == "radiator":
        area = part.number("area") * part.count
        numbers = [part.number("emissivity") * STEFAN_BOLTZMANN * area, part.number("air_coefficient") * area]
        return builder.boundary(name, _touched(part, builder)), still, [*numbers, 0.0, 0.0], 0.0
    return _ground(part, builder, name, still)


def _touched(part: PartView, builder: Builder) -> float:
    """Return the temperature of what a surface touches at the start: it sheds nothing yet [K]."""
    if part.connected("in"):
        return part.filling("in").temperature
    for tag in part.refers("cools"):
        begin = builder.part(tag).begins_at("temperature")
        if begin is not None:
            return float(begin)
    return usual_ambient(builder)


def _ground(
    part: PartView, builder: Builder, name: str, still: Place
) -> tuple[Place, Place, list[float], float]:
    undisturbed = _undisturbed(part, builder)
    if not part.has("ground_heat_capacity"):
        return builder.boundary(name, undisturbed), still, [0.0, 0.0, 0.0, undisturbed], 0.0
    warmed = part.begins_at("warmed_temperature")
    begin = undisturbed if warmed is None else warmed
    capacity = part.number("ground_heat_capacity") * part.count
    far = part.number("far_conductance") * part.count
    node = builder.node(name, capacity, begin)
    around = builder.account(f"what lies around {part.tag}")
    builder.add_to(around, undisturbed)
    builder.conductance(node, around, far)
    return node, still, [0.0, 0.0, far, undisturbed], capacity * begin


def _undisturbed(part: PartView, builder: Builder) -> float:
    if part.has("ground_temperature"):
        return part.number("ground_temperature")
    for name in ("ground_temperature", "ambient_temperature"):
        try:
            return builder.site(name)
        except (InputError, ValueError):
            continue
    raise InputError(
        f'{part.tag}: no steady temperature of the ground is known. Write ground_temperature = "10 degC".'
    )


def _types() -> dict[str, float]:
    """Return the number of each law, as the law's own file counts them."""
    from brinewright.components.final_sink.law import CONTACT, DECLARED, GROUND, RADIATOR, WATER

    return {
        "declared": DECLARED,
        "fixed temperature contact": CONTACT,
        "radiator": RADIATOR,
        "ground": GROUND,
        "water": WATER,
    }
