"""A grid gives what is short after the battery, and takes what is left over."""

import pytest

from tests.electric.parts import LOADS, loop, machine, part
from tests.electric.test_random_plants import STYLISED_RULES
from tests.plants import STYLISED, started

RULES = STYLISED + LOADS + '[bus.x]\nlaw = "power limits"\nwhen_short = "all stop"\n'


def test_it_gives_up_to_its_limit():
    """P_n = min(P_imp, P_d - P_g - P_b)."""
    plant = started(RULES, loop(part("SB-1", "bus.x"), part("GR-1", "grid.mains"), machine("MC-1", "30 kW")))
    plant.advance(1.0)

    assert plant.value("GR-1", "power") == pytest.approx(25e3)
    assert plant.value("SB-1", "short") == pytest.approx(5e3)


def test_it_takes_what_is_left_over_up_to_its_limit_and_the_rest_is_spilled():
    """P_n = max(-P_exp, P_d - P_g)."""
    turbine = part("ST-1", "turbine.x", 'vessel = "VE-1"\nsteam_flow = "0.2 kg/s"\n')
    start = '\n[start.VE-1]\ntemperature = "130 degC"\n'
    plant = started(
        STYLISED_RULES,
        loop(
            part("SB-1", "bus.x", 'when_short = "all stop"\n'), part("VE-1", "steam-vessel.x"), turbine,
            part("GR-1", "grid.mains", 'export_limit = "5 kW"\n'), machine("MC-1", "4 kW"),
        ) + start,
    )  # fmt: skip
    plant.advance(100.0)
    made = plant.value("ST-1", "generated")

    assert made > 10e3
    assert plant.value("GR-1", "power") == pytest.approx(-5e3)
    assert plant.value("SB-1", "spilled") == pytest.approx(made - 9e3)
    assert plant.electric()["exported"] > 0.0
    assert plant.electric_residual() < 1e-12


def test_an_outage_is_a_switch():
    off = '\n[[force]]\ntarget = "GR-1.closed"\nvalue = "0 %"\nstart = "10 s"\n'
    plant = started(
        RULES, loop(part("SB-1", "bus.x"), part("GR-1", "grid.mains"), machine("MC-1", "5 kW")) + off
    )
    plant.advance(10.0)
    before = plant.value("SB-1", "live")
    plant.advance(12.0)

    assert (before, plant.value("SB-1", "live")) == (1.0, 0.0)
