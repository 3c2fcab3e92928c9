"""How a pipe run becomes content in plug flow."""

import math

from brinewright.model.lowering import Builder, PartView

NAMES = ("flow", "inlet temperature", "outlet temperature")


def lower(part: PartView, builder: Builder) -> None:
    """Lay a line down: its content, what it exchanges with, what it carries at most."""
    mass = part.density * math.pi / 4.0 * part.number("bore") ** 2 * part.number("length")
    builder.channel("mass", "kg", mass)
    if part.law == "declared":
        _declared(part, builder, mass)
    else:
        _layered(part, builder, mass)


def _declared(part: PartView, builder: Builder, mass: float) -> None:
    ua = part.number("conductance") * part.number("length")
    begin = _begin(part)
    builder.inline(
        "in",
        "out",
        mass=mass,
        node=builder.surroundings() if ua > 0.0 else None,
        conductance=ua,
        capacity=builder.hidden(start=part.number("capacity")),
        rank=int(part.number("rank")),
        mean=builder.channel("temperature", "K", begin),
        loss=builder.channel("loss", "W"),
        begin=begin,
    )


def _layered(part: PartView, builder: Builder, mass: float) -> None:
    bore, length = part.number("bore"), part.number("length")
    outside = 1.0 / _outer_conductance(part)
    # flow at 1 m/s, until the first flow is known
    first_flow = part.density * math.pi / 4.0 * bore**2
    begin = _begin(part)
    stream = builder.inline(
        "in",
        "out",
        mass=mass,
        node=builder.surroundings(),
        conductance=length / outside,
        friction=(length, bore, part.number("roughness"), part.number("fittings")),
        pressure=builder.channel("pressure", "Pa"),
        pressure_loss=builder.channel("pressure loss", "Pa"),
        mean=builder.channel("temperature", "K", begin),
        loss=builder.channel("loss", "W"),
        begin=begin,
    )
    builder.record(
        "pipe layered",
        [stream.flow, stream.conductance, builder.hidden(start=-first_flow)],
        [outside, bore, length, part.viscosity, part.conductivity, part.heat_capacity],
    )


def _begin(part: PartView) -> float:
    """Return the temperature of the content at the start [K]."""
    stated = part.begins_at("temperature")
    return part.working_mean if stated is None else stated


def _outer_conductance(part: PartView) -> float:
    """Return the conductance of all but the liquid's film by length of run [W/(m K)]."""
    from brinewright.laws.fins import straight_efficiency
    from brinewright.laws.insulation import layer_resistance

    wall = part.number("wall_thickness")
    conductivity = part.number("wall_conductivity") or part.wall_conductivity("wall_conductivity")
    insulation = part.number("insulation_thickness")
    coefficient = part.number("outer_coefficient")
    inner = 0.5 * part.number("bore")
    resistance = layer_resistance(inner, inner + wall, conductivity)
    radius = inner + wall + insulation
    if insulation > 0.0:
        resistance += layer_resistance(inner + wall, radius, part.number("insulation_conductivity"))
    surface = 2.0 * math.pi * radius
    if part.number("fin_height") > 0.0:
        thickness, pitch = part.number("fin_thickness"), part.number("fin_pitch")
        efficiency = straight_efficiency(coefficient, conductivity, thickness, part.number("fin_height"))
        bare = 2.0 * math.pi * (inner + wall) * (1.0 - thickness / pitch)
        fins = 2.0 * (2.0 * math.pi * (inner + wall)) * part.number("fin_height") / pitch
        surface = bare + efficiency * fins
    if coefficient <= 0.0:
        return 1e-12
    return 1.0 / (resistance + 1.0 / (coefficient * surface))
