"""The heat source against exact solutions of its balance."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from brinewright.model.loop import Schedule
from tests.steam_plants import Bench, closed

MACHINE = {"heat": 0.0, "heat_capacity": 5e6, "highest_temperature": 900.0, "outside_conductance": 0.0}
STREAM = {"flow": 9.0, "stream_heat_capacity": 4100.0, "effectiveness": 0.8, "store_temperature": 440.0}


def warmed(law: str, numbers: dict, *, begins: dict | None = None, celsius: float = 20.0) -> Bench:
    bench = Bench("real").power()
    bench.add("MC-1", "machine", "lump", MACHINE, begins={"temperature": celsius + 273.15})
    return bench.add("HR-1", "heat source", law, numbers, begins=begins, into="MC-1")


def test_a_fixed_power_warms_evenly():
    run = warmed("fixed power", {"power": 100e3}).start()
    run.advance(500.0)

    assert run.value("MC-1", "temperature") == pytest.approx(293.15 + 100e3 * 500.0 / 5e6, rel=1e-12)
    assert closed(run)


def test_a_pulsing_power_gives_what_its_schedule_says():
    bench = warmed("fixed power", {"power": "pulse"})
    bench.schedules.append(
        Schedule(name="pulse", quantity="power", times=(0.0, 60.0), values=(200e3, 0.0), repeats=180.0)
    )
    run = bench.start()
    run.advance(1800.0)

    assert run.value("MC-1", "temperature") == pytest.approx(293.15 + 200e3 * 600.0 / 5e6, rel=1e-9)


def test_a_contact_brings_its_taker_near_along_an_exponential():
    run = warmed("fixed temperature contact", {"contact_temperature": 500.0, "conductance": 5e3}).start()
    run.advance(1200.0)
    T = 500.0 + (293.15 - 500.0) * np.exp(-5e3 * 1200.0 / 5e6)

    # the midpoint rule in steps of eleven seconds, rate 1e-3 per second
    assert run.value("MC-1", "temperature") == pytest.approx(T, abs=5e-3)
    assert run.value("HR-1", "heat") == pytest.approx(5e3 * (500.0 - T), rel=1e-4)
    assert closed(run)


def test_a_stream_gives_its_effectiveness_and_never_more_than_its_own_temperature():
    """Phi = eps q c (T_g - T)."""
    run = warmed("stream", STREAM).start()
    run.advance(60.0)
    assert run.value("HR-1", "heat") == pytest.approx(
        0.8 * 9.0 * 4100.0 * (440.0 - run.value("MC-1", "temperature")), rel=1e-9
    )
    run.advance(36000.0)
    assert run.value("MC-1", "temperature") == pytest.approx(440.0, abs=1e-6)
    assert closed(run)


def test_a_store_cools_as_it_gives_and_is_recharged_from_around():
    """C dT_g/dt = G_r (T_u - T_g) - Phi, beside the taker's own balance, by an independent integration."""
    numbers = {**STREAM, "store_heat_capacity": 2e7, "recharge_conductance": 2e3}
    run = warmed("stream", numbers, begins={"store_temperature": 420.0}).start()
    run.advance(2400.0)
    given = 0.8 * 9.0 * 4100.0

    def slope(_, state):
        T, store = state
        heat = given * (store - T)
        return [heat / 5e6, (2e3 * (440.0 - store) - heat) / 2e7]

    solved = solve_ivp(slope, (0.0, 2400.0), [293.15, 420.0], rtol=1e-10, atol=1e-9)
    assert run.value("MC-1", "temperature") == pytest.approx(solved.y[0, -1], abs=1e-2)
    assert run.value("HR-1", "store temperature") == pytest.approx(solved.y[1, -1], abs=1e-2)
    assert closed(run)


@pytest.mark.parametrize(("gives_only", "heat"), [(True, 0.0), (False, -0.8 * 9.0 * 4100.0 * 60.0)])
def test_a_source_colder_than_its_taker_takes_heat_unless_it_is_cut_off(gives_only, heat):
    run = warmed("stream", {**STREAM, "gives_only": gives_only}, celsius=500.0 - 273.15).start(longest_step=1)
    run.advance(1.0)

    assert run.value("HR-1", "heat") == pytest.approx(heat, rel=0.01)


def test_a_source_opens_in_its_stroke_and_can_be_held_shut():
    run = (
        warmed("fixed power", {"power": 100e3, "stroke_time": 20.0})
        .force("HR-1.running", 0.0, 60.0, 90.0)
        .start(1)
    )
    run.advance(61.0)
    assert run.value("HR-1", "heat") == 0.0
    run.advance(100.0)
    assert 0.0 < run.value("HR-1", "running") < 1.0
    run.advance(150.0)
    assert run.value("HR-1", "heat") == pytest.approx(100e3)
