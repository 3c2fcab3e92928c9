"""A feeder carries up to its limit, loses power and voltage, opens and closes again."""

import pytest

from tests.electric.parts import LOADS, loop, machine, part, told
from tests.plants import REAL, STYLISED, closes, started

RULES = (
    STYLISED
    + LOADS
    + """
[bus.x]
law = "power limits"
when_short = "all stop"
[feeder.x]
law = "power limits"
limit = "12 kW"
when_over = "opens"
"""
)
REAL_RULES = (
    REAL
    + LOADS.replace("25 kW", "300 kW")
    + """
[bus.x]
law = "losses"
when_short = "all stop"
voltage = "400 V"
short_circuit_power = "5 MW"
[feeder.x]
law = "losses"
limit = "250 kW"
when_over = "carries"
route_length = "60 m"
conductor_area = "185 mm2"
cables = 2
power_factor = "88 %"
[room.cellar]
law = "two-node"
air_heat_capacity = "1 MJ/K"
wall_heat_capacity = "1 MJ/K"
air_wall_conductance = "0 W/K"
wall_outside_conductance = "0 W/K"
air_mass = "100 kg"
gains = "0 W"
highest_temperature = "60 degC"
when_stopped = "bypass"
"""
)
BUS = part("SB-1", "bus.x")
GRID = part("GR-1", "grid.mains")


def small(more: str, *loads: tuple[str, str], tail: str = ""):
    return started(RULES, loop(BUS, GRID, part("FD-1", "feeder.x", more), *loads) + tail)


def test_a_stylised_feeder_carries_without_loss():
    plant = small("", machine("MC-1", "9 kW", feeder="FD-1"), machine("MC-2", "5 kW"))
    plant.advance(50.0)

    assert plant.value("FD-1", "power") == pytest.approx(9e3)
    assert plant.value("FD-1", "asked") == pytest.approx(9e3)
    assert plant.value("SB-1", "drawn") == pytest.approx(14e3)
    assert told(plant) == []


def test_above_its_limit_it_opens_after_its_delay_and_closes_again():
    plant = small('opens_after = "5 s"\nrecloses_after = "100 s"\n', machine("MC-1", "15 kW", feeder="FD-1"))
    states = []
    for until in (5.0, 7.0, 90.0, 110.0, 120.0):
        plant.advance(until)
        states.append((plant.value("FD-1", "closed"), plant.value("MC-1", "power")))

    assert states == [(1.0, 15e3), (0.0, 0.0), (0.0, 0.0), (1.0, 15e3), (0.0, 0.0)]
    assert told(plant)[:2] == [("FD-1", "feeder-overload"), ("FD-1", "feeder-opened")]


def test_while_it_is_open_it_tells_what_its_loads_ask_for():
    plant = small("", machine("MC-1", "15 kW", feeder="FD-1"))
    plant.advance(30.0)

    assert plant.value("FD-1", "power") == 0.0
    assert plant.value("FD-1", "asked") == pytest.approx(15e3)


def test_it_stays_open_until_it_is_switched_off_and_on():
    reset = '\n[[force]]\ntarget = "FD-1.command"\nvalue = "off"\nstart = "60 s"\nend = "70 s"\n'
    schedule = '\n[schedule.brief]\nquantity = "power"\npoints = [["00:00", "15 kW"], ["00:00:30", "9 kW"]]\n'
    load = machine("MC-1", "brief", feeder="FD-1")
    plant = small("", load, tail=schedule + reset)
    states = []
    for until in (20.0, 55.0, 65.0, 80.0):
        plant.advance(until)
        states.append(plant.value("FD-1", "closed"))

    assert states == [0.0, 0.0, 0.0, 1.0]
    assert plant.value("MC-1", "power") == pytest.approx(9e3)


def test_one_that_carries_on_is_reported():
    plant = small('when_over = "carries"\n', machine("MC-1", "15 kW", feeder="FD-1"))
    plant.advance(60.0)

    assert plant.value("FD-1", "power") == pytest.approx(15e3)
    assert told(plant) == [("FD-1", "feeder-overload")]


def test_a_real_feeder_loses_power_and_voltage_by_its_resistance():
    """dU = sqrt(3) I L (R cos phi + X sin phi), IEC 60364-5-52 annex G (formula from memory).

    229 kW at 400 V and cos phi 0.88 are 376 A; two cables of 185 mm2 copper have 4.73e-5 ohm/m at
    20 degC, 1.75e-8 / (2 x 185e-6), and 4e-5 ohm/m of reactance; over 60 m 2.37 V, 0.59 %.
    """
    plant = started(
        REAL_RULES, loop(BUS, GRID, part("FD-1", "feeder.x"), machine("MC-1", "229 kW", feeder="FD-1"))
    )
    plant.advance(60.0)
    current = 229e3 / (3**0.5 * 400.0 * 0.88)
    resistance = 1.75e-8 / (2 * 185e-6)
    loss = 3.0 * current**2 * resistance * 60.0

    assert current == pytest.approx(375.6, abs=0.1)
    assert plant.value("FD-1", "loss") == pytest.approx(loss)
    assert plant.value("FD-1", "power") == pytest.approx(229e3 + loss)
    assert plant.value("FD-1", "voltage drop") * 400.0 == pytest.approx(2.37, abs=0.01)
    assert plant.electric_residual() < 1e-12


def test_the_loss_warms_the_room_that_it_is_sited_in():
    sited = 'sited = { in = "ZN-1" }\n'
    start = '\n[start.ZN-1]\ntemperature = "20 degC"\n'
    plant = started(
        REAL_RULES,
        loop(
            BUS, GRID, part("ZN-1", "room.cellar"), part("FD-1", "feeder.x", sited),
            machine("MC-1", "229 kW", feeder="FD-1"),
        ) + start,
    )  # fmt: skip
    plant.advance(1000.0)
    heat = (plant.value("ZN-1", "temperature") - 293.15) * 1e6

    assert heat == pytest.approx(plant.electric()["lost on the way"], rel=1e-9)
    assert closes(plant)


def test_too_much_drop_is_told():
    plant = started(
        REAL_RULES,
        loop(
            BUS,
            GRID,
            part("FD-1", "feeder.x", 'route_length = "500 m"\n'),
            machine("MC-1", "229 kW", feeder="FD-1"),
        ),
    )
    plant.advance(10.0)

    assert told(plant) == [("FD-1", "voltage-drop")]


def test_a_switch_turns_it_off_and_on():
    """The machine warms by 10 K in 1000 s at 10 kW and 1 MJ/K."""
    switch = (
        '\n[[switch]]\ntag = "TSH-1"\nsense = "high"\nsenses = "MC-1 temperature"\nset = "25 degC"\n'
        'start = "broken"\ndrives = [{ part = "FD-1", made = "off" }]\n'
    )
    load = machine("MC-1", "9 kW", feeder="FD-1")
    warm = (load[0].replace("machine.load", "machine.warm"), load[1])
    rules = RULES + LOADS.partition("[grid")[0].replace("machine.load", "machine.warm").replace(
        '"0 kW"', '"10 kW"'
    )
    plant = started(rules, loop(BUS, GRID, part("FD-1", "feeder.x"), warm) + switch)
    plant.advance(490.0)
    before = plant.value("FD-1", "closed")
    plant.advance(510.0)

    assert (before, plant.value("FD-1", "closed"), plant.value("MC-1", "running")) == (1.0, 0.0, 0.0)
