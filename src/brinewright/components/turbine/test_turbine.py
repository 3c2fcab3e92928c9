"""The turbine against a worked example in CoolProp, closed forms, and balances of its own."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from brinewright.errors import InputError
from tests.steam_plants import ZERO, Bench, closed, events, vessel

LUMP = {
    "volume": 6.0, "water_mass": 1500.0, "water_heat_capacity": 4200.0, "boils": 373.15, "metal_mass": 5292.0,
    "metal_heat_capacity": 1000.0, "loss_conductance": 60.0, "inner_height": 2.0,
}  # fmt: skip
CASING = {"casing_mass": 2000.0, "casing_heat_capacity": 490.0, "hall_conductance": 200.0}
THRESHOLD = {
    "threshold": 398.15, "differential": 2.0, "steam_flow": 1.5, "condensate_temperature": 368.15,
    "efficiency": 0.55, "highest_power": 260e3, "casing_share_of": "heat taken", "casing_share": 0.08,
    "casing_heat": 3e3, **CASING,
}  # fmt: skip
EXPANSION = {
    "design_flow": 1.398, "design_inlet_pressure": 313230.0, "design_exhaust_pressure": 9595.0,
    "start_pressure": 2.0e5, "stop_pressure": 1.5e5, "highest_power": 1e7, "isentropic_efficiency": 0.70,
    "mechanical_efficiency": 0.98, "generator_efficiency": 0.96, "condenser_temperature": 318.15, **CASING,
}  # fmt: skip


def stylised(heat: float, count: int, law: str = "lump", **more) -> Bench:
    bench = Bench().power()
    latent = {"latent_heat": 2188e3} if law != "lump" else {}
    bench.add("VE-1", "steam vessel", law, {**LUMP, **latent}, begins={"temperature": 398.2})
    bench.add("ST-1", "turbine", "threshold", {**THRESHOLD, **more}, count=count, vessel="VE-1")
    return bench.add("HR-1", "heat source", "fixed power", {"power": heat}, into="VE-1")


def real(
    heat: float, count: int = 1, celsius: float = 135.0, *, sink: str = "", world: str = "real", **more
) -> Bench:
    bench = Bench(world).power()
    numbers = vessel(6.0, 3354.0, 1225e3)
    bench.add("VE-1", "steam vessel", "two-phase", numbers, begins={"temperature": celsius + ZERO})
    refers = {"sink": sink} if sink else {}
    bench.add("ST-1", "turbine", "expansion", {**EXPANSION, **more}, count=count, vessel="VE-1", **refers)
    return bench.add("HR-1", "heat source", "fixed power", {"power": heat}, into="VE-1")


@pytest.mark.parametrize(("count", "celsius"), [(3, 163.23), (4, 146.35), (5, 136.21)])
def test_a_lump_rests_where_its_turbines_take_what_comes(count, celsius):
    """T = (Phi + N q c T_ret + H T_a) / (N q c + H), common practice for the numbers, no source."""
    heat = (count * 1.5 * 4200.0) * (celsius - 95.0) + 60.0 * (celsius - 20.0)
    run = stylised(heat, count).start()
    run.advance(3600.0 * 8)

    assert run.value("VE-1", "temperature") - ZERO == pytest.approx(celsius, abs=1e-6)
    taken = count * 1.5 * 4200.0 * (celsius - 95.0)
    assert run.value("ST-1", "heat taken") == pytest.approx(taken, rel=1e-6)
    assert run.value("ST-1", "generated") == pytest.approx(0.55 * taken, rel=1e-6)
    assert run.value("ST-1", "casing heat") == pytest.approx(0.08 * taken + 3e3 * count, rel=1e-6)
    assert run.value("VE-1", "heat in") == pytest.approx(heat, rel=1e-6)
    assert closed(run)


def test_with_latent_heat_one_turbine_takes_eighteen_times_as_much():
    """3471 kW instead of 189 kW at 125 degC (closed form)."""
    warm, latent = (stylised(0.0, 1, law).start() for law in ("lump", "lump with latent heat"))
    for run in (warm, latent):
        run.advance(2.0)

    assert warm.value("ST-1", "heat taken") == pytest.approx(189e3, rel=5e-3)
    assert latent.value("ST-1", "heat taken") == pytest.approx(3471e3, rel=5e-3)


def test_a_threshold_turbine_on_real_water_takes_the_enthalpy_of_its_steam():
    bench = Bench("real").power()
    bench.add("VE-1", "steam vessel", "two-phase", vessel(6.0, 3354.0), begins={"temperature": 408.15})
    bench.add("ST-1", "turbine", "threshold", THRESHOLD, vessel="VE-1")
    run = bench.start(longest_step=1)
    run.advance(2.0)
    steam = PropsSI("H", "T", 408.15, "Q", 1, "Water")
    back = PropsSI("H", "T", 368.15, "Q", 0, "Water")

    assert run.value("ST-1", "heat taken") == pytest.approx(1.5 * (steam - back), rel=1e-4)


def test_condensate_that_does_not_return_dries_the_vessel_out():
    run = stylised(2e6, 2).force("ST-1.condensate return", 0.0).start()
    run.advance(600.0)

    running = 1500.0 - run.value("VE-1", "mass")
    assert running == pytest.approx(3.0 * 600.0, rel=0.2) or "dry" in events(run)
    assert closed(run)


def expansion_by_coolprop(hot: float, cold: float) -> tuple[float, float]:
    """Work and dryness at the exhaust by CoolProp."""
    h1 = PropsSI("H", "T", hot, "Q", 1, "Water")
    s1 = PropsSI("S", "T", hot, "Q", 1, "Water")
    p2 = PropsSI("P", "T", cold, "Q", 0, "Water")
    work = 0.70 * (h1 - PropsSI("H", "P", p2, "S", s1, "Water"))
    return work, PropsSI("Q", "P", p2, "H", h1 - work, "Water")


def test_the_design_point_of_a_worked_example_is_met():
    """135 to 45 degC at 1.398 kg/s: w 365.3 kJ/kg, 480.5 kW, x 0.908, condenser 3039 kW (CoolProp)."""
    run = real(0.0, hotwell_delay=0.0).start(longest_step=1)
    run.advance(2.0)
    work, dryness = expansion_by_coolprop(run.value("VE-1", "temperature"), 318.15)

    assert run.value("ST-1", "steam flow") == pytest.approx(1.398, rel=5e-3)
    flow = run.value("ST-1", "steam flow")
    assert run.value("ST-1", "generated") == pytest.approx(flow * work * 0.98 * 0.96, rel=2e-3)
    assert run.value("ST-1", "generated") == pytest.approx(480.5e3, rel=6e-3)
    assert run.value("ST-1", "exit dryness") == pytest.approx(dryness, abs=5e-4)
    assert run.value("ST-1", "exit dryness") == pytest.approx(0.908, abs=1e-3)
    assert run.value("ST-1", "condenser heat") == pytest.approx(3039e3, rel=6e-3)
    assert run.value("ST-1", "casing heat") == pytest.approx(flow * work * (1.0 - 0.98 * 0.96), rel=2e-3)
    assert closed(run)


@pytest.mark.parametrize(("count", "celsius"), [(2, 135.0), (1, 161.2)])
def test_the_vessel_floats_where_its_turbines_swallow_what_comes(count, celsius):
    """Two equal turbines at 135.0 degC; one alone floats at 161.2 degC and 6.38 bar (worked example)."""
    run = real(3549e3, count, celsius - 3.0, design_flow=0.699).start()
    run.advance(3600.0 * 4)

    assert run.value("VE-1", "temperature") - ZERO == pytest.approx(celsius, abs=0.2)
    assert closed(run)


def test_the_governor_holds_the_pressure_within_its_band():
    run = real(2000e3, held_pressure=3.1323e5).start()
    run.advance(3600.0 * 3)

    assert run.value("VE-1", "pressure") == pytest.approx(3.1323e5, rel=0.026)
    assert run.value("ST-1", "steam flow") < 1.0
    assert run.value("VE-1", "heat in") == pytest.approx(2000e3, rel=2e-3)
    assert closed(run)


def test_throttling_costs_work():
    """Constant enthalpy to the pressure that drives the flow by Stodola, then 0.70 of the ideal drop."""
    run = real(2000e3, held_pressure=3.1323e5).start()
    run.advance(3600.0 * 3)
    T = run.value("VE-1", "temperature")
    flow = run.value("ST-1", "steam flow")
    h1 = PropsSI("H", "T", T, "Q", 1, "Water")
    p2 = PropsSI("P", "T", 318.15, "Q", 0, "Water")
    T0 = PropsSI("T", "P", 313230.0, "Q", 1, "Water")
    p1 = 2e5
    for _ in range(50):
        T1 = PropsSI("T", "P", p1, "H", h1, "Water")
        p1 = np.sqrt(p2**2 + (flow / 1.398) ** 2 * T1 / T0 * (313230.0**2 - 9595.0**2))
    s1 = PropsSI("S", "P", p1, "H", h1, "Water")
    work = 0.70 * (h1 - PropsSI("H", "P", p2, "S", s1, "Water"))

    assert run.value("ST-1", "generated") == pytest.approx(flow * work * 0.98 * 0.96, rel=1e-3)


def test_the_highest_power_is_not_passed():
    run = real(3549e3, celsius=150.0, highest_power=300e3).start()
    run.advance(600.0)

    assert run.value("ST-1", "generated") == pytest.approx(300e3, rel=1e-4)
    assert closed(run)


def test_a_turbine_starts_and_stops_by_pressure():
    run = real(3549e3, celsius=115.0).start()
    run.advance(10.0)
    assert run.value("ST-1", "running") == 0.0
    run.advance(600.0)
    assert run.value("VE-1", "pressure") > 2.0e5
    assert run.value("ST-1", "running") == 1.0
    cooling = real(0.0, celsius=125.0).start()
    cooling.advance(3600.0)
    assert cooling.value("ST-1", "running") == 0.0
    assert cooling.value("VE-1", "pressure") == pytest.approx(1.5e5, rel=0.03)


def test_condensate_comes_back_after_its_time_in_the_hotwell():
    """dm/dt = q - m / tau: a steady flow keeps q tau in the hotwell."""
    run = real(3549e3, celsius=135.0, hotwell_delay=120.0).start()
    run.advance(3600.0 * 2)

    held = 3354.0 - run.value("VE-1", "mass")
    assert held == pytest.approx(120.0 * run.value("ST-1", "steam flow"), rel=5e-3)
    assert closed(run)


def test_a_condenser_cooled_by_liquid_condenses_where_it_can_give_its_heat():
    """Phi = C (1 - exp(-UA / C)) (T_c - T_w); 90.9 kg/s of water at 28 degC, UA 241.6 kW/K: 45 degC."""
    # a pump that moves a fixed flow belongs to the stylised world
    bench = real(3549e3, world="stylised", condenser_temperature=None, condenser_conductance=241.6e3)
    flow = 90.9 * 4184.0 / 4000.0
    run = bench.ring("ST-1", flow, 28.0 + ZERO, ("cooling-in", "cooling-out")).start()
    run.advance(3600.0 * 2)
    heat = run.value("ST-1", "condenser heat")
    carried = flow * 4000.0
    condensing = run.value("ST-1", "condenser temperature")

    assert condensing - 28.0 - ZERO == pytest.approx(
        heat / (-carried * np.expm1(-241.6e3 / carried)), rel=1e-5
    )
    assert condensing - ZERO == pytest.approx(45.0, abs=0.3)
    assert run.value("ST-1", "cooling outlet temperature") - ZERO == pytest.approx(36.0, abs=0.2)
    assert run.value("ST-1", "cooling outlet temperature") - 28.0 - ZERO == pytest.approx(
        heat / carried, rel=1e-3
    )
    assert closed(run)


def test_without_cooling_liquid_a_turbine_takes_nothing():
    bench = real(1000e3, world="stylised", condenser_temperature=None, condenser_conductance=241.6e3)
    bench.ring("ST-1", 90.0, 28.0 + ZERO, ("cooling-in", "cooling-out")).force("P-cooling.running", 0.0)
    run = bench.start()
    run.advance(120.0)

    assert run.value("ST-1", "steam flow") == 0.0
    assert run.value("VE-1", "temperature") > 135.0 + ZERO
    assert closed(run)


def test_a_sink_that_the_turbine_names_takes_the_heat_of_its_condenser():
    bench = real(3549e3, sink="RD-1", condenser_temperature=None, condenser_conductance=300e3)
    bench.add(
        "RD-1", "final sink", "fixed temperature contact", {"contact_temperature": 300.0, "conductance": 1.0}
    )
    run = bench.start()
    run.advance(3600.0 * 2)
    heat = run.value("ST-1", "condenser heat")

    assert run.value("ST-1", "condenser temperature") - 300.0 == pytest.approx(heat / 300e3, rel=1e-5)
    assert run.value("RD-1", "heat") == pytest.approx(heat, rel=1e-9)
    assert closed(run)


def test_a_radiator_sheds_what_the_condenser_gives_it():
    """6154 m2 of emissivity 0.85 shed 3039 kW at 45 degC to a sky of 0 K (Stefan and Boltzmann)."""
    bench = real(3549e3, sink="RD-1", condenser_temperature=None, condenser_conductance=1e9)
    numbers = {"area": 6154.0, "emissivity": 0.85, "sky_temperature": 1e-3, "conductance": 1.0}
    run = bench.add("RD-1", "final sink", "radiator", numbers).start()
    run.advance(3600.0 * 2)

    assert run.value("RD-1", "sink temperature") - ZERO == pytest.approx(45.0, abs=0.5)
    assert run.value("RD-1", "heat") == pytest.approx(
        0.85 * 5.670374419e-8 * 6154.0 * run.value("RD-1", "sink temperature") ** 4, rel=1e-6
    )
    assert closed(run)


def test_a_turbine_that_runs_up_takes_its_time():
    run = real(3549e3, celsius=135.0, run_up=60.0).start(longest_step=1)
    run.advance(31.0)
    half = run.value("ST-1", "running")
    run.advance(120.0)

    assert half == pytest.approx(0.5, abs=0.05)
    assert run.value("ST-1", "running") == 1.0


def test_coolant_in_the_jacket_carries_the_casing_heat_away():
    """Steady: Phi_case = G_h (T - T_h) + q c (1 - exp(-G_j / (q c))) (T - T_in)."""
    bench = stylised(1.2e6, 4, jacket_conductance=500.0, capacity=10.0)
    run = bench.ring("ST-1", 2.0, 290.0).start()
    run.advance(86400.0)
    metal = run.value("ST-1", "metal temperature")
    carried = 2.0 * 4000.0
    jacket = -carried * np.expm1(-4 * 500.0 / carried) * (metal - 290.0)

    assert run.value("ST-1", "casing heat") == pytest.approx(4 * 200.0 * (metal - 293.15) + jacket, rel=2e-3)
    assert closed(run)


def test_a_turbine_on_a_lump_without_pressure_is_refused():
    bench = Bench().power()
    bench.add("VE-1", "steam vessel", "lump", LUMP, begins={"temperature": 398.15})
    bench.add("ST-1", "turbine", "expansion", EXPANSION, vessel="VE-1")

    with pytest.raises(InputError, match="knows no pressure"):
        bench.start()


def test_a_condenser_that_nothing_cools_is_refused():
    with pytest.raises(InputError, match="nothing takes the heat"):
        real(1e6, condenser_temperature=None, condenser_conductance=1e5).start()
