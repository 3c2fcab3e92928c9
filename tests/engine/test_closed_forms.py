"""Small plants whose answer is known in closed form."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.linalg import expm

from brinewright.laws.lump import temperature_at
from brinewright.laws.relay import lump_on_off, relay_duty, relay_period, relay_swing
from tests.engine.bench import HEAT_CAPACITY, ZERO, Bench, March

STEPS = pytest.mark.parametrize("longest_step", [1, 11])
"""Tick by tick, and with event steps."""


def midpoint_bound(rate: float, step: float, spread: float, time: float) -> float:
    """Most that the midpoint rule may be off [K] for a linear chain of nodes.

    Its error in one step is (rate step)^3 / 6 of the spread of temperatures, and a chain
    never makes an error grow, so the errors of all steps add up at most.
    """
    return spread * time / step * (rate * step) ** 3 / 6.0


# ---- a lump and its relay --------------------------------------------------------------


def relayed(gain: float, heater: float, conductance: float, **switch: float) -> Bench:
    """A room of 1 MJ/K that loses `gain` [W] and is heated below 20 degC."""
    bench = Bench(ambient=10.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e6, gains=gain, outside_conductance=conductance,
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.part("HR-1", "heat-source.heater", power=heater, refers={"into": "ZN-1"})
    bench.switch("TSL-1", "ZN-1 temperature", 20.0, "HR-1 run", sense="low", **switch)
    return bench


def cycles(bench: Bench, until: float, longest_step: int) -> tuple[float, float, float, int]:
    """Return mean period [s], swing [K], duty [1] and number of whole cycles after the first two."""
    march = March(bench, longest_step)
    on, temperature = march.follow([("TSL-1", "signal"), ("ZN-1", "temperature")], until)
    makes = np.flatnonzero(np.diff(on) > 0.5)[2:]
    period = (makes[-1] - makes[0]) / (makes.size - 1)
    inside = slice(makes[0] + 1, makes[-1] + 1)
    peaks = [np.ptp(temperature[start : end + 1]) for start, end in pairwise(makes)]
    return float(period), float(np.mean(peaks)), float(np.mean(on[inside])), makes.size - 1


@STEPS
@pytest.mark.parametrize("lag", [0.0, 8.0])
def test_a_relay_on_constant_ramps_has_the_period_swing_and_duty_of_its_closed_form(longest_step, lag):
    # falls at 0.05 K/s, rises at 0.03 K/s
    fall, rise, differential = 0.05, 0.03, 3.0
    period, swing, duty, number = cycles(
        relayed(-5e4, 8e4, 0.0, differential=differential, lag=lag), 20 * 3600.0, longest_step
    )
    # a decision waits for the end of its tick, so the dead time lies between lag and lag + 1 s
    low, high = (relay_period(rise, fall, differential, lag + late) for late in (0.0, 1.0))
    assert number > 300
    # a lag is a delay once the ramp has lasted many lags; the shorter one lasts 60 s
    early = 4.0 * lag * math.exp(-60.0 / max(lag, 1.0))
    assert low - early - 1e-9 <= period <= high + 1e-9
    low, high = (relay_swing(rise, fall, differential, lag + late) for late in (0.0, 1.0))
    assert low - early * rise - 1e-9 <= swing <= high + 1e-9
    # the heater rests while the temperature falls; over whole cycles the mean rate is zero, to one tick
    assert duty == pytest.approx(relay_duty(fall, rise), abs=1.0 / (number * period))


@STEPS
def test_a_relay_on_exponentials_has_the_times_of_its_closed_form(longest_step):
    conductance, heater, differential = 500.0, 20e3, 2.0
    period, swing, _, number = cycles(
        relayed(0.0, heater, conductance, differential=differential), 40 * 3600.0, longest_step
    )
    on, off = lump_on_off(18.0 + ZERO, 20.0 + ZERO, heater, conductance, 10.0 + ZERO, 1e6)
    fastest = max(heater, 5e3) / 1e6
    assert number > 50
    # each of the two decisions is up to a tick late, and the other ramp needs as long to make it good
    assert on + off <= period <= on + off + 2.0 + 1.0 * (15e3 / 4e3 + 5e3 / 10e3)
    assert differential <= swing <= differential + 2.0 * fastest


# ---- nodes -----------------------------------------------------------------------------


def chain_of_rooms(conductances: list[float], capacities: list[float], starts: list[float]) -> Bench:
    """Rooms one within another; the last stands in the open."""
    bench = Bench(ambient=10.0)
    names = [f"ZN-{k}" for k in range(len(capacities))]
    for k, name in enumerate(names):
        bench.part(
            name, "room.cell", heat_capacity=capacities[k], outside_conductance=conductances[k], gains=0.0,
            inside=names[k + 1] if k + 1 < len(names) else "", start={"temperature": starts[k]},
        )  # fmt: skip
    return bench


def exact_chain(
    conductances: list[float], capacities: list[float], starts: list[float], ambient: float, time: float
) -> np.ndarray:
    """The temperatures of that chain by the matrix exponential [degC]."""
    n = len(capacities)
    a = np.zeros((n, n))
    for k in range(n):
        a[k, k] -= conductances[k] / capacities[k]
        if k + 1 < n:
            a[k, k + 1] += conductances[k] / capacities[k]
            a[k + 1, k + 1] -= conductances[k] / capacities[k + 1]
            a[k + 1, k] += conductances[k] / capacities[k + 1]
    return ambient + expm(a * time) @ (np.array(starts) - ambient)


@STEPS
@pytest.mark.parametrize("time", [60.0, 600.0, 7200.0])
def test_a_chain_of_nodes_follows_the_matrix_exponential(longest_step, time):
    conductances, capacities, starts = (
        [2000.0, 5000.0, 800.0, 300.0],
        [1e6, 4e5, 3e6, 6e6],
        [90.0, 15.0, 40.0, 22.0],
    )
    march = March(chain_of_rooms(conductances, capacities, starts), longest_step).to(time)
    got = np.array([march(f"ZN-{k}", "temperature") - ZERO for k in range(4)])
    fastest = (2000.0 + 5000.0) / 4e5
    bound = midpoint_bound(fastest, longest_step, np.ptp([*starts, 10.0]), min(time, 10.0 / fastest))
    assert np.abs(got - exact_chain(conductances, capacities, starts, 10.0, time)).max() < bound


def test_the_error_of_a_chain_falls_with_the_square_of_the_step():
    conductances, capacities, starts = [4000.0, 300.0], [4e5, 6e6], [90.0, 20.0]
    exact = exact_chain(conductances, capacities, starts, 10.0, 120.0)
    errors = []
    for step in (2, 4, 8):
        march = March(chain_of_rooms(conductances, capacities, starts), step).to(120.0)
        errors.append(abs(march("ZN-0", "temperature") - ZERO - exact[0]))
    # steps of 2, 4 and 8 ticks: each doubling makes the error fourfold
    assert errors[1] / errors[0] == pytest.approx(4.0, rel=0.25)
    assert errors[2] / errors[1] == pytest.approx(4.0, rel=0.25)


@STEPS
def test_a_stiff_metal_follows_the_matrix_exponential_in_parts_of_the_step(longest_step):
    # 1 / 1.2 s, about the fastest that the engine accepts, beside a slow room
    conductances, capacities, starts = [40e3, 300.0], [48e3, 5e6], [120.0, 20.0]
    rate = 40e3 / 48e3
    parts = 1 + int(rate * longest_step / 0.5)
    for time in (1.0, 5.0, 60.0):
        march = March(chain_of_rooms(conductances, capacities, starts), longest_step).to(time)
        got = np.array([march(f"ZN-{k}", "temperature") - ZERO for k in range(2)])
        off = np.abs(got - exact_chain(conductances, capacities, starts, 10.0, time)).max()
        assert off < midpoint_bound(rate, longest_step / parts, 110.0, min(time, 6.0 / rate))


@STEPS
def test_a_lump_under_a_ramped_schedule_follows_its_closed_form(longest_step):
    # C dT/dt = a + b t - H (T - Ts), at rest at t = 0 under a
    capacity, conductance, first, slope = 2e6, 400.0, 4000.0, 2.5
    bench = Bench(ambient=10.0)
    bench.schedule(
        "rising", "power", [(0.0, first), (7200.0, first + 7200.0 * slope)], ramps=True, repeats=0.0
    )
    bench.part(
        "ZN-1", "room.cell", heat_capacity=capacity, outside_conductance=conductance, gains="rising",
        start={"temperature": 20.0},
    )  # fmt: skip
    march = March(bench, longest_step)
    tau = capacity / conductance
    for time in (600.0, 3600.0, 7200.0):
        march.to(time)
        exact = 20.0 + slope / conductance * (time - tau * -math.expm1(-time / tau))
        # the midpoint rule errs by at most T"' dt^3 / 6 in a step, and T"' is at most b / (C tau)
        bound = slope / capacity / tau * longest_step**2 * time / 6.0
        assert march("ZN-1", "temperature") - ZERO == pytest.approx(exact, abs=bound + 1e-9)


def test_a_lump_under_a_stepped_schedule_takes_each_step_at_its_time():
    capacity, conductance = 2e6, 400.0
    bench = Bench(ambient=10.0)
    # the second step comes between two minutes, in the middle of what would be a long step
    bench.schedule("stepped", "power", [(0.0, 0.0), (1805.0, 5e4), (1822.0, 0.0)], repeats=0.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=capacity, outside_conductance=conductance, gains="stepped",
        start={"temperature": 10.0},
    )  # fmt: skip
    march = March(bench, 11).to(3600.0)
    top = temperature_at(17.0, 10.0, 5e4, conductance, 10.0, capacity)
    exact = temperature_at(3600.0 - 1822.0, top, 0.0, conductance, 10.0, capacity)
    assert march("ZN-1", "temperature") - ZERO == pytest.approx(exact, abs=1e-6)


# ---- liquid ----------------------------------------------------------------------------


def two_bodies(conductance: float) -> Bench:
    """A full line that stands in a room; its pump is off."""
    bench = Bench(warm=60.0)
    bench.part(
        "ZN-1",
        "room.cell",
        heat_capacity=4e5,
        outside_conductance=0.0,
        gains=0.0,
        start={"temperature": 20.0},
    )
    bench.tank("TK-1", degc=60.0)
    bench.tank("TK-2", degc=60.0)
    bench.part("P-1", "pump.mover")
    bench.line("L-1", "TK-1.out", "P-1.in", mass=10.0)
    bench.line(
        "L-2",
        "P-1.out",
        "TK-2.in",
        mass=200.0,
        inside="ZN-1",
        use="pipe-run.bare",
        conductance=conductance / 10.0,
    )
    bench.circuit("TK-1")
    bench.force("P-1.running", [(0.0, 0.0)])
    return bench


@STEPS
def test_standing_liquid_and_a_node_come_to_their_common_temperature(longest_step):
    ua, liquid, node = 2000.0, 200.0 * HEAT_CAPACITY, 4e5
    rate = ua * (1.0 / liquid + 1.0 / node)
    march = March(two_bodies(ua), longest_step)
    for time in (30.0, 120.0, 1200.0):
        march.to(time)
        difference = 40.0 * math.exp(-rate * time)
        common = (liquid * 60.0 + node * 20.0) / (liquid + node)
        exact = common - difference * liquid / (liquid + node)
        # second order like the midpoint rule, but that the first step does not know the node's rate yet
        bound = 40.0 * (rate * longest_step) ** 2 / 2.0
        assert march("ZN-1", "temperature") - ZERO == pytest.approx(exact, abs=bound)


def feeding(flow_in: float, flow_out: float, mass: float) -> Bench:
    """A tank of 60 degC that feeds one of 20 degC, which feeds a third."""
    bench = Bench(warm=60.0)
    bench.tank("TK-1", volume=40.0, level=0.9, degc=60.0)
    bench.tank("TK-2", volume=4.0, level=mass / 4000.0, degc=20.0, lowest_level=0.0)
    bench.tank("TK-3", volume=40.0, level=0.05, degc=20.0)
    for number, flow in ((1, flow_in), (2, flow_out)):
        if flow > 0.0:
            bench.part(f"P-{number}", "pump.mover", capacity=flow)
            bench.line(f"L-{number}1", f"TK-{number}.out", f"P-{number}.in", mass=30.0)
            bench.line(f"L-{number}2", f"P-{number}.out", f"TK-{number + 1}.in", mass=30.0)
    bench.circuit("TK-1")
    return bench


@STEPS
@pytest.mark.parametrize(
    ("flow_in", "flow_out", "mass", "time"),
    [(6.0, 0.0, 500.0, 500.0), (6.0, 2.0, 500.0, 800.0), (3.0, 8.0, 3500.0, 690.0), (5.0, 5.0, 900.0, 900.0)],
)
def test_a_mixed_tank_of_changing_mass_follows_its_closed_form(longest_step, flow_in, flow_out, mass, time):
    # m dT/dt = q_in (T_in - T) with m = m0 + (q_in - q_out) t
    bench = feeding(flow_in, flow_out, mass)
    if flow_out == 0.0:
        bench.parts.pop("TK-3")
        bench.start.pop("TK-3")
    march = March(bench, longest_step)
    for moment in (0.1 * time, 0.5 * time, time):
        march.to(moment)
        change = flow_in - flow_out
        if change == 0.0:
            left = math.exp(-flow_in * moment / mass)
        else:
            left = (1.0 + change * moment / mass) ** (-flow_in / change)
        assert march("TK-2", "mass") == pytest.approx(mass + change * moment, rel=1e-12)
        # the formula of the engine is exact, so only rounding is left
        assert march("TK-2", "temperature") - ZERO == pytest.approx(60.0 - 40.0 * left, abs=1e-9)


@STEPS
def test_a_front_comes_through_a_line_after_its_content_has_passed(longest_step):
    # 480 kg at 6 kg/s: 80 s; the tank behind it starts to warm then
    bench = feeding(6.0, 6.0, 1000.0)
    bench.lines.pop("L-12")
    bench.line("L-12", "P-1.out", "TK-2.in", mass=450.0)
    bench.circuits.clear()
    bench.circuit("TK-1", degc=20.0)
    # beside 450 kg there are 30 kg before the pump and 2 kg in it
    exact = 482.0 / 6.0
    march = March(bench, longest_step)
    (temperature,) = march.follow([("TK-2", "temperature")], 160.0)
    warm_mass = 6.0 * (120.0 - exact)
    assert temperature[80] - ZERO == pytest.approx(20.0, abs=1e-9)
    # what comes in one tick mixes before it enters, the cold part of the front's tick with the warm one
    bound = 40.0 * (6.0 / 1000.0) ** 2 / 2.0
    assert temperature[120] - ZERO == pytest.approx(60.0 - 40.0 * math.exp(-warm_mass / 1000.0), abs=bound)


@STEPS
def test_liquid_that_passes_a_room_leaves_it_with_the_exponential_of_its_transfer_units(longest_step):
    # a room so heavy that it does not notice: T_out = T_n + (T_in - T_n) exp(-UA / (q cp))
    ua, flow = 30e3, 5.0
    bench = Bench(warm=60.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e15, outside_conductance=0.0, gains=0.0,
        start={"temperature": 20.0}, coil_conductance=ua, hold_up=80.0,
    )  # fmt: skip
    bench.tank("TK-1", volume=40.0, level=0.9, degc=60.0)
    bench.tank("TK-2", volume=40.0, level=0.1, degc=60.0)
    bench.part("P-1", "pump.mover", capacity=flow)
    bench.line("L-1", "TK-1.out", "P-1.in", mass=30.0)
    bench.line("L-2", "P-1.out", "ZN-1.in", mass=30.0)
    bench.line("L-3", "ZN-1.out", "TK-2.in", mass=30.0)
    bench.circuit("TK-1")
    march = March(bench, longest_step).to(600.0)
    before = march("TK-2", "temperature") * march("TK-2", "mass")
    march.to(1800.0)
    # what has come into the tank in twenty minutes says at what temperature it left the room
    mean = (march("TK-2", "temperature") * march("TK-2", "mass") - before) / (flow * 1200.0) - ZERO
    exact = 20.0 + 40.0 * math.exp(-ua / (flow * HEAT_CAPACITY))
    # pieces of one parcel that come in two ticks grow together and leave in two: each may be a
    # tick early or late, which in the mean is a difference of second order
    bound = 40.0 * (ua / (80.0 * HEAT_CAPACITY)) ** 2 / 12.0
    assert mean == pytest.approx(exact, abs=bound)


@STEPS
def test_each_pass_through_a_chiller_takes_its_drop_and_the_metal_takes_all_of_it(longest_step):
    flow, drop, share, power = 6.0, 9.0, 0.2, 100e3
    bench = Bench(warm=60.0)
    bench.part("VE-1", "steam-vessel.lump", start={"temperature": 80.0})
    bench.part("CH-1", "chiller.drop", inside="VE-1", height=0.1)
    bench.tank("TK-1", volume=40.0, level=0.9, degc=60.0)
    bench.tank("TK-2", volume=40.0, level=0.1, degc=51.0)
    bench.part("P-1", "pump.mover", capacity=flow)
    bench.line("L-1", "TK-1.out", "P-1.in", mass=30.0)
    bench.line("L-2", "P-1.out", "CH-1.in", mass=30.0)
    bench.line("L-3", "CH-1.out", "TK-2.in", mass=30.0)
    bench.circuit("TK-1")
    bench.part("GR-1", "grid.line")
    bench.part("SB-1", "bus.main")
    march = March(bench, longest_step).to(1800.0)
    drawn = power * flow / 8.0
    rejected = flow * HEAT_CAPACITY * drop + share * drawn
    assert march("CH-1", "outlet temperature") - ZERO == pytest.approx(51.0, abs=1e-9)
    assert march("CH-1", "reject") == pytest.approx(rejected, rel=1e-12)
    # metal and vessel: two nodes with one constant heat; the difference settles at once, the sum ramps
    metal, vessel = 900.0 * 500.0, 7000.0 * 4200.0 + 6000.0 * 500.0
    total = metal + vessel
    difference = rejected / 30e3 * vessel / total
    mean = 80.0 + rejected * 1800.0 / total
    assert march("VE-1", "temperature") - ZERO == pytest.approx(mean - difference * metal / total, abs=1e-6)
    assert march("CH-1", "metal temperature") - ZERO == pytest.approx(
        mean + difference * vessel / total, abs=1e-6
    )


@STEPS
def test_a_contact_of_fixed_temperature_warms_a_vessel_by_an_exponential(longest_step):
    bench = Bench(ambient=20.0)
    bench.part("VE-1", "steam-vessel.lump", start={"temperature": 80.0})
    bench.part("HR-1", "heat-source.rock", refers={"into": "VE-1"})
    march = March(bench, longest_step).to(7200.0)
    capacity = 7000.0 * 4200.0 + 6000.0 * 500.0
    exact = 240.0 - 160.0 * math.exp(-5000.0 * 7200.0 / capacity)
    bound = midpoint_bound(5000.0 / capacity, longest_step, 160.0, 7200.0)
    assert march("VE-1", "temperature") - ZERO == pytest.approx(exact, abs=bound)
