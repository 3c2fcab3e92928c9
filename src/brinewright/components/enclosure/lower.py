"""How an enclosure becomes a shell between the casing of a machine and where it sheds."""

from typing import Any

from brinewright.components.enclosure.gas import gas_line
from brinewright.components.fan_supply import fan_supply
from brinewright.components.usual_ambient import usual_ambient
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place

NO_LIMIT = 1e6
"""Stands for the greatest flow where none is stated [kg/s]."""
ENDLESS = 1e30
"""Stands for the heat capacity flow of what does not get warmer [W/K]."""
USUAL = 15.0
"""Heat by area and difference that gas and radiation pass, to judge how fast a shell follows [W/(m2 K)]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay an enclosure down: it takes the place of the casing's way to the hall."""
    inside = part.refers("around")[0]
    casing = _casing(part, builder, inside)
    builder.take_over(inside, "hall")
    begin = part.begins_at("temperature")
    shell = builder.node(
        "shell temperature",
        part.number("shell_mass") * part.metal_heat_capacity("shell_heat_capacity"),
        builder.surroundings() if begin is None else begin,
    )
    limit = part.limit("shell_limit")
    if limit > 0.0:
        builder.watch(shell, limit, "above", "overheated", "The shell is hotter than its material stands.")
    target, stream, most = _outside(part, builder)
    running = builder.position("running", 1.0)
    power = builder.channel("power", "W")
    watts = part.number("fan_power")
    powered = fan_supply(part, builder, power, watts)
    builder.heat(shell, power, builder.account("electricity"))
    law, row, numbers, guess = _gas(part, builder)
    ints = [
        builder.command(1.0),
        running,
        powered,
        power,
        casing,
        shell,
        builder.conductance(casing, shell, guess),
        builder.conductance(shell, target, part.number("shell_conductance")),
        target,
        stream,
        most,
        builder.channel("gas temperature", "K", usual_ambient(builder) if begin is None else begin),
        builder.channel("heat", "W"),
        builder.channel("conductance", "W/K", guess),
        builder.channel("shed", "W"),
    ]
    builder.record(law, [*ints, *row], [part.number("shell_conductance"), watts, *numbers])
    if part.connected("in") and part.connected("out"):
        builder.inline(
            "in",
            "out",
            mass=part.number("hold_up"),
            node=shell,
            conductance=part.number("cooler_conductance"),
            capacity=builder.hidden(start=part.number("capacity") if part.has("capacity") else NO_LIMIT),
        )


def _casing(part: PartView, builder: Builder, inside: str) -> Place:
    machine = builder.part(inside)
    if machine.gives("metal temperature"):
        return builder.node_of(inside, "metal temperature")
    if machine.gives("temperature"):
        return builder.node_of(inside)
    raise InputError(f"{part.tag}: {inside} has no casing whose heat could be led away.")


def _outside(part: PartView, builder: Builder) -> tuple[Place, Place, Place]:
    """Return the node that takes the shell's heat, and the limits of a sink behind it."""
    named = part.refers("sheds_to")
    if named and builder.part(named[0]).gives("sink temperature"):
        sink = named[0]
        users, attached = builder.shared_of(sink, "users"), builder.shared_of(sink, "attached")
        builder.add_to(users, 1.0)
        builder.add_to(attached, part.number("shell_conductance"))
        return (
            builder.node_of(sink, "sink temperature"),
            builder.shared_of(sink, "stream"),
            builder.shared_of(sink, "most"),
        )
    target = builder.node_of(named[0]) if named else builder.surroundings()
    return target, builder.hidden(start=ENDLESS), builder.hidden(start=ENDLESS)


def _gas(part: PartView, builder: Builder) -> tuple[str, list[Any], list[float], float]:
    """Return law, table, numbers and a first conductance [W/K] of what fills the enclosure."""
    name = part.word("gas")
    if part.law == "conductance":
        factor = 0.0 if name == "vacuum" else builder.gas(name).factor
        through = factor * part.number("conductance")
        return "enclosure declared", [], [through], through
    filled = name != "vacuum"
    line = (
        gas_line(part.tag, builder.gas(name), part.number("purity"), part.number("gas_pressure"))
        if filled
        else []
    )
    area, diameter, gap = (part.number(key) for key in ("casing_area", "casing_diameter", "gap"))
    numbers = [
        area, diameter, gap, part.number("casing_emissivity"), part.number("shell_emissivity"),
        part.number("forced_speed"), builder.site("gravity"), float(filled),
    ]  # fmt: skip
    return "enclosure real", [builder.table(line)], numbers, USUAL * area
