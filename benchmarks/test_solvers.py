"""The three solvers of the benchmark plant hold against the plant's own rules and each other.

``python -m pytest benchmarks`` (a minute: the solvers are compiled anew each time)
"""

import numpy as np
import pytest
from scipy.optimize import linprog

from benchmarks import plant
from benchmarks.baseline import Baseline, flows
from benchmarks.integrator import Integrator
from benchmarks.plant import changes_of, room_deviation
from benchmarks.reference import Reference, stored
from benchmarks.saturation import read_saturation, vessel_energy

# Of each line: the node it leaves and the node it enters.
LINES = ("AS", "SM", "ST", "MR", "RM", "RB", "BT", "TA")
CLAIMS = (1, 3, 6, 2, 7)


@pytest.fixture(scope="module")
def baseline() -> Baseline:
    return Baseline()


@pytest.fixture(scope="module")
def reference() -> Reference:
    return Reference()


def lexicographic(is_first: bool, is_ring: bool, spare: dict[str, float]) -> list[float]:
    """Flow of every line by one linear program for each claim, in their order."""
    shut = {2 if is_first else 1, 5 if is_ring else 4}
    limits = [10.0, 10.0, 6.0, 10.0, 10.0, 10.0, 6.0, 6.0]
    bounds = [(0.0, 0.0 if line in shut else limit) for line, limit in enumerate(limits)]
    balance = [[float(line[1] == node) - float(line[0] == node) for line in LINES] for node in "SMRT"]
    drawn = [[float(line[0] == tank) - float(line[1] == tank) for line in LINES] for tank in "AB"]
    for claim in CLAIMS:
        best = linprog(
            [-float(line == claim) for line in range(8)],
            A_ub=drawn,
            b_ub=[spare["A"], spare["B"]],
            A_eq=balance,
            b_eq=np.zeros(4),
            bounds=bounds,
        )
        assert best.success
        # The next claim may not take away a nanogram; the slack is the solver's own tolerance.
        bounds[claim] = (max(0.0, best.x[claim] - 1e-9), bounds[claim][1])
    return [float(value) for value in best.x]


@pytest.mark.parametrize("is_first", [False, True])
@pytest.mark.parametrize("is_ring", [False, True])
def test_the_written_out_flows_are_those_of_the_order_of_claims(is_first, is_ring):
    for spare_a in (0.0, 1.5, 5.0, 7.0, 2480.0):
        for spare_b in (0.0, 0.5, 3.0, 6.5, 2480.0):
            expected = lexicographic(is_first, is_ring, {"A": spare_a, "B": spare_b})
            got = flows(is_first, is_ring, spare_a, spare_b)

            np.testing.assert_allclose(got, [expected[line] for line in (1, 2, 3, 4, 6)], atol=1e-7)


def test_the_stored_reference_changes_as_often_as_the_plant_s_page_says():
    assert changes_of(stored().signals) == {"first": 144, "ring": 250, "guard": 249, "turbine": 2298}


def test_the_stored_reference_is_what_the_reference_computes(reference):
    hour = reference.run(3600)

    np.testing.assert_array_equal(stored().signals[:3600], hour.signals)
    # Stored in single precision over 0 degC: 1 microkelvin at 30 degC.
    np.testing.assert_allclose(stored().minutes[:60], hour.minutes, atol=2e-6)
    assert abs(hour.residual) < 1e-12


def test_the_baseline_follows_the_reference_when_its_signals_are_replayed(baseline):
    kept = stored()
    day = baseline.run(records=True, signals=kept.signals)
    mean, worst = room_deviation(day, kept)

    # What upwind cells of 1 m cost on this plant; a slip in any law shows at once.
    assert mean < 0.006
    assert worst < 0.04
    assert abs(day.residual) < 1e-12


def test_the_baseline_on_its_own_switches_about_as_often(baseline):
    day = baseline.run(records=True)

    assert day.changes["first"] == 144
    assert day.changes["ring"] == pytest.approx(250, abs=25)
    assert day.changes["turbine"] == pytest.approx(2298, abs=12)
    assert np.abs(day.air - stored().air).max() < 1.0
    assert abs(day.residual) < 1e-12


def test_a_replay_of_its_own_signals_repeats_the_baseline_exactly(baseline):
    day = baseline.run(7200, records=True)
    again = baseline.run(7200, records=True, signals=day.signals)

    np.testing.assert_array_equal(day.minutes, again.minutes)


def test_baseline_reference_and_integrator_agree_on_the_first_ten_minutes(baseline, reference):
    fine, coarse, smooth = reference.run(600), baseline.run(600), Integrator().run(600.0)

    for other in (coarse, smooth):
        # Cells smear the fronts, so the ring turns some seconds apart: 6 kg/s less or more for 10 s
        # at a few kelvin is 0.1 K of a room's air.
        np.testing.assert_allclose(other.air, fine.air, atol=0.15)
        np.testing.assert_allclose(other.tanks[1::2], fine.tanks[1::2], atol=2.0)
        assert other.tanks[0] + other.tanks[2] == pytest.approx(5000.0, abs=1e-3)
        assert other.vessel == pytest.approx(fine.vessel, abs=3.0)  # anywhere in the turbine's cycle


def test_the_vessel_matches_coolprop():
    """The state of 900 kg in 40 m3 by the equation of state itself (IAPWS-95, CoolProp)."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    for celsius in (97.3, 120.0, 124.4, 140.7):
        kelvin = plant.ICE + celsius
        expected = coolprop.PropsSI("U", "T", kelvin, "D", 900.0 / 40.0, "Water")

        # A cubic spline through whole kelvins leaves about 1e-10.
        assert float(vessel_energy(read_saturation(), 40.0, 900.0, kelvin)) / 900.0 == pytest.approx(
            expected, rel=1e-9
        )
