"""The condensate pump against mass balances and the work of any text on steam cycles."""

import pytest
from CoolProp.CoolProp import PropsSI

from tests.steam_plants import ZERO, Bench, closed, events, vessel

CASING = {"casing_mass": 2000.0, "casing_heat_capacity": 490.0, "hall_conductance": 200.0}
LUMP = {
    "volume": 6.0, "water_mass": 1500.0, "water_heat_capacity": 4200.0, "boils": 373.15, "metal_mass": 5292.0,
    "metal_heat_capacity": 1000.0, "loss_conductance": 0.0, "inner_height": 2.0,
}  # fmt: skip
THRESHOLD = {
    "threshold": 390.0, "differential": 20.0, "steam_flow": 1.5, "condensate_temperature": 368.15,
    "efficiency": 0.3, "highest_power": 1e9, "casing_share_of": "power", "casing_share": 0.0, **CASING,
}  # fmt: skip
EXPANSION = {
    "design_flow": 1.398,
    "design_inlet_pressure": 313230.0,
    "design_exhaust_pressure": 9595.0,
    "start_pressure": 2.0e5,
    "stop_pressure": 1.5e5,
    "highest_power": 1e7,
    "condenser_temperature": 318.15,
    **CASING,
}
FEED = {
    "capacity": 3.0, "efficiency": 0.5, "motor_efficiency": 1.0, "line_loss": 30e3, "highest_rise": 8e5,
    "hotwell_height": 3.0, "hotwell": 200.0,
}  # fmt: skip


def stylised(pump: dict, count: int = 1) -> Bench:
    bench = Bench().power().add("VE-1", "steam vessel", "lump", LUMP, begins={"temperature": 410.0})
    bench.add("HR-1", "heat source", "fixed power", {"power": 264.6e3}, into="VE-1")
    bench.add("ST-1", "turbine", "threshold", THRESHOLD, begins={"running": True}, vessel="VE-1")
    if count > 1:
        bench.add("ST-2", "turbine", "threshold", THRESHOLD, begins={"running": True}, vessel="VE-1")
    serves = "ST-1 ST-2" if count > 1 else "ST-1"
    return bench.add("CP-1", "condensate pump", "fixed capacity", pump, serves=serves)


def real(pump: dict) -> Bench:
    bench = Bench("real").power()
    bench.add("VE-1", "steam vessel", "two-phase", vessel(6.0, 3354.0), begins={"temperature": 135.0 + ZERO})
    bench.add("HR-1", "heat source", "fixed power", {"power": 3549e3}, into="VE-1")
    bench.add("ST-1", "turbine", "expansion", EXPANSION, vessel="VE-1")
    return bench.add("CP-1", "condensate pump", "feed", pump, serves="ST-1")


def test_a_pump_that_is_able_returns_all_and_the_vessel_keeps_its_water():
    run = stylised({"capacity": 2.0, "power": 4e3, "hotwell": 100.0}).start()
    run.advance(3600.0)

    assert run.value("CP-1", "condensate flow") == pytest.approx(1.5)
    assert run.value("CP-1", "power") == 4e3
    assert run.value("VE-1", "mass") == pytest.approx(1500.0)
    assert closed(run)


def test_a_pump_that_stops_fills_its_hotwell_then_stops_the_turbine():
    """100 kg at 1.5 kg/s: full after 67 s; the vessel lacks just what waits."""
    run = (
        stylised({"capacity": 2.0, "power": 4e3, "hotwell": 100.0}).force("CP-1.running", 0.0, 60.0).start(1)
    )
    run.advance(400.0)
    seen = events(run)

    assert seen["hotwell-full"] == pytest.approx(60.0 + 100.0 / 1.5, abs=3.0)
    assert run.value("ST-1", "condensate return") == 0.0
    assert run.value("ST-1", "running") == 0.0
    assert run.value("CP-1", "hotwell") == pytest.approx(100.0, abs=3.1)
    assert run.value("VE-1", "mass") == pytest.approx(1500.0 - run.value("CP-1", "hotwell"), rel=1e-9)
    assert closed(run)


def test_when_the_pump_comes_back_the_turbine_does_too():
    pump = {"capacity": 2.0, "power": 4e3, "hotwell": 100.0}
    run = stylised(pump).force("CP-1.running", 0.0, 60.0, 300.0).start(1)
    run.advance(600.0)

    assert run.value("ST-1", "running") == 1.0
    assert run.value("CP-1", "hotwell") < 5.0
    assert run.value("VE-1", "mass") == pytest.approx(1500.0 - run.value("CP-1", "hotwell"), rel=1e-9)


def test_a_pump_too_small_for_two_turbines_makes_them_run_in_turns():
    """What returns in the long run is its capacity."""
    run = stylised({"capacity": 2.0, "power": 4e3, "hotwell": 100.0}, 2).start(1)
    run.advance(3600.0)
    drawn = (
        run.integral[run.plant.place("ST-1", "steam flow")]
        + run.integral[run.plant.place("ST-2", "steam flow")]
    )

    assert drawn / 3600.0 == pytest.approx(2.0, rel=0.03)
    assert run.value("CP-1", "hotwell") <= 106.0
    assert closed(run)


def test_a_feed_pump_draws_the_work_of_its_pressure_difference():
    """P = q dp / (rho eta): 1.398 kg/s over 3.04 bar and the line: 0.94 kW at 0.5 (worked example)."""
    run = real(FEED).start()
    run.advance(3600.0)
    flow = run.value("CP-1", "condensate flow")
    rise = (
        run.value("VE-1", "pressure") - PropsSI("P", "T", 318.15, "Q", 0, "Water") + 30e3 * (flow / 3.0) ** 2
    )
    density = PropsSI("D", "T", 318.15, "Q", 0, "Water")

    assert run.value("CP-1", "power") == pytest.approx(flow * rise / (density * 0.5), rel=1e-3)
    assert run.value("CP-1", "power") == pytest.approx(0.94e3, rel=0.1)
    assert closed(run)


def test_a_feed_pump_cannot_return_against_more_than_its_highest_rise():
    run = real({**FEED, "highest_rise": 2.5e5}).start()
    run.advance(600.0)

    assert run.value("CP-1", "condensate flow") == 0.0
    assert "hotwell-full" in events(run)
    assert closed(run)


def test_a_hotwell_too_low_above_the_pump_is_told():
    low = real({**FEED, "hotwell_height": 1.0}).start()
    low.advance(200.0)
    high = real(FEED).start()
    high.advance(200.0)

    assert "suction-head" in events(low)
    assert "suction-head" not in events(high)
