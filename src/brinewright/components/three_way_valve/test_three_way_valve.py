"""The three-way valve: shares by resistance, and ways that add up."""

import fluids
import pytest
from scipy.optimize import brentq

from tests.circuits import DENSITY, GRAVITY, RULES, begins, force, line, part
from tests.plants import closes, started

COEFFICIENT = 30.0 / 3600.0
RULES_HERE = (
    RULES
    + """
[three-way-valve.d]
law = "flow coefficient"
body = "diverting"
flow_coefficient = "30 m3/h"
fail_position = "a"
[three-way-valve.m]
law = "flow coefficient"
body = "mixing"
flow_coefficient = "30 m3/h"
fail_position = "a"
"""
)
LENGTH_A, LENGTH_B, BORE = 30.0, 10.0, 0.05


def diverting(position: float) -> str:
    """From a high tank through the valve, by a long and a short run, into a low one."""
    return (
        part("TK-1", "buffer-tank.wide", elevation="2 m")
        + part("TK-2", "buffer-tank.wide")
        + part("X-1", "three-way-valve.d")
        + line("L-1", "TK-1.out", "X-1.in", 0.5, 0.3)
        + line("L-2", "X-1.a", "TK-2.in", LENGTH_A, BORE)
        + line("L-3", "X-1.b", "TK-2.in", LENGTH_B, BORE)
        + part("HV-9", "shut-off-valve.back")
        + line("L-8", "TK-2.out", "HV-9.in", 0.5, 0.1)
        + line("L-9", "HV-9.out", "TK-1.in", 0.5, 0.1)
        + force("X-1.position", position)
        + begins(50.0)
    )


def flow_of_way(length: float, share: float) -> float:
    """Mass flow through a way of the valve and its run, from one pressure, by a root finder [kg/s]."""
    push = 2.0 * DENSITY * GRAVITY

    def left(flow: float) -> float:
        area = 0.25 * 3.141592653589793 * BORE**2
        speed = flow / DENSITY / area
        factor = fluids.friction_factor(speed * BORE * DENSITY / 2e-3, 4.5e-5 / BORE, Method="Churchill_1977")
        pipe = factor * length / BORE * 0.5 * DENSITY * speed**2
        return pipe + 1e5 * DENSITY / 1000.0 * (flow / DENSITY / (share * COEFFICIENT)) ** 2 - push

    return float(brentq(left, 1e-3, 50.0))


@pytest.mark.parametrize("position", [0.25, 0.5, 0.8])
def test_each_way_takes_what_its_own_resistance_lets(position):
    simulation = started(RULES_HERE, diverting(position))
    simulation.advance(30.0)

    assert closes(simulation)
    # the common line takes a thousandth of the pressure
    assert simulation.value("L-2", "flow") == pytest.approx(flow_of_way(LENGTH_A, position), rel=2e-3)
    assert simulation.value("L-3", "flow") == pytest.approx(flow_of_way(LENGTH_B, 1.0 - position), rel=2e-3)
    both = simulation.value("L-2", "flow") + simulation.value("L-3", "flow")
    assert simulation.value("X-1", "flow") == pytest.approx(both)
    assert simulation.value("X-1", "temperature") == pytest.approx(323.15, abs=0.01)


def test_at_the_end_of_its_stroke_the_other_way_is_tight():
    simulation = started(RULES_HERE, diverting(1.0))
    simulation.advance(10.0)

    assert simulation.value("L-3", "flow") == 0.0
    assert simulation.value("L-2", "flow") > 1.0
    assert simulation.value("X-1", "pressure loss") < 2.0 * DENSITY * GRAVITY


def test_a_mixing_body_mixes_by_the_flows_of_its_ways():
    loop = (
        part("TK-1", "buffer-tank.wide", elevation="2 m")
        + part("TK-2", "buffer-tank.wide", elevation="2 m")
        + part("TK-3", "buffer-tank.wide")
        + part("X-1", "three-way-valve.m")
        + line("L-1", "TK-1.out", "X-1.a", 3.0, 0.1)
        + line("L-2", "TK-2.out", "X-1.b", 3.0, 0.1)
        + line("L-3", "X-1.out", "TK-3.in", 3.0, 0.1)
        + part("HV-9", "shut-off-valve.back")
        + part("HV-8", "shut-off-valve.back")
        + line("L-6", "TK-3.out", "HV-9.in", 0.5, 0.1)
        + line("L-7", "TK-3.out", "HV-8.in", 0.5, 0.1)
        + line("L-8", "HV-9.out", "TK-1.in", 0.5, 0.1)
        + line("L-9", "HV-8.out", "TK-2.in", 0.5, 0.1)
        + force("X-1.position", 0.7)
        + begins(60.0, 20.0)
        + 'TK-3 = { level = 0.5, temperature = "20 degC" }\nHV-8 = { position = "shut" }\n'
    )
    simulation = started(RULES_HERE, loop)
    simulation.advance(60.0)
    a, b = simulation.value("L-1", "flow"), simulation.value("L-2", "flow")

    assert closes(simulation)
    assert a / b == pytest.approx(0.7 / 0.3, rel=0.02)  # nearly all is lost in the valve
    assert simulation.value("X-1", "temperature") == pytest.approx(
        (a * 333.15 + b * 293.15) / (a + b), abs=0.01
    )
