"""The final sink against closed forms of radiation, exchange and storage."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from brinewright.laws.effectiveness import counterflow
from tests.steam_plants import Bench, closed, events

SIGMA = 5.670374419e-8
MACHINE = {"heat": 50e3, "heat_capacity": 5e6, "highest_temperature": 900.0, "outside_conductance": 0.0}
DAYS = 172800.0
"""Long enough for machine and surface to rest [s]."""


def cooled(
    law: str, numbers: dict, *, heat: float = 50e3, begins: dict | None = None, count: int = 1
) -> Bench:
    """A machine that makes heat and touches a sink."""
    bench = Bench().power()
    bench.add("MC-1", "machine", "lump", {**MACHINE, "heat": heat}, begins={"temperature": 330.0})
    return bench.add("SK-1", "final sink", law, numbers, begins=begins, count=count, cools="MC-1")


def led_through(law: str, numbers: dict, *, flow: float = 4.0, entering: float = 320.0) -> Bench:
    """A sink through which liquid is led."""
    bench = Bench().power().add("SK-1", "final sink", law, {"hold_up": 40.0, **numbers})
    return bench.ring("SK-1", flow, entering)


def steady(bench: Bench) -> float:
    """Mean heat of a sink through which liquid is led [W]; parcels may leave a little early or late."""
    run = bench.start()
    assert run.advance(900.0) == "done"
    before = run.integral[run.plant.place("SK-1", "heat")]
    assert run.advance(4500.0) == "done"
    assert closed(run)
    return float(run.integral[run.plant.place("SK-1", "heat")] - before) / 3600.0


def rested(bench: Bench, seconds: float = DAYS):
    run = bench.start()
    assert run.advance(seconds) == "done"
    assert closed(run)
    return run


def test_a_contact_takes_the_heat_at_its_own_temperature():
    run = rested(cooled("fixed temperature contact", {"contact_temperature": 290.0, "conductance": 2e3}))

    assert run.value("MC-1", "temperature") == pytest.approx(290.0 + 50e3 / 2e3, abs=1e-6)
    assert run.value("SK-1", "heat") == pytest.approx(50e3, rel=1e-6)


def test_two_units_are_twice_as_good():
    numbers = {"contact_temperature": 290.0, "conductance": 2e3}
    run = rested(cooled("fixed temperature contact", numbers, count=2))

    assert run.value("MC-1", "temperature") == pytest.approx(290.0 + 50e3 / 4e3, abs=1e-6)


def test_a_radiator_sheds_by_the_fourth_power_and_to_the_air():
    """G (T - T_s) = eps sigma A (T_s^4 - T_sky^4) + h A (T_s - T_air)."""
    numbers = {
        "area": 80.0,
        "emissivity": 0.85,
        "sky_temperature": 250.0,
        "air_coefficient": 4.0,
        "conductance": 3e3,
    }
    run = rested(cooled("radiator", numbers))
    surface = brentq(
        lambda T: 0.85 * SIGMA * 80.0 * (T**4 - 250.0**4) + 4.0 * 80.0 * (T - 293.15) - 50e3, 200.0, 600.0
    )

    assert run.value("SK-1", "sink temperature") == pytest.approx(surface, abs=1e-4)
    assert run.value("MC-1", "temperature") == pytest.approx(surface + 50e3 / 3e3, abs=1e-4)


@pytest.mark.parametrize(("celsius", "kilowatt"), [(45.0, 0.494), (95.0, 0.885), (130.0, 1.273)])
def test_a_square_metre_of_radiator_sheds_what_the_tables_say(celsius, kilowatt):
    """At emissivity 0.85 to 0 K: 0.494, 0.885 and 1.273 kW (Stefan and Boltzmann)."""
    numbers = {"area": 100.0, "emissivity": 0.85, "sky_temperature": 1e-3, "conductance": 1e6}
    run = rested(cooled("radiator", numbers, heat=kilowatt * 1e5))

    assert run.value("SK-1", "sink temperature") - 273.15 == pytest.approx(celsius, abs=0.1)


def test_a_small_radiator_behind_a_good_contact_does_not_swing():
    """The contact passes a thousand times what the surface sheds by kelvin."""
    numbers = {"area": 1.0, "emissivity": 0.9, "sky_temperature": 3.0, "conductance": 5e5}
    run = cooled("radiator", numbers, heat=500.0).start()
    seen = []
    for seconds in range(600, 6000, 11):
        run.advance(float(seconds))
        seen.append(run.value("SK-1", "sink temperature"))
    steps = np.diff(seen)

    assert np.all(steps * steps[0] >= -1e-9)


def test_ground_warms_with_what_it_takes_and_leaks_to_what_lies_around():
    """C dT_s/dt = Phi - G_u (T_s - T_u), beside the machine's own balance, by an independent integration."""
    numbers = {
        "conductance": 2e3,
        "ground_temperature": 283.15,
        "ground_heat_capacity": 3e8,
        "far_conductance": 500.0,
    }
    run = rested(cooled("ground", numbers, begins={"warmed_temperature": 285.0}))

    def slope(_, state):
        T, ground = state
        heat = 2e3 * (T - ground)
        return [(50e3 - heat) / 5e6, (heat - 500.0 * (ground - 283.15)) / 3e8]

    solved = solve_ivp(slope, (0.0, DAYS), [330.0, 285.0], method="LSODA", rtol=1e-10, atol=1e-9)
    assert run.value("MC-1", "temperature") == pytest.approx(solved.y[0, -1], abs=1e-2)
    assert run.value("SK-1", "sink temperature") == pytest.approx(solved.y[1, -1], abs=1e-2)
    assert run.value("SK-1", "heat") == pytest.approx(2e3 * (solved.y[0, -1] - solved.y[1, -1]), rel=1e-3)


def test_a_stream_of_water_takes_what_its_units_of_transfer_allow():
    """Phi = C (1 - exp(-G / C)) (T - T_w), T_s = T_w + Phi / C."""
    numbers = {
        "water_flow": 0.8,
        "water_temperature": 288.0,
        "conductance": 4e3,
        "highest_water_temperature": 300.0,
    }
    run = rested(cooled("water", numbers))
    stream = 0.8 * 4186.0

    assert run.value("MC-1", "temperature") == pytest.approx(
        288.0 + 50e3 / (-stream * np.expm1(-4e3 / stream)), abs=1e-4
    )
    assert run.value("SK-1", "leaving temperature") == pytest.approx(288.0 + 50e3 / stream, abs=1e-4)
    assert "water-too-warm" in events(run)


def test_liquid_led_through_a_stream_of_water_meets_it_in_counterflow():
    hot, cold = 4.0 * 4000.0, 3.0 * 4186.0
    heat = (
        counterflow(20e3 / min(hot, cold), min(hot, cold) / max(hot, cold)) * min(hot, cold) * (320.0 - 288.0)
    )
    numbers = {"water_flow": 3.0, "water_temperature": 288.0, "conductance": 20e3}

    assert steady(led_through("water", numbers)) == pytest.approx(heat, rel=2e-3)


def test_liquid_led_through_a_contact_meets_a_body_of_constant_temperature():
    """Phi = q c (1 - exp(-G / (q c))) (T_in - T_k)."""
    numbers = {"contact_temperature": 285.0, "conductance": 12e3}
    heat = -16e3 * np.expm1(-12e3 / 16e3) * (320.0 - 285.0)

    assert steady(led_through("fixed temperature contact", numbers)) == pytest.approx(heat, rel=2e-3)


def test_a_declared_sink_takes_its_heat_and_the_audit_knows():
    bench = led_through("declared", {"heat": 80e3, "lowest_temperature": 290.0})
    assert steady(bench) == pytest.approx(80e3, rel=2e-3)
    run = bench.start()
    run.advance(4500.0)

    assert run.arrays["E"][run.plant.accounts["declared heat"]] == pytest.approx(80e3 * 4500.0, rel=0.01)


def test_a_declared_sink_stops_at_its_lowest_temperature():
    led = rested(led_through("declared", {"heat": 1e7, "lowest_temperature": 300.0}), 3600.0)
    touched = rested(cooled("declared", {"heat": 60e3, "lowest_temperature": 310.0}))

    assert led.value("SK-1", "outlet temperature") == pytest.approx(300.0, abs=0.1)
    # it lets go within half of what one step could take
    assert touched.value("MC-1", "temperature") == pytest.approx(310.0, abs=2.01 * 50e3 * 11.0 / 5e6)


def test_a_sink_that_is_stopped_takes_nothing():
    numbers = {"contact_temperature": 290.0, "conductance": 2e3, "power": 5e3}
    run = rested(cooled("fixed temperature contact", numbers).force("SK-1.running", 0.0), 3600.0)

    assert run.value("SK-1", "heat") == 0.0
    assert run.value("SK-1", "power") == 0.0
    assert run.value("MC-1", "temperature") == pytest.approx(330.0 + 50e3 * 3600.0 / 5e6, rel=1e-9)
