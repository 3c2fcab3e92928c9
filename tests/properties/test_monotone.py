"""More of a cause never gives less of its effect."""

from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brinewright.files import read_design, with_values
from brinewright.files.scenario import scenario
from brinewright.run import simulate
from tests.engine.bench import ZERO, Bench, March

# ---- without decisions: a warmer cause makes everything warmer -------------------------

KNOBS = {
    "gains": (0.0, 4e5, 1),
    "ambient": (-20.0, 45.0, 1),
    "start": (5.0, 60.0, 1),
    "room start": (5.0, 60.0, 1),
    "drop": (0.0, 12.0, -1),
    "coldness": (0.0, 30.0, -1),
}
"""Least and greatest of each cause, and whether it makes warmer or colder."""


def circle(**knob: float) -> Bench:
    """A tank, a chiller, a room, and back; nothing is switched."""
    value = {
        "gains": 1e5,
        "ambient": 15.0,
        "start": 30.0,
        "room start": 25.0,
        "drop": 4.0,
        "coldness": 10.0,
    } | knob
    bench = Bench(ambient=value["ambient"], warm=value["start"])
    bench.tank("TK-1", volume=3.0, degc=value["start"], loss_conductance=60.0)
    bench.part("P-1", "pump.mover", capacity=5.0)
    bench.part("VE-1", "steam-vessel.lump", start={"temperature": 90.0})
    bench.part("CH-1", "chiller.drop", drop=value["drop"] + 1e-3, inside="VE-1", power=0.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=4e6, outside_conductance=500.0, coil_conductance=15e3,
        gains=value["gains"] - 1e4 * value["coldness"], start={"temperature": value["room start"]},
    )  # fmt: skip
    bench.line("L-1", "TK-1.out", "P-1.in", mass=60.0)
    bench.line("L-2", "P-1.out", "CH-1.in", mass=60.0)
    bench.line("L-3", "CH-1.out", "ZN-1.in", mass=60.0, use="pipe-run.bare")
    bench.line("L-4", "ZN-1.out", "TK-1.in", mass=60.0)
    bench.circuit("TK-1")
    return bench


@given(st.sampled_from(sorted(KNOBS)), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.sampled_from([1, 11]))
@settings(max_examples=60)
def test_without_decisions_more_of_a_cause_never_has_less_effect_anywhere(knob, one, other, longest_step):
    low, high, sign = KNOBS[knob]
    less, more = (
        March(circle(**{knob: low + share * (high - low)}), longest_step) for share in sorted((one, other))
    )
    for time in (30.0, 300.0, 3600.0):
        for tag in ("TK-1", "ZN-1"):
            change = more.to(time)(tag, "temperature") - less.to(time)(tag, "temperature")
            # parcels that are alike to 2 mK become one, earlier or later
            assert sign * change >= -2e-3, f"{tag} at {time:.0f} s"


# ---- a plant that hunts: the means of half a day ---------------------------------------

HUNTS = 0.3
"""A batch goes round once more or once less: two days that are equally right differ by this much [K]."""


@cache
def means(*changes: tuple[str, str]) -> Any:
    loop, rules = read_design(scenario("kettle-ridge"))
    return simulate(with_values(loop, rules, dict(changes)), rules, duration=43200.0, interval=3600.0)


def mean(result: Any, tag: str, quantity: str = "temperature") -> float:
    return float(result[tag][quantity].mean)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6])
def test_one_more_chiller_never_warms_the_supply(count):
    less, more = (means(("CH-201.count", str(number))) for number in (count, count + 1))
    assert mean(more, "TK-103") <= mean(less, "TK-103") + HUNTS


@given(st.integers(14, 21), st.integers(1, 4))
@settings(max_examples=10)
def test_a_colder_set_point_never_warms_the_supply_and_never_saves_cooling(degc, by):
    cold, warm = (
        means(("TSH-110.set", f"{value} degC"), ("TSH-120.set", f"{value} degC"))
        for value in (degc, degc + by)
    )
    assert mean(cold, "TK-103") <= mean(warm, "TK-103") + HUNTS
    assert mean(cold, "CH-201", "cooling") >= 0.98 * mean(warm, "CH-201", "cooling")


@given(st.integers(50, 350), st.integers(20, 200))
@settings(max_examples=10)
def test_more_load_never_cools_the_return_and_never_cools_the_machine(kilowatts, by):
    less, more = (means(("MC-604.heat", f"{value} kW")) for value in (kilowatts, kilowatts + by))
    assert mean(more, "TK-101") >= mean(less, "TK-101") - HUNTS
    assert mean(more, "MC-604") > mean(less, "MC-604")
    assert mean(more, "CH-201", "cooling") >= 0.98 * mean(less, "CH-201", "cooling")


@pytest.mark.parametrize(("less", "more"), [(100, 300), (300, 1000), (1000, 3000)])
def test_a_larger_conductance_to_the_outside_brings_a_room_nearer_to_it(less, more):
    outside = 24.0 + ZERO
    far, near = (means(("ZN-601.outside_conductance", f"{value} W/K")) for value in (less, more))
    assert abs(mean(near, "ZN-601") - outside) <= abs(mean(far, "ZN-601") - outside) + 0.05


@pytest.mark.parametrize(
    ("less", "more"), [("10 kW/K", "20 kW/K"), ("20 kW/K", "45 kW/K"), ("45 kW/K", "200 kW/K")]
)
def test_a_better_coil_never_warms_its_room(less, more):
    worse, better = (means(("ZN-602.coil_conductance", value)) for value in (less, more))
    assert mean(better, "ZN-602") <= mean(worse, "ZN-602") + 0.05


@pytest.mark.parametrize(("cold", "hot"), [(0, 24), (24, 40)])
def test_a_hotter_place_never_cools_a_room_or_the_vessel(cold, hot):
    less, more = (means(("site.ambient_temperature", f"{value} degC")) for value in (cold, hot))
    for tag in ("ZN-601", "ZN-602", "TK-101"):
        assert mean(more, tag) >= mean(less, tag) - HUNTS
    assert mean(more, "VE-301") >= mean(less, "VE-301") - HUNTS


def test_these_causes_have_effects_that_stand_out_of_the_hunting():
    def effect(key: str, tag: str, less: str, more: str) -> float:
        return abs(mean(means((key, more)), tag) - mean(means((key, less)), tag))

    # a ring keeps its supply whatever it lacks; what it does not chill stays in the return tank
    assert effect("CH-201.count", "TK-101", "1", "3") > 10.0 * HUNTS
    assert effect("MC-604.heat", "TK-101", "50 kW", "350 kW") > 10.0 * HUNTS
    assert effect("ZN-602.coil_conductance", "ZN-602", "10 kW/K", "45 kW/K") > 10.0 * HUNTS
    assert effect("ST-401.count", "VE-301", "1", "3") > 10.0 * HUNTS
    both = [(("TSH-110.set", f"{degc} degC"), ("TSH-120.set", f"{degc} degC")) for degc in (14, 22)]
    assert mean(means(*both[1]), "TK-103") - mean(means(*both[0]), "TK-103") > 10.0 * HUNTS


def test_a_turbine_more_never_heats_the_vessel_and_one_less_never_cools_it():
    one, two, three, four = (means(("ST-401.count", str(count))) for count in (1, 2, 3, 4))
    for fewer, more in ((one, two), (two, three), (three, four)):
        assert mean(more, "VE-301") <= mean(fewer, "VE-301") + HUNTS
