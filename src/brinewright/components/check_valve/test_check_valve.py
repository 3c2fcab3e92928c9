"""The check valve: forward by its flow coefficient, backward not at all."""

import math

import pytest

from tests.circuits import DENSITY, GRAVITY, RULES, begins, between
from tests.plants import closes, started

RULES_HERE = (
    RULES
    + """
[check-valve.x]
law = "flow coefficient"
flow_coefficient = "20 m3/h"
opening_pressure = "3 kPa"
"""
)


def ran(high: float):
    simulation = started(RULES_HERE, between("check-valve.x", high=high) + begins())
    simulation.advance(20.0)
    assert closes(simulation)
    return simulation


def test_forward_it_takes_its_opening_pressure_and_that_of_its_flow_coefficient():
    simulation = ran(2.0)
    loss = simulation.value("X-1", "pressure loss")
    litres = 20.0 / 3600.0 * math.sqrt((loss - 3e3) / 1e5 / (DENSITY / 1000.0))

    assert simulation.value("X-1", "open") == 1.0
    assert loss == pytest.approx(2.0 * DENSITY * GRAVITY, rel=2e-3)
    assert simulation.value("X-1", "flow") == pytest.approx(litres * DENSITY, rel=1e-4)


def test_backward_nothing_flows_and_it_holds_all_pressure():
    simulation = ran(-2.0)

    assert simulation.value("X-1", "flow") == 0.0
    assert simulation.value("X-1", "open") == 0.0
    assert simulation.value("X-1", "pressure loss") == pytest.approx(-2.0 * DENSITY * GRAVITY)


def test_below_its_opening_pressure_it_stays_shut():
    # 0.3 m of liquid are 2640 Pa
    assert ran(0.3).value("X-1", "flow") == 0.0
    assert ran(0.4).value("X-1", "flow") > 0.0
