"""Lines one behind the other hold one queue of parcels; each exchanges with what is round it."""

import math

import pytest

from tests.engine.bench import HEAT_CAPACITY, ZERO, Bench, March

STEPS = pytest.mark.parametrize("longest_step", [1, 11, 60])
FLOW = 5.0
MASSES = {"L-2": 40.0, "L-3": 25.0, "L-4": 110.0}
ROOMS = {"L-2": 20.0, "L-3": 90.0, "L-4": 5.0}
"""Temperature of what is round each line [degC]."""
UA = {"L-2": 9e3, "L-3": 4e3, "L-4": 15e3}


def through_three_rooms(stops: float | None = None) -> Bench:
    """Liquid of 60 degC passes three rooms so heavy that they do not notice; the pump may stop."""
    bench = Bench(warm=60.0)
    bench.tank("TK-1", volume=40.0, level=0.9, degc=60.0)
    bench.tank("TK-2", volume=40.0, level=0.1, degc=60.0)
    for number, (tag, degc) in enumerate(ROOMS.items()):
        bench.part(
            f"ZN-{number}", "room.cell", heat_capacity=1e15, outside_conductance=0.0, gains=0.0,
            start={"temperature": degc},
        )  # fmt: skip
        start = f"T-{number}.out" if number else "P-1.out"
        end = f"T-{number + 1}.in" if number < 2 else "TK-2.in"
        bench.line(
            tag, start, end, mass=MASSES[tag], inside=f"ZN-{number}", use="pipe-run.bare",
            conductance=UA[tag] / 10.0,
        )  # fmt: skip
    for number in (1, 2):
        bench.part(f"T-{number}", "tee.plain")
    bench.part("P-1", "pump.mover", capacity=FLOW)
    bench.line("L-1", "TK-1.out", "P-1.in", mass=30.0)
    bench.circuit("TK-1")
    if stops is not None:
        bench.force("P-1.running", [(stops, 0.0)])
    return bench


@STEPS
def test_liquid_leaves_a_stretch_with_the_product_of_its_exponentials(longest_step):
    # T_out = T_n + (T_in - T_n) exp(-UA / (q cp)), line by line
    march = March(through_three_rooms(), longest_step).to(300.0)
    before = march("TK-2", "temperature") * march("TK-2", "mass")
    march.to(2100.0)
    mean = (march("TK-2", "temperature") * march("TK-2", "mass") - before) / (FLOW * 1800.0) - ZERO
    exact = 60.0
    for tag, degc in ROOMS.items():
        exact = degc + (exact - degc) * math.exp(-UA[tag] / (FLOW * HEAT_CAPACITY))
    # whole parcels are in each line for exactly its content over the flow; what leaves in part of one
    # is told from what stays to the first order, and one parcel in half an hour is 1 in 360
    assert mean == pytest.approx(exact, abs=0.02)


@STEPS
def test_each_room_gets_what_the_liquid_loses_in_it(longest_step):
    march = March(through_three_rooms(), longest_step).to(300.0)
    simulation = march.simulation
    places = [simulation.plant.place(tag, "loss") for tag in ROOMS]
    before = simulation.integral[places].copy()
    march.to(2100.0)
    told = (simulation.integral[places] - before) / 1800.0
    comes = 60.0
    for watts, (tag, degc) in zip(told, ROOMS.items(), strict=True):
        leaves = degc + (comes - degc) * math.exp(-UA[tag] / (FLOW * HEAT_CAPACITY))
        assert watts == pytest.approx(FLOW * HEAT_CAPACITY * (comes - leaves), rel=1e-3)
        comes = leaves


@STEPS
def test_what_comes_to_rest_follows_its_own_room_and_no_other(longest_step):
    march = March(through_three_rooms(stops=333.0), longest_step).to(340.0)
    began = {tag: march(tag, "temperature") - ZERO for tag in ROOMS}
    march.to(400.0)
    for tag, degc in ROOMS.items():
        left = math.exp(-UA[tag] / (MASSES[tag] * HEAT_CAPACITY) * 60.0)
        assert march(tag, "temperature") - ZERO == pytest.approx(degc + (began[tag] - degc) * left, abs=1e-6)
