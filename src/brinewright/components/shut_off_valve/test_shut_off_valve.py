"""The shut-off valve against the definition of its flow coefficient."""

import math

import pytest

from tests.circuits import DENSITY, RULES, STYLISED_RULES, begins, between, force, line, part, starts
from tests.plants import closes, plant, started

FLOW_COEFFICIENT = 20.0 / 3600.0


def rules(characteristic: str = "linear", fail: str = "shut", leak: str = "0 %", stroke: str = "0 s") -> str:
    return (
        RULES
        + f"""
[shut-off-valve.x]
law = "flow coefficient"
flow_coefficient = "20 m3/h"
characteristic = "{characteristic}"
stroke_time = "{stroke}"
fail_position = "{fail}"
leak = "{leak}"
"""
    )


def expected(share: float, loss: float) -> float:
    """Mass flow at a pressure loss by the definition of Kv, IEC 60534-2-1 [kg/s]."""
    litres = share * FLOW_COEFFICIENT * math.sqrt(loss / 1e5 / (DENSITY / 1000.0))
    return litres * DENSITY


@pytest.mark.parametrize(
    ("characteristic", "position", "share"),
    [
        ("linear", 1.0, 1.0),
        ("linear", 0.3, 0.3),
        ("equal percentage", 0.5, 50.0**-0.5),
        ("quick opening", 0.25, 0.5),
    ],
)
def test_the_flow_is_that_of_the_flow_coefficient_at_its_stroke(characteristic, position, share):
    loop = between("shut-off-valve.x") + force("X-1.position", position) + begins()
    simulation = started(rules(characteristic), loop)
    simulation.advance(20.0)
    loss = simulation.value("X-1", "pressure loss")

    assert closes(simulation)
    assert loss == pytest.approx(2.0 * DENSITY * 8.0, rel=2e-3)  # the lines take a thousandth
    # 1e-4: beside the quadratic loss each branch has 0.1 Pa s/kg, some Pa of 17600
    assert simulation.value("X-1", "flow") == pytest.approx(expected(share, loss), rel=1e-4)


def test_a_shut_valve_is_tight_and_holds_back_all_pressure():
    simulation = started(
        rules("equal percentage"), between("shut-off-valve.x") + force("X-1.position", 0.0) + begins()
    )
    simulation.advance(20.0)

    assert simulation.value("X-1", "flow") == 0.0
    assert simulation.value("X-1", "pressure loss") == pytest.approx(2.0 * DENSITY * 8.0)


def test_a_leak_passes_its_share():
    simulation = started(
        rules(leak="1 %"), between("shut-off-valve.x") + force("X-1.position", 0.0) + begins()
    )
    simulation.advance(20.0)

    assert simulation.value("X-1", "flow") == pytest.approx(
        expected(0.01, simulation.value("X-1", "pressure loss")), rel=1e-3
    )


def test_it_strokes_in_its_time():
    loop = between("shut-off-valve.x") + force("X-1.position", 0.0, 0.0, 10.0) + begins()
    simulation = started(rules(stroke="20 s"), loop)
    simulation.advance(15.0)

    assert simulation.value("X-1", "position") == pytest.approx(5.0 / 20.0)
    simulation.advance(40.0)
    assert simulation.value("X-1", "position") == 1.0


def test_the_loss_turns_with_the_flow():
    down, up = (started(rules(), between("shut-off-valve.x", high=high) + begins()) for high in (2.0, -2.0))
    down.advance(10.0)
    up.advance(10.0)

    assert up.value("X-1", "flow") == pytest.approx(-down.value("X-1", "flow"), rel=1e-6)
    assert up.value("X-1", "pressure loss") == pytest.approx(-down.value("X-1", "pressure loss"), rel=1e-6)


IDEAL = (
    STYLISED_RULES
    + """
[shut-off-valve.x]
law = "ideal"
capacity = "8 kg/s"
stroke_time = "10 s"
fail_position = "stays"
leak = "10 %"
[pump.p]
law = "fixed capacity"
capacity = "20 kg/s"
power = "0 W"
heat_share = "0 %"
when_off = "stops"
"""
)
RING = (
    part("TK-1", "buffer-tank.wide")
    + part("P-1", "pump.p")
    + part("X-1", "shut-off-valve.x")
    + line("L-1", "TK-1.out", "P-1.in", 2.0, 0.1)
    + line("L-2", "P-1.out", "X-1.in", 2.0, 0.1)
    + line("L-3", "X-1.out", "TK-1.in", 2.0, 0.1)
)


def test_the_capacity_of_an_ideal_valve_grows_evenly_with_its_stroke():
    loop = RING + force("X-1.position", 0.4) + starts(TK_1=(0.5, 30.0))
    half, shut = (
        started(IDEAL, loop.replace("value = 0.4", f"value = {position}")) for position in (0.4, 0.0)
    )
    for simulation in (half, shut):
        simulation.advance(10.0)

    assert half.value("X-1", "flow") == pytest.approx(0.4 * 8.0)
    assert shut.value("X-1", "flow") == pytest.approx(0.1 * 8.0)


def test_an_ideal_valve_has_no_pressure_loss_to_show():
    names = {name for tag, name, *_ in plant(IDEAL, RING + starts(TK_1=(0.5, 30.0))).channels if tag == "X-1"}

    assert names == {"flow", "temperature", "position"}
