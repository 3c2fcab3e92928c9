"""A transformer passes power between buses, or from a grid, up to its rating and at its loss."""

import pytest

from tests.electric.parts import LOADS, battery, loop, machine, part, told
from tests.plants import REAL, STYLISED, closes, started

RULES = (
    STYLISED
    + LOADS
    + """
[bus.x]
law = "power limits"
when_short = "all stop"
[transformer.x]
law = "power limits"
rating = "20 kW"
when_over = "opens"
[battery.cell]
law = "power limits"
energy = "10 kWh"
charge_power = "20 kW"
discharge_power = "30 kW"
charge_efficiency = "90 %"
discharge_efficiency = "90 %"
"""
)
REAL_RULES = (
    REAL
    + LOADS.replace("25 kW", "1 MW")
    + """
[bus.x]
law = "losses"
when_short = "all stop"
voltage = "400 V"
short_circuit_power = "50 MW"
[transformer.x]
law = "losses"
rating = "1 MW"
when_over = "opens"
core_loss = "1 kW"
winding_loss = "8 kW"
casing_conductance = "150 W/K"
"""
)
GRID = part("GR-1", "grid.mains")


def feeds(tag: str, supply: str, bus: str, more: str = "") -> str:
    return part(tag, "transformer.x", f'supply = "{supply}"\nbus = "{bus}"\n{more}')


def test_it_brings_a_grid_to_a_bus():
    plant = started(
        RULES, loop(GRID, feeds("TX-1", "GR-1", "SB-1"), part("SB-1", "bus.x"), machine("MC-1", "15 kW"))
    )
    plant.advance(50.0)

    assert plant.value("TX-1", "power") == pytest.approx(15e3)
    assert plant.value("GR-1", "power") == pytest.approx(15e3)
    assert plant.value("SB-1", "imported") == pytest.approx(15e3)
    assert plant.electric_residual() < 1e-12


def test_power_goes_over_two_of_them_in_a_row():
    plant = started(
        RULES,
        loop(
            GRID, *(part(f"SB-{k}", "bus.x") for k in (1, 2)),
            feeds("TX-1", "GR-1", "SB-1"), feeds("TX-2", "SB-1", "SB-2"),
            machine("MC-1", "5 kW"), machine("MC-2", "9 kW", feeder="SB-2"),
        ),
    )  # fmt: skip
    plant.advance(50.0)

    assert plant.value("TX-1", "power") == pytest.approx(14e3)
    assert plant.value("TX-2", "power") == pytest.approx(9e3)
    assert plant.value("SB-1", "imported") == pytest.approx(5e3)


def test_above_its_rating_it_opens_and_its_bus_is_on_its_own():
    plant = started(
        RULES, loop(GRID, feeds("TX-1", "GR-1", "SB-1"), part("SB-1", "bus.x"), machine("MC-1", "22 kW"))
    )
    plant.advance(50.0)

    assert plant.value("TX-1", "closed") == 0.0
    assert plant.value("SB-1", "live") == 0.0
    assert told(plant)[:2] == [("TX-1", "transformer-overload"), ("TX-1", "transformer-opened")]


def test_two_side_by_side_carry_what_one_cannot():
    plant = started(
        RULES,
        loop(
            GRID, feeds("TX-1", "GR-1", "SB-1"), feeds("TX-2", "GR-1", "SB-1"), part("SB-1", "bus.x"),
            machine("MC-1", "24 kW"),
        ),
    )  # fmt: skip
    plant.advance(50.0)

    assert plant.value("TX-1", "power") + plant.value("TX-2", "power") == pytest.approx(24e3)
    assert told(plant) == []


def test_what_is_stored_on_the_bus_itself_goes_first():
    plant = started(
        RULES,
        loop(
            part("SB-1", "bus.x"), part("SB-2", "bus.x"), feeds("TX-1", "SB-1", "SB-2"),
            battery("BT-1", "50 %", more='bus = "SB-1"\n'), battery("BT-2", "50 %", more='bus = "SB-2"\n'),
            machine("MC-1", "12 kW", feeder="SB-2"),
        ),
    )  # fmt: skip
    plant.advance(10.0)

    assert plant.value("BT-2", "power") == pytest.approx(12e3)
    assert plant.value("TX-1", "power") == 0.0


def test_a_real_one_loses_power_in_its_core_and_windings():
    """P = P_0 + P_k (S / S_n)^2, IEC 60076-1: 1 kW + 8 kW / 4 at half its rating."""
    plant = started(
        REAL_RULES,
        loop(GRID, feeds("TX-1", "GR-1", "SB-1"), part("SB-1", "bus.x"), machine("MC-1", "500 kW")),
    )
    plant.advance(50.0)

    assert plant.value("TX-1", "power") == pytest.approx(500e3)
    assert plant.value("TX-1", "loss") == pytest.approx(3e3)
    assert plant.value("GR-1", "power") == pytest.approx(503e3)
    assert plant.value("TX-1", "temperature") == pytest.approx(293.15 + 20.0)
    assert plant.electric_residual() < 1e-12
    assert closes(plant)


def test_switched_off_it_neither_passes_nor_loses():
    off = '\n[[force]]\ntarget = "TX-1.command"\nvalue = "off"\n'
    plant = started(
        REAL_RULES,
        loop(GRID, feeds("TX-1", "GR-1", "SB-1"), part("SB-1", "bus.x"), machine("MC-1", "5 kW")) + off,
    )
    plant.advance(50.0)

    assert [plant.value("TX-1", name) for name in ("closed", "power", "loss")] == [0.0, 0.0, 0.0]
    assert plant.value("SB-1", "live") == 0.0
