"""A battery stores and gives within its limits, at its losses."""

import pytest

from brinewright.laws.battery import battery_step
from tests.electric.parts import LOADS, battery, loop, machine, part, told
from tests.plants import REAL, STYLISED, closes, started

STORE = """
energy = "1 kWh"
charge_power = "20 kW"
discharge_power = "20 kW"
charge_efficiency = "80 %"
discharge_efficiency = "50 %"
"""
RULES = (
    STYLISED
    + LOADS
    + '[bus.x]\nlaw = "power limits"\nwhen_short = "all stop"\n[battery.cell]\nlaw = "power limits"\n'
    + STORE
)
REAL_RULES = (
    REAL
    + LOADS.replace("25 kW", "4 kW")
    + '[bus.x]\nlaw = "losses"\nwhen_short = "all stop"\nvoltage = "400 V"\nshort_circuit_power = "1 MW"\n'
    + '[battery.cell]\nlaw = "losses"\nlowest_charge = "30 %"\nstanding_loss = "100 W"\n'
    + STORE
)
BUS = part("SB-1", "bus.x")


def test_it_gives_at_its_efficiency():
    """dE/dt = -P_d / eta_d, `laws.battery.battery_step` in one step of the same length."""
    plant = started(RULES, loop(BUS, battery("BT-1", "90 %"), machine("MC-1", "10 kW")))
    plant.advance(60.0)
    expected, _ = battery_step(0.9 * 3.6e6, -10e3, 60.0, 3.6e6, 0.0, 20e3, 20e3, 0.8, 0.5)

    assert plant.value("BT-1", "energy") == pytest.approx(expected)
    assert plant.value("BT-1", "power") == pytest.approx(10e3)
    assert plant.value("BT-1", "loss") == pytest.approx(10e3)
    assert plant.electric_residual() < 1e-12


def test_it_gives_no_more_than_its_limit_and_a_grid_fills_up():
    plant = started(
        RULES, loop(BUS, part("GR-1", "grid.mains"), battery("BT-1", "90 %"), machine("MC-1", "30 kW"))
    )
    plant.advance(20.0)

    assert plant.value("BT-1", "power") == pytest.approx(20e3)
    assert plant.value("GR-1", "power") == pytest.approx(10e3)


def test_a_declared_one_lets_its_losses_vanish_into_the_first_law_audit():
    plant = started(RULES, loop(BUS, battery("BT-1", "90 %"), machine("MC-1", "10 kW")))
    plant.advance(60.0)
    vanished = plant.arrays["E"][plant.plant.accounts["unaccounted for"]]

    assert vanished == pytest.approx(10e3 * 60.0)


def test_a_real_one_keeps_its_rest_loses_while_it_stands_and_warms_its_room():
    room = (
        '[room.cellar]\nlaw = "two-node"\nair_heat_capacity = "0.1 MJ/K"\nwall_heat_capacity = "1 MJ/K"\n'
        'air_wall_conductance = "0 W/K"\nwall_outside_conductance = "0 W/K"\nair_mass = "100 kg"\n'
        'gains = "0 W"\nhighest_temperature = "90 degC"\nwhen_stopped = "bypass"\n'
    )
    start = '\n[start.ZN-1]\ntemperature = "20 degC"\n'
    plant = started(
        REAL_RULES + room,
        loop(
            BUS, part("ZN-1", "room.cellar"), battery("BT-1", "31 %", more='sited = { in = "ZN-1" }\n'),
            machine("MC-1", "10 kW"),
        ) + start,
    )  # fmt: skip
    plant.advance(1.0)
    # 1 % of 1 kWh is 36 kJ: less than 2 s at 10 kW and 50 %
    plant.advance(10.0)
    rest = plant.value("BT-1", "charge")
    plant.advance(3600.0)
    lost = plant.electric()["lost in stores"]

    assert rest == pytest.approx(0.30, abs=1e-3)
    assert plant.value("BT-1", "energy") == pytest.approx(rest * 3.6e6 - 100.0 * 3590.0, rel=1e-9)
    assert (plant.value("ZN-1", "temperature") - 293.15) * 0.1e6 == pytest.approx(lost, rel=1e-9)
    assert ("BT-1", "battery-empty") in told(plant)
    assert closes(plant)


def test_switched_off_it_neither_gives_nor_takes():
    off = '\n[[force]]\ntarget = "BT-1.command"\nvalue = "off"\nstart = "20 s"\nend = "40 s"\n'
    plant = started(
        RULES, loop(BUS, part("GR-1", "grid.mains"), battery("BT-1", "90 %"), machine("MC-1", "10 kW")) + off
    )
    states = []
    for until in (20.0, 30.0, 50.0):
        plant.advance(until)
        states.append((plant.value("BT-1", "power"), plant.value("GR-1", "power")))

    assert states == [(10e3, 0.0), (0.0, 10e3), (10e3, 0.0)]
