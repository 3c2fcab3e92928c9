"""Where a vessel comes to rest, stylised and real, with fewer turbines and with fewer sources."""

from pathlib import Path

import pytest

import brinewright as bw
from brinewright.checks.case import LoopCase
from brinewright.checks.equilibrium import rest, root
from brinewright.checks.vessels import Vessel, vessels
from brinewright.files import parse_design

LOOPS = Path(__file__).parents[1] / "reference" / "loops"
ZERO = 273.15


def vessel_s() -> Vessel:
    loop, rules = parse_design((LOOPS / "series-s.loop.toml").read_text(encoding="utf-8"), LOOPS)
    return vessels(LoopCase(loop, rules, folder=LOOPS))[0]


def vessel_of(name: str, rules: str) -> Vessel:
    path = bw.scenario(name)
    return vessels(LoopCase(bw.read_loop(path), bw.read_rulebook(rules), folder=path.parent))[0]


@pytest.fixture(scope="module")
def deepstead() -> Vessel:
    return vessel_of("deepstead", "earth")


@pytest.mark.parametrize(
    ("turbines", "printed"), [(1, 297.21), (2, 196.90), (3, 163.23), (4, 146.35), (5, 136.21)]
)
def test_roots_of_test_loop_s_are_those_printed(turbines, printed):
    assert rest(vessel_s(), turbines).temperature - ZERO == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize(("turbines", "printed"), [(4, 151.19), (3, 169.92)])
def test_with_every_chiller_on_and_no_loss_they_are_the_printed_bounds(turbines, printed):
    found = rest(vessel_s(), turbines, chillers="full", own_loss=False)

    assert found.temperature - ZERO == pytest.approx(printed, abs=0.01)


def test_what_comes_in_goes_out_at_every_root():
    vessel = vessel_of("kettle-ridge-hot-rock", "kettle")
    for turbines in (1, 2, 3):
        for others in (True, False):
            found = rest(vessel, turbines, chillers="full", others=others)

            assert found.heat == pytest.approx(found.taken + vessel.loss(found.temperature), rel=1e-6)


def test_a_vessel_without_heat_rests_at_its_surroundings():
    found = rest(vessel_s(), 4, chillers="none")

    assert found.temperature == pytest.approx(20.0 + ZERO)
    assert found.duty == 0.0


def test_a_vessel_without_turbines_that_hot_rock_heats_comes_near_the_rock():
    found = rest(vessel_of("kettle-ridge-hot-rock", "kettle"), 0, chillers="none")

    assert 237.0 < found.temperature - ZERO < 238.0


def test_the_real_vessel_rests_where_the_run_of_a_day_finds_it(deepstead):
    seen = deepstead.case.seen("VE-301", "temperature")
    found = rest(deepstead, deepstead.count)

    # the governor holds 3.3 bar with a band of 5 %, which is some 2 K wide
    assert found.temperature == pytest.approx(seen.mean, abs=0.3)
    assert found.heat == pytest.approx(deepstead.case.seen("VE-301", "heat in").mean, rel=0.01)
    assert found.taken == pytest.approx(deepstead.case.seen("ST-401", "heat taken").mean, rel=0.01)


def test_real_rock_alone_brings_the_vessel_to_its_own_temperature(deepstead):
    found = rest(deepstead, 0, chillers="none")

    assert found.temperature == pytest.approx(172.0 + ZERO, abs=0.5)


def test_a_surplus_that_never_ends_has_no_root():
    assert root(lambda t: 1.0, 300.0) is None
