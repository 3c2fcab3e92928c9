"""The same source, uncompiled, is the oracle: it must decide the same and compute the same."""

import numpy as np
import pytest

from brinewright.files.scenario import scenarios
from tests.engine.record import STEPS, record, recorded_uncompiled

HOUR = 3600.0
NEAR = 1e-8
"""Most that a channel may differ, of 1 + its size: the compiler may use another exponential
or fused products; a real circuit's flows and a vessel's state are iterated to 1e-9 of
themselves, so a last digit may end an iteration sooner.  Decisions must be the same."""


@pytest.fixture(scope="module", params=sorted(scenarios()))
def both(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    oracle = recorded_uncompiled(request.param, HOUR, folder)
    return [(record(request.param, HOUR, step), oracle[step]) for step in STEPS]


def test_compiled_and_uncompiled_switches_change_equally_often(both):
    for compiled, oracle in both:
        assert compiled["counts"].tolist() == oracle["counts"].tolist()


def test_compiled_and_uncompiled_events_have_the_same_times_places_and_codes(both):
    for compiled, oracle in both:
        assert compiled["event_names"].tolist() == oracle["event_names"].tolist()
        assert compiled["event_times"].tolist() == oracle["event_times"].tolist()


def test_compiled_and_uncompiled_make_the_same_steps_and_flow_solutions(both):
    for compiled, oracle in both:
        assert compiled["steps"].tolist() == oracle["steps"].tolist()
        assert compiled["time"] == oracle["time"] == HOUR


def test_compiled_and_uncompiled_channels_agree_to_the_last_digits(both):
    for compiled, oracle in both:
        assert compiled["names"].tolist() == oracle["names"].tolist()
        for what in ("trace", "state"):
            ours, theirs = compiled[what], oracle[what]
            assert np.array_equal(np.isfinite(ours), np.isfinite(theirs))
            finite = np.isfinite(ours)
            off = np.abs(ours - theirs)[finite] / (1.0 + np.abs(theirs[finite]))
            assert off.max() <= NEAR


def test_the_hour_of_the_oracle_holds_decisions():
    # the comparison would be hollow if nothing were switched in it
    assert record("kettle-ridge", HOUR, 1)["counts"].sum() >= 10
