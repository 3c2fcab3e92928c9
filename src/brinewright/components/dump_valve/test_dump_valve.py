"""The dump valve against its own balance and critical flow."""

import pytest
from CoolProp.CoolProp import PropsSI

from brinewright.errors import InputError
from tests.steam_plants import ZERO, Bench, closed, vessel

DECLARED = {"steam_flow": 0.5, "returns": True, "condensate_temperature": 340.0, "fail_position": "shut"}
CRITICAL = {**DECLARED, "flow_area": 800e-6}
LUMP = {
    "volume": 6.0, "water_mass": 1500.0, "water_heat_capacity": 4200.0, "boils": 373.15, "metal_mass": 1000.0,
    "metal_heat_capacity": 1000.0, "loss_conductance": 0.0, "inner_height": 2.0,
}  # fmt: skip


def dumping(numbers: dict, law: str = "declared", *, opened: str = "open", **refers: str) -> Bench:
    bench = Bench("real")
    if law == "declared":
        bench.add("VE-1", "steam vessel", "lump", LUMP, begins={"temperature": 440.0})
    else:
        bench.add(
            "VE-1", "steam vessel", "two-phase", vessel(6.0, 3354.0), begins={"temperature": 150.0 + ZERO}
        )
    return bench.add("DV-1", "dump valve", law, numbers, begins={"position": opened}, vessel="VE-1", **refers)


def test_what_comes_back_keeps_the_mass_and_takes_the_heat():
    """M c dT/dt = -q c (T - T_r): an exponential towards the condensate."""
    run = dumping(DECLARED).start()
    run.advance(1200.0)
    import math

    capacity = 1500.0 * 4200.0 + 1e6
    expected = 340.0 + 100.0 * math.exp(-0.5 * 4200.0 * 1200.0 / capacity)
    # steps of eleven seconds see the temperature of their start
    assert run.value("VE-1", "temperature") == pytest.approx(expected, abs=0.1)
    assert run.value("VE-1", "mass") == pytest.approx(1500.0, rel=1e-12)
    assert closed(run)


def test_what_is_lost_leaves_the_vessel():
    run = dumping({**DECLARED, "returns": False}).start()
    run.advance(1200.0)

    assert run.value("DV-1", "lost") == pytest.approx(600.0, rel=1e-9)
    assert run.value("VE-1", "mass") == pytest.approx(900.0, rel=1e-9)
    assert closed(run)


def test_real_steam_passes_in_critical_flow():
    """q = K A p and Phi = q (h_g - h_r), K of API 520-1, enthalpies of CoolProp."""
    run = dumping(CRITICAL, "critical flow").start(longest_step=1)
    run.advance(1.0)
    pressure = PropsSI("P", "T", 150.0 + ZERO, "Q", 1, "Water")
    flow = 1.4581e-3 * 800e-6 * pressure
    heat = PropsSI("H", "T", 150.0 + ZERO, "Q", 1, "Water") - PropsSI("H", "T", 340.0, "Q", 0, "Water")

    assert run.value("DV-1", "steam flow") == pytest.approx(flow, rel=1e-3)
    assert run.value("DV-1", "heat") == pytest.approx(flow * heat, rel=1e-3)
    assert closed(run)


def test_a_sink_that_it_names_takes_the_heat():
    bench = dumping(DECLARED, sink="SK-1")
    bench.add(
        "SK-1", "final sink", "fixed temperature contact", {"contact_temperature": 290.0, "conductance": 1.0}
    )
    run = bench.start()
    run.advance(60.0)

    assert run.value("SK-1", "heat") == pytest.approx(run.value("DV-1", "heat"), rel=1e-9)


def test_it_strokes_and_can_be_held():
    run = (
        dumping({**DECLARED, "stroke_time": 20.0}, opened="shut")
        .force("DV-1.command", 1.0)
        .start(longest_step=1)
    )
    run.advance(10.0)
    assert run.value("DV-1", "position") == pytest.approx(0.5, abs=0.06)
    assert run.value("DV-1", "steam flow") == pytest.approx(0.25, abs=0.03)
    held = dumping(DECLARED).force("DV-1.position", 0.0).start()
    held.advance(10.0)
    assert held.value("DV-1", "steam flow") == 0.0


def test_steam_that_comes_back_must_say_how_warm():
    with pytest.raises(InputError, match="how warm"):
        dumping({**DECLARED, "condensate_temperature": None}).start()
