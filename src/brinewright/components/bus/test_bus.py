"""A bus meets what is drawn, sheds what it cannot feed and takes it back."""

import pytest

from brinewright.kernel import layout as at
from tests.electric.parts import LOADS, battery, loop, machine, part, told
from tests.plants import REAL, STYLISED, started

RULES = (
    STYLISED
    + LOADS
    + """
[bus.sheds]
law = "power limits"
when_short = "sheds in order"
restores_after = "60 s"
[bus.stops]
law = "power limits"
when_short = "all stop"
restores_after = "60 s"
[battery.cell]
law = "power limits"
energy = "1 kWh"
charge_power = "20 kW"
discharge_power = "20 kW"
charge_efficiency = "80 %"
discharge_efficiency = "50 %"
"""
)
REAL_RULES = (
    REAL
    + LOADS
    + """
[bus.strong]
law = "losses"
when_short = "sheds in order"
restores_after = "30 s"
voltage = "400 V"
short_circuit_power = "200 kW"
lowest_voltage = "70 %"
"""
)


GRID = part("GR-1", "grid.mains")


def test_a_bus_gives_what_is_drawn():
    plant = started(
        RULES, loop(part("SB-1", "bus.sheds"), GRID, machine("MC-1", "9 kW"), machine("MC-2", "12 kW"))
    )
    plant.advance(100.0)

    assert plant.value("SB-1", "drawn") == pytest.approx(21e3)
    assert plant.value("GR-1", "power") == pytest.approx(21e3)
    assert plant.value("SB-1", "imported") == pytest.approx(21e3)
    assert plant.value("SB-1", "balance") == pytest.approx(-21e3)
    assert plant.electric_residual() < 1e-12


def test_loads_are_shed_in_their_order_until_it_suffices():
    plant = started(
        RULES,
        loop(
            part("SB-1", "bus.sheds"), GRID,
            machine("MC-1", "10 kW"), machine("MC-2", "10 kW", 2),
            machine("MC-3", "10 kW", 1), machine("MC-4", "10 kW", 1),
        ),
    )  # fmt: skip
    plant.advance(2.0)
    powered = [plant.value(f"MC-{k}", "powered") for k in (1, 2, 3, 4)]
    plant.advance(400.0)

    assert powered == [1.0, 1.0, 0.0, 0.0]
    # 5 kW are to spare, the order asks for 20 kW: it stays away
    assert [plant.value(f"MC-{k}", "powered") for k in (1, 2, 3, 4)] == powered
    assert plant.value("SB-1", "live") == 1.0
    assert plant.electric()["short"] == pytest.approx(15e3)
    assert plant.electric_residual() < 1e-12


def test_a_shed_load_comes_back_when_there_was_power_for_long_enough():
    force = '\n[[force]]\ntarget = "MC-1.command"\nvalue = "stop"\nstart = "100 s"\nend = "400 s"\n'
    plant = started(
        RULES,
        loop(part("SB-1", "bus.sheds"), GRID, machine("MC-1", "20 kW"), machine("MC-2", "10 kW", 1)) + force,
    )
    plant.advance(150.0)
    waits = plant.value("MC-2", "powered")
    plant.advance(170.0)
    back = plant.value("MC-2", "powered")
    plant.advance(410.0)

    assert (waits, back) == (0.0, 1.0)
    # the machine that had been stopped came back, so the other one is dropped again
    assert (plant.value("MC-1", "running"), plant.value("MC-2", "powered")) == (1.0, 0.0)


def test_a_bus_stops_as_a_whole_where_it_is_declared_so_and_tells_it():
    plant = started(
        RULES, loop(part("SB-1", "bus.stops"), GRID, machine("MC-1", "20 kW"), machine("MC-2", "10 kW", 1))
    )
    plant.advance(30.0)

    assert plant.value("SB-1", "live") == 0.0
    assert plant.value("MC-1", "power") == 0.0
    assert told(plant) == [("SB-1", "power-short"), ("SB-1", "brown-out")]


def test_what_cannot_be_shed_browns_the_bus_out():
    plant = started(
        RULES, loop(part("SB-1", "bus.sheds"), GRID, machine("MC-1", "30 kW"), machine("MC-2", "1 kW", 1))
    )
    plant.advance(30.0)

    assert plant.value("SB-1", "live") == 0.0


def test_a_battery_starts_the_plant_alone_until_it_is_empty():
    # 0.9 kWh times 50 % at 10 kW last 162 s
    plant = started(RULES, loop(part("SB-1", "bus.sheds"), battery("BT-1", "90 %"), machine("MC-1", "10 kW")))
    plant.advance(160.0)
    before = plant.value("SB-1", "live")
    plant.advance(170.0)

    assert before == 1.0
    assert plant.value("SB-1", "live") == 0.0
    assert plant.value("BT-1", "energy") == pytest.approx(0.0, abs=1.0)
    assert plant.electric()["short"] <= 10e3  # one second of what it drew
    assert plant.electric_residual() < 1e-12


def test_what_starts_pulls_the_voltage_down_by_the_divider():
    """U / U_n = 1 - S_a / (S_a + S_k), the voltage divider of two reactances."""
    plant = started(REAL_RULES, loop(part("SB-1", "bus.strong"), GRID, machine("MC-1", "20 kW")))
    _let_it_start_with(plant, 50e3)
    plant.advance(1.0)
    starting = plant.value("SB-1", "voltage")
    plant.advance(2.0)

    assert starting == pytest.approx(400.0 * 200.0 / 250.0)
    assert plant.value("SB-1", "voltage") == pytest.approx(400.0)
    assert plant.value("SB-1", "live") == 1.0


def test_contactors_let_go_below_the_lowest_voltage_and_all_loads_stop():
    plant = started(
        REAL_RULES,
        loop(part("SB-1", "bus.strong"), GRID, machine("MC-1", "20 kW"), machine("MC-2", "5 kW", 1)),
    )
    _let_it_start_with(plant, 100e3)
    plant.advance(3.0)

    assert plant.value("SB-1", "live") == 0.0
    assert [plant.value(f"MC-{k}", "powered") for k in (1, 2)] == [0.0, 0.0]
    assert ("SB-1", "voltage-dip") in told(plant)


def _let_it_start_with(plant, apparent):
    """Give the first load a starting rush, as a motor has it [V A]."""
    plant.fixed["P"][plant.fixed["H"][3 * at.LOADS + 2] + at.LD_STARTING] = apparent
