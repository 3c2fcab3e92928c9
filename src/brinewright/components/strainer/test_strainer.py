"""What stands in the liquid's way: strainer and air separator; and what does not: points and sets."""

import math

import numpy as np
import pytest

from tests.circuits import DENSITY, GRAVITY, RULES, begins, between, force, line, part, starts
from tests.plants import HEAD, closes, started

RULES_HERE = (
    RULES
    + """
[strainer.x]
law = "flow coefficient"
flow_coefficient = "40 m3/h"
dirty_loss = "15 kPa"
[air-separator.x]
law = "flow coefficient"
flow_coefficient = "40 m3/h"
[drain-point.x]
law = "hand valve"
[vent-point.x]
law = "hand valve"
[expansion-vessel.x]
law = "gas cushion"
volume = "0.2 m3"
charge_pressure = "250 kPa abs"
highest_pressure = "400 kPa abs"
[pump.p]
law = "curve"
shut_off_pressure = "100 kPa"
duty_flow = "20 m3/h"
duty_pressure = "70 kPa"
when_off = "stops"
"""
)


@pytest.mark.parametrize(
    ("use", "share"), [("strainer.x", 1.0), ("strainer.x", 0.7), ("air-separator.x", 1.0)]
)
def test_the_flow_is_that_of_the_flow_coefficient_less_what_dirt_takes(use, share):
    stated = {} if use.startswith("air") else {"fouling": f"{1.0 - share}"}
    simulation = started(RULES_HERE, between(use, **stated) + begins())
    simulation.advance(20.0)
    loss = simulation.value("X-1", "pressure loss")
    litres = share * 40.0 / 3600.0 * math.sqrt(loss / 1e5 / (DENSITY / 1000.0))

    assert closes(simulation)
    # the short lines take their share of 2 m of liquid, each branch 0.1 Pa s/kg
    assert loss == pytest.approx(2.0 * DENSITY * GRAVITY, rel=5e-3)
    assert simulation.value("X-1", "flow") == pytest.approx(litres * DENSITY, rel=1e-4)


def test_a_dirty_strainer_says_so():
    simulation = started(RULES_HERE, between("strainer.x") + begins())
    simulation.advance(120.0)
    codes = [simulation.plant.events[int(row[1])][:2] for row in simulation.events[: simulation.counters[1]]]

    assert codes == [("X-1", "dirty")]


RING = (
    part("TK-1", "buffer-tank.wide")
    + part("P-1", "pump.p")
    + line("L-1", "TK-1.out", "P-1.in", 2.0, 0.1)
    + line("L-2", "P-1.out", "TK-1.in", 20.0, 0.06)
)
POINTS = (
    part("DR-1", "drain-point.x", on="L-1")
    + part("VN-1", "vent-point.x", on="L-2")
    + part("EV-1", "expansion-vessel.x", on="L-1")
)


def test_drain_points_vent_points_and_vessels_change_nothing_in_a_circuit_with_a_tank():
    bare, furnished = (started(RULES_HERE, RING + more + starts(TK_1=(0.5, 50.0))) for more in ("", POINTS))
    for simulation in (bare, furnished):
        simulation.advance(600.0)
    names = [(tag, name) for tag, name, *_ in bare.plant.channels]

    assert [bare.value(*key) for key in names] == [furnished.value(*key) for key in names]


SETTLED = HEAD.replace("liquid =", 'start = "settled"\nliquid =')


def closed_ring(points: str) -> str:
    """A ring without a tank: pump, two lines, a separator."""
    return (
        part("P-1", "pump.p")
        + part("X-1", "air-separator.x")
        + line("L-1", "X-1.out", "P-1.in", 2.0, 0.1, levels='["1 m", "0 m"]')
        + line("L-2", "P-1.out", "X-1.in", 20.0, 0.06, levels='["0 m", "1 m"]')
        + points
    )


def test_a_ring_without_a_tank_runs_at_the_pressure_that_its_vessel_holds():
    bare, held = (started(RULES_HERE, closed_ring(points), head=SETTLED) for points in ("", POINTS))
    for simulation in (bare, held):
        assert simulation.advance(600.0) == "done"
        assert closes(simulation)

    assert bare.value("P-1", "flow") == pytest.approx(held.value("P-1", "flow"), rel=1e-9)
    assert bare.value("P-1", "flow") > 3.0
    shift = held.value("L-2", "pressure") - bare.value("L-2", "pressure")
    assert shift == pytest.approx(250e3 - 90e3)
    # the pump's work stays in the ring as heat, there is no insulation that loses it
    assert held.value("L-1", "temperature") > 303.5


def test_a_valve_in_a_ring_without_a_tank_may_stop_it():
    simulation = started(RULES_HERE, closed_ring(force("P-1.running", 0.0, 100.0, 200.0)), head=SETTLED)
    flow = []
    for time in (90.0, 150.0, 300.0):
        simulation.advance(time)
        flow.append(simulation.value("P-1", "flow"))

    assert closes(simulation)
    assert flow[1] == 0.0
    np.testing.assert_allclose(flow[2], flow[0], rtol=1e-3)
