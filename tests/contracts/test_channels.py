"""Every channel that a kind of the liquid's way declares is made, under each of its laws."""

import math

import pytest

from brinewright.catalogue import kind_named
from brinewright.compile import compile_plant
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.loop import Circuit, Line, Loop, Part
from brinewright.model.rulebook import Entry, Liquid, Rulebook
from brinewright.run.simulation import Simulation

KINDS = (
    "pipe run",
    "buffer tank",
    "shut-off valve",
    "three-way valve",
    "check valve",
    "tee",
    "priority junction",
    "pump",
    "heat exchanger",
    "liquid stream",
    "gas stream",
    "strainer",
    "air separator",
    "expansion vessel",
    "drain point",
    "vent point",
    "purge set",
)
CASES = [
    pytest.param(kind, law, world, id=f"{name}, {law.name}, {world}")
    for name in KINDS
    for kind in [kind_named(name)]
    for law in kind.laws
    for world in ("stylised", "real")
    if law.world in (world, "both")
]
BY_QUANTITY = {
    "mass flow": 2.0,
    "volume flow": 0.01,
    "temperature": 300.0,
    "power": 100.0,
    "conductance": 50.0,
    "length": 0.01,
    "mass": 5.0,
    "volume": 2.0,
    "specific heat capacity": 4000.0,
    "conductance per metre": 1.0,
    "number": 2.0,
    "ratio": 0.5,
}
BY_NAME = {
    "shut_off_pressure": 3e5,
    "duty_pressure": 2e5,
    "wall_conductivity": 40.0,
    "highest_pressure": 4e5,
    "charge_pressure": 2e5,
    "highest_temperature": 350.0,
}


def stated(parameter: Parameter) -> float | str | bool:
    if parameter.quantity == "flag":
        return True
    if parameter.choices:
        return parameter.choices[0]
    if parameter.quantity == "text":
        return "still-air"
    return BY_NAME.get(parameter.name) or BY_QUANTITY[parameter.schedule_of or parameter.quantity]


def entry(kind: Kind, law: Law) -> Entry:
    """The least that a rulebook must say."""
    needed = [
        item for item in (*kind.parameters, *law.parameters) if item.default is None and not item.optional
    ]
    values = {item.name: stated(item) for item in needed}
    if law.name == "layered":
        values["wall_conductivity"] = 40.0
    return Entry(kind=kind.name, name="x", law=law.name, values=values)


def helper(name: str, world: str) -> Entry:
    kind = kind_named(name)
    law = next(law for law in kind.laws if law.world in (world, "both"))
    return entry(kind, law)


def line(tag: str, start: str, end: str) -> Line:
    return Line(tag=tag, start=start, end=end, length=4.0, bore=0.08, use="pipe-run.x", values={})


def loop_round(kind: Kind) -> tuple[list[Part], list[Line]]:
    """A part in a ring from a tank and back, once a side; a tank or a line is there anyway."""
    inlets = [port.name for port in kind.ports if port.flow == "in" and not kind.is_line]
    outlets = [port.name for port in kind.ports if port.flow == "out" and not kind.is_line]
    if kind.name == "three-way valve":
        inlets, outlets = ["in"], ["a", "b"]
    parts, lines = [], []
    if kind.is_line or kind.name == "buffer tank":
        inlets = outlets = []
    sides = {name.partition("-")[0] if "-" in name else "" for name in inlets} or {""}
    for n, side in enumerate(sorted(sides)):
        parts += [Part(tag=f"TK-{n}", use="buffer-tank.x"), Part(tag=f"P-{n}", use="pump.x")]
        lines += [line(f"L-{n}", f"TK-{n}.out", f"P-{n}.in")]
        ways_in = [name for name in inlets if name.partition("-")[0] == side or not side]
        ways_out = [name for name in outlets if name.partition("-")[0] == side or not side]
        if not ways_in:
            lines += [line(f"L-{n}9", f"P-{n}.out", f"TK-{n}.in")]
        lines += [line(f"L-{n}1{k}", f"P-{n}.out", f"X-1.{name}") for k, name in enumerate(ways_in)]
        lines += [line(f"L-{n}2{k}", f"X-1.{name}", f"TK-{n}.in") for k, name in enumerate(ways_out)]
    return parts, lines


def plant_with(kind: Kind, law: Law, world: str):
    parts, lines = loop_round(kind)
    tag = {"pipe run": "L-0", "buffer tank": "TK-0", "pump": "P-0"}.get(kind.name, "X-1")
    if kind.name == "pump":
        lines = [line("L-0", "TK-0.out", "P-0.in"), line("L-1", "P-0.out", "TK-0.in")]
    refers = {"on": ("L-0",)} if any(reference.name == "on" for reference in kind.references) else {}
    if tag == "X-1":
        parts.append(Part(tag="X-1", use=f"{kind.name.replace(' ', '-')}.x", refers=refers))
    entries = [helper(name, world) for name in ("pipe run", "buffer tank", "pump") if name != kind.name]
    tanks = [part.tag for part in parts if part.tag.startswith("TK")]
    liquid = Liquid(
        name="syrup", heat_capacity=3500.0, density=1100.0, freezes=250.0, boils=390.0, viscosity=2e-3,
        conductivity=0.5,
    )  # fmt: skip
    rules = Rulebook(
        name="toy",
        world=world,
        choices={"stagnant_sensor": "local"},
        site={"gravity": 9.0, "ambient_pressure": 9e4, "ambient_temperature": 295.0},
        entries=(entry(kind, law), *entries),
        liquids=(liquid,),
    )
    circuits = tuple(Circuit(name=tank, liquid="syrup", at=tank, temperature=300.0) for tank in tanks)
    start = {tank: {"level": 0.5, "temperature": 310.0} for tank in tanks}
    loop = Loop(
        name="toy", rulebook="toy", circuits=circuits, parts=tuple(parts), lines=tuple(lines), start=start
    )
    return compile_plant(loop, rules), tag


def declared(kind: Kind, law: Law) -> set[tuple[str, str]]:
    return {
        (channel.name, channel.unit)
        for channel in kind.channels
        if not channel.laws or law.name in channel.laws
    }


@pytest.mark.parametrize(("kind", "law", "world"), CASES)
def test_a_kind_gives_the_channels_that_it_declares_and_no_others(kind, law, world):
    plant, tag = plant_with(kind, law, world)
    made = {(name, unit) for owner, name, unit, _ in plant.channels if owner == tag}

    assert made == declared(kind, law)


@pytest.mark.parametrize(("kind", "law", "world"), CASES)
def test_a_ring_with_the_kind_runs_and_its_ledger_closes(kind, law, world):
    plant, tag = plant_with(kind, law, world)
    simulation = Simulation(plant)

    assert simulation.advance(120.0) == "done"
    assert simulation.energy_residual() < 1e-9
    assert simulation.mass_residual() < 1e-9
    assert all(
        math.isfinite(simulation.value(owner, name)) for owner, name, _, _ in plant.channels if owner == tag
    )
