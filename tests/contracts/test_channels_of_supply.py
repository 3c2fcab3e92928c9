"""Every channel that consumers and the kinds of the power supply declare is made, and no other.

At the end: every law of every kind in the catalogue is tried here or in the files beside.
"""

import math

import pytest

from brinewright.catalogue import KINDS, kind_named
from tests.contracts import test_channels as of_the_way
from tests.contracts import test_channels_of_steam as of_steam
from tests.electric.parts import LOADS, battery, loop, machine, part
from tests.plants import REAL, STYLISED, closes, started

STYLISED_RULES = (
    STYLISED
    + LOADS
    + """
[bus.x]
law = "power limits"
when_short = "all stop"
[feeder.x]
law = "power limits"
limit = "30 kW"
when_over = "opens"
[transformer.x]
law = "power limits"
rating = "30 kW"
when_over = "opens"
[battery.x]
law = "power limits"
energy = "9 kWh"
charge_power = "5 kW"
discharge_power = "9 kW"
charge_efficiency = "90 %"
discharge_efficiency = "90 %"
[room.x]
law = "lump"
heat_capacity = "9 MJ/K"
outside_conductance = "90 W/K"
gains = "1 kW"
coil_conductance = "900 W/K"
highest_temperature = "60 degC"
when_stopped = "bypass"
hold_up = "8 kg"
[machine.x]
law = "lump"
heat = "5 kW"
heat_capacity = "2 MJ/K"
conductance = "900 W/K"
highest_temperature = "60 degC"
when_stopped = "bypass"
hold_up = "8 kg"
[pump.x]
law = "fixed capacity"
capacity = "2 kg/s"
power = "1 kW"
heat_share = "50 %"
when_off = "stops"
[pipe-run.x]
law = "declared"
style = "bare"
capacity = "9 kg/s"
conductance = "1 W/(m K)"
[buffer-tank.x]
law = "mixed"
volume = "9 m3"
"""
)
REAL_RULES = (
    REAL
    + LOADS
    + """
[bus.x]
law = "losses"
when_short = "all stop"
voltage = "400 V"
short_circuit_power = "1 MW"
[feeder.x]
law = "losses"
limit = "30 kW"
when_over = "opens"
route_length = "50 m"
conductor_area = "10 mm2"
[transformer.x]
law = "losses"
rating = "30 kW"
when_over = "opens"
core_loss = "100 W"
winding_loss = "500 W"
[battery.x]
law = "losses"
energy = "9 kWh"
charge_power = "5 kW"
discharge_power = "9 kW"
charge_efficiency = "90 %"
discharge_efficiency = "90 %"
[room.x]
law = "two-node"
air_heat_capacity = "2 MJ/K"
wall_heat_capacity = "40 MJ/K"
air_wall_conductance = "300 W/K"
wall_outside_conductance = "80 W/K"
air_mass = "400 kg"
gains = "1 kW"
coil_conductance = "900 W/K"
fan_power = "500 W"
highest_temperature = "60 degC"
when_stopped = "bypass"
hold_up = "8 kg"
[machine.x]
law = "lump"
heat = "5 kW"
heat_capacity = "2 MJ/K"
conductance = "900 W/K"
highest_temperature = "60 degC"
when_stopped = "bypass"
hold_up = "8 kg"
[pump.x]
law = "curve"
shut_off_pressure = "90 kPa"
duty_flow = "0.001 m3/s"
duty_pressure = "60 kPa"
when_off = "stops"
[pipe-run.x]
law = "layered"
wall_thickness = "3 mm"
[buffer-tank.x]
law = "mixed"
volume = "9 m3"
"""
)
TAGS = {
    "bus": "SB-1",
    "feeder": "FD-1",
    "transformer": "TX-1",
    "battery": "BT-1",
    "grid": "GR-1",
    "room": "X-1",
    "machine": "X-1",
}
CASES = [
    pytest.param(kind_named(name), law, world, led, id=f"{name}, {law.name}, {world}, coolant {led}")
    for name in TAGS
    for law in kind_named(name).laws
    for world in ("stylised", "real")
    if law.world in (world, "both")
    for led in ([True, False] if kind_named(name).ports else [False])
]  # fmt: skip


def plant(kind, world, led):
    """Everything of the supply, a load, and a consumer that coolant is led through, or not."""
    consumer = "room.x" if kind.name == "room" else "machine.x"
    ways = [("TK-1.out", "P-1.in"), ("P-1.out", "X-1.in"), ("X-1.out", "TK-1.in")] if led else []
    made_of = 'material = "steel"\n' if world == "real" else ""
    tank = (part("TK-1", "buffer-tank.x"), '\n[start.TK-1]\nlevel = 0.5\ntemperature = "10 degC"\n')
    return started(
        STYLISED_RULES if world == "stylised" else REAL_RULES,
        loop(
            part("SB-1", "bus.x"),
            part("FD-1", "feeder.x"),
            part("GR-1", "grid.mains"),
            part("TX-1", "transformer.x", 'supply = "GR-1"\nbus = "SB-1"\n'),
            battery("BT-1", "50 %", "battery.x"),
            machine("MC-9", "3 kW", feeder="FD-1"),
            (part("X-1", consumer), '\n[start.X-1]\ntemperature = "25 degC"\n'),
            *([tank, part("P-1", "pump.x")] if led else []),  # type: ignore[arg-type]
            *(
                f'[[line]]\ntag = "L-{k}"\nfrom = "{start}"\nto = "{end}"\n'
                f'use = "pipe-run.x"\nlength = "9 m"\nbore = "50 mm"\n{made_of}'
                for k, (start, end) in enumerate(ways)
            ),
        ),
    )


@pytest.mark.parametrize(("kind", "law", "world", "led"), CASES)
def test_a_kind_gives_the_channels_that_it_declares_and_no_others(kind, law, world, led):
    run = plant(kind, world, led)
    made = {(name, unit) for owner, name, unit, _ in run.plant.channels if owner == TAGS[kind.name]}
    declared = {
        (channel.name, channel.unit)
        for channel in kind.channels
        if (not channel.laws or law.name in channel.laws) and (led or not channel.port)
    }

    assert made == declared


@pytest.mark.parametrize(("kind", "law", "world", "led"), CASES)
def test_a_plant_with_the_kind_runs_and_its_ledgers_close(kind, law, world, led):
    run = plant(kind, world, led)

    assert run.advance(200.0) == "done"
    assert closes(run)
    assert run.electric_residual() < 1e-9
    assert all(
        math.isfinite(run.value(owner, name))
        for owner, name, _, _ in run.plant.channels
        if owner == TAGS[kind.name]
    )


def test_every_law_of_every_kind_is_tried():
    tried = {
        (case.values[0].name, case.values[1].name)  # type: ignore[union-attr]
        for case in (*CASES, *of_the_way.CASES)
    }
    tried |= {(case[0], case[1]) for case in of_steam.CASES}
    declared = {(kind.name, law.name) for kind in KINDS for law in kind.laws}

    assert declared - tried == set()
