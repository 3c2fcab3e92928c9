"""The steam vessel against CoolProp (IAPWS-95), closed forms and an independent integration in time."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from brinewright.errors import InputError
from tests.steam_plants import ZERO, Bench, closed, events, vessel


def inner_energy(T: float, mass: float, volume: float) -> float:
    """Energy of the water of a closed vessel by CoolProp [J]."""
    return mass * PropsSI("U", "T", T, "D", mass / volume, "Water")


def heated(power: float, numbers: dict, celsius: float, law: str = "two-phase", **more):
    bench = Bench("real").add("VE-1", "steam vessel", law, numbers, begins={"temperature": celsius + ZERO})
    return bench.add("HR-1", "heat source", "fixed power", {"power": power}, into="VE-1", **more)


def test_a_closed_vessel_warms_as_coolprop_says():
    """3354 kg in 6 m3 with 2.5 t of steel, 20 to 135 degC: 1770.6 MJ (CoolProp)."""
    steel = 2500.0 * 490.0
    run = heated(1e6, vessel(6.0, 3354.0, steel), 20.0).start()
    for seconds in (600.0, 1200.0, 1770.0):
        assert run.advance(seconds) == "done"
        begin = inner_energy(293.15, 3354.0, 6.0) + steel * 293.15

        def lacks(T, begin=begin, seconds=seconds):
            return inner_energy(T, 3354.0, 6.0) + steel * T - begin - 1e6 * seconds

        T = brentq(lacks, 293.2, 450.0)
        # the tables give u within 1e-6 of CoolProp
        assert run.value("VE-1", "temperature") == pytest.approx(T, abs=2e-3)
        assert run.value("VE-1", "pressure") == pytest.approx(PropsSI("P", "T", T, "Q", 0, "Water"), rel=1e-4)
    assert run.value("VE-1", "temperature") - ZERO == pytest.approx(135.0, abs=0.05)
    assert closed(run)


def test_the_level_is_that_of_the_liquid():
    run = heated(1e6, vessel(6.0, 3354.0, 2500.0 * 490.0), 135.0).start()
    run.advance(1.0)

    assert run.value("VE-1", "level") == pytest.approx(0.60, abs=2e-3)


def test_a_little_water_boils_dry_where_its_steam_fills_the_vessel_and_then_superheats():
    """12 kg in 6 m3 are dry at 140.63 degC, and at 175 degC have 4.02 bar (IAPWS-95)."""
    run = heated(10e3, vessel(6.0, 12.0), 100.0).start(longest_step=1)
    run.advance(8000.0)
    seen = events(run)
    dry_at = seen["dry"]
    again = heated(10e3, vessel(6.0, 12.0), 100.0).start(longest_step=1)
    again.advance(dry_at)
    # dry steam warms by half a kelvin in the tick that notices it
    assert again.value("VE-1", "temperature") - ZERO == pytest.approx(140.63, abs=0.5)
    while again.value("VE-1", "temperature") < 175.0 + ZERO:
        again.advance(again.time + 1.0)
    T = again.value("VE-1", "temperature")
    assert again.value("VE-1", "dryness") == 1.0
    assert again.value("VE-1", "pressure") == pytest.approx(PropsSI("P", "T", T, "D", 2.0, "Water"), rel=1e-4)
    assert again.value("VE-1", "pressure") / 1e5 == pytest.approx(4.02, abs=0.03)
    assert closed(again)


def test_a_nearly_full_vessel_becomes_liquid_full_and_its_pressure_runs_away():
    """A cold fill of 91.9 % is full of liquid at 150 degC (IAPWS-95)."""
    mass = 0.919 * 998.2 * 2.0
    numbers = vessel(2.0, mass, design_pressure=10e5)
    run = heated(0.5e6, numbers, 20.0).start(longest_step=1)
    run.advance(2100.0)
    T = run.value("VE-1", "temperature")
    full = events(run)["liquid-full"]
    before = heated(0.5e6, numbers, 20.0).start(longest_step=1)
    before.advance(full)

    assert before.value("VE-1", "temperature") - ZERO == pytest.approx(150.0, abs=0.6)
    assert run.value("VE-1", "level") == 1.0
    assert run.value("VE-1", "pressure") == pytest.approx(
        PropsSI("P", "T", T, "D", mass / 2.0, "Water"), rel=1e-3
    )
    assert "over-pressure" in events(run)
    assert closed(run)


def test_air_shut_in_adds_its_pressure():
    """Sealed at 1.013 bar and 20 degC: 4.54 bar in all at 135 degC, of which 3.13 bar steam."""
    volume, mass = 6.0, 0.56 * 998.2 * 6.0
    gas_space = volume - mass / 998.2
    air = 101.3e3 * gas_space / (287.05 * 293.15)
    run = heated(1e6, vessel(volume, mass, air_mass=air), 20.0).start()
    while run.value("VE-1", "temperature") < 135.0 + ZERO:
        run.advance(run.time + 5.0)
    T = run.value("VE-1", "temperature")
    liquid = (1.0 - run.value("VE-1", "dryness")) * mass / PropsSI("D", "T", T, "Q", 0, "Water")
    partial = air * 287.05 * T / (volume - liquid)

    assert run.value("VE-1", "pressure") == pytest.approx(
        PropsSI("P", "T", T, "Q", 1, "Water") + partial, rel=1e-4
    )
    # the gas space shrinks as the water expands, which the round figure leaves out
    assert 4.4e5 < run.value("VE-1", "pressure") < 5.1e5


def test_a_vessel_that_loses_heat_follows_an_independent_integration():
    steel, loss, power = 5e6, 4e3, 150e3
    run = heated(power, vessel(10.0, 4000.0, steel, loss), 60.0).start()
    run.advance(3600.0 * 6)

    def slope(_, state):
        T = state[0]
        step = 0.05
        water = (inner_energy(T + step, 4000.0, 10.0) - inner_energy(T - step, 4000.0, 10.0)) / (2 * step)
        return [(power - loss * (T - 293.15)) / (water + steel)]

    solved = solve_ivp(slope, (0.0, 3600.0 * 6), [60.0 + ZERO], rtol=1e-9, atol=1e-7)
    assert run.value("VE-1", "temperature") == pytest.approx(solved.y[0, -1], abs=2e-3)
    assert run.value("VE-1", "heat in") == pytest.approx(power, rel=1e-3)
    assert run.value("VE-1", "loss") == pytest.approx(loss * (solved.y[0, -1] - 293.15), rel=1e-4)
    assert closed(run)


def test_a_vessel_that_cools_falls_below_the_pressure_it_is_built_for():
    """Sealed without air, a vessel at 20 degC has 0.023 bar: nearly full vacuum (IAPWS-95)."""
    numbers = vessel(3.0, 1000.0, loss=2e4, lowest_pressure=50e3)
    run = heated(0.0, numbers, 110.0).start()
    run.advance(86400.0)

    assert run.value("VE-1", "pressure") == pytest.approx(2339.0, rel=2e-3)
    assert events(run)["under-pressure"] > 0.0


def test_a_hot_dense_vessel_says_that_it_left_the_tables():
    run = heated(5e6, vessel(2.0, 400.0), 250.0).start()
    run.advance(600.0)

    assert "outside-table" in events(run)
    assert closed(run)


def test_a_full_charge_is_refused_before_the_run():
    with pytest.raises(InputError, match="Charge less"):
        heated(1e6, vessel(1.0, 1000.0), 90.0).start()


@pytest.mark.parametrize("share", [0.02, 0.25, 0.5, 0.9])
def test_a_lying_vessel_is_as_high_as_its_segment(share):
    """Area of a segment of a circle, r^2 acos((r - h) / r) - (r - h) sqrt(2 r h - h^2), by any handbook."""
    numbers = vessel(2.0, 998.2 * 2.0 * share, shape="lying")
    run = heated(0.0, numbers, 20.0).start()
    run.advance(1.0)
    h = run.value("VE-1", "level") * 2.0
    area = np.arccos(1.0 - h) - (1.0 - h) * np.sqrt(2.0 * h - h * h)

    assert area / np.pi == pytest.approx(share, abs=1e-4)


def test_a_lump_has_no_pressure_and_calls_itself_steam_above_its_boiling_point():
    numbers = {
        "volume": 4.0,
        "water_mass": 2000.0,
        "water_heat_capacity": 4200.0,
        "boils": 370.0,
        "metal_mass": 1000.0,
        "metal_heat_capacity": 500.0,
        "loss_conductance": 50.0,
        "inner_height": 2.0,
    }
    run = heated(500e3, numbers, 90.0, "lump").start()
    run.advance(60.0)
    assert run.value("VE-1", "dryness") == 0.0
    run.advance(1200.0)
    assert run.value("VE-1", "dryness") == 1.0
    assert run.value("VE-1", "pressure") == 0.0
    # C dT/dt = Phi - H (T - T_a), exact
    capacity = 2000.0 * 4200.0 + 500e3
    rest = 293.15 + 500e3 / 50.0
    assert run.value("VE-1", "temperature") == pytest.approx(
        rest + (363.15 - rest) * np.exp(-50.0 * 1200.0 / capacity), abs=1e-6
    )
    assert closed(run)
