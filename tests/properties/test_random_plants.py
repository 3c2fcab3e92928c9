"""Whatever plant is drawn, it runs to its end with closed ledgers, or says in words why not."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, event, given, settings

from brinewright.errors import InputError, RunError
from brinewright.run import simulate
from tests.engine.bench import Bench, rules
from tests.engine.steps import audit
from tests.properties.plants import plants

SLOW_DRAWS = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
CLOSES = 1e-9
"""What the house allows, of what is exchanged or of a thousandth of what is stored."""


def refused(sentence: str) -> None:
    event(f"refused: {sentence[:60]}")
    assert sentence.endswith(".")
    assert "report the loop" not in sentence, "a ledger that does not close is our fault"


def conserves(bench: Bench) -> None:
    for longest_step in (1, 11):
        try:
            result = simulate(
                bench.loop(), rules(), duration=1800.0, interval=300.0, longest_step=longest_step
            )
        except (InputError, RunError) as error:
            refused(str(error))
            return
        event("ran to its end")
        assert result.outcome.is_done
        assert result.simulated_s == 1800.0
        assert result.energy_residual < CLOSES
        assert result.mass_residual < CLOSES
        assert all(math.isfinite(value) for value in result.power.values())
        for index, channel in enumerate(result.channels):
            told = [*result.statistics.row(index).values(), *result.values[:, index]]
            assert np.isfinite(told).all(), f"{channel.tag} {channel.quantity}: {told}"
        for tag, part in bench.parts.items():
            if part.use.startswith("buffer-tank"):
                assert 0.0 < result[tag]["level"].min
                assert result[tag]["level"].max <= 1.0 + 1e-9


def misses_nothing(bench: Bench) -> None:
    try:
        simulate(bench.loop(), rules(), duration=600.0)
    except (InputError, RunError):
        assume(False)
    found = audit(bench.loop(), rules(), 600.0)
    event("switched" if found.changes else "switched nothing")
    assert [str(late) for late in found.late] == []


@given(plants())
@settings(SLOW_DRAWS, max_examples=80)
def test_a_random_plant_closes_its_ledgers_or_says_why_it_cannot_be_run(bench):
    conserves(bench)


@given(plants())
@settings(SLOW_DRAWS, max_examples=80)
def test_a_random_plant_misses_no_decision_in_its_steps(bench):
    misses_nothing(bench)


@pytest.mark.slow
@given(plants(most_elements=5))
@settings(SLOW_DRAWS, max_examples=1500)
def test_many_random_plants_close_their_ledgers_or_say_why_they_cannot_be_run(bench):
    conserves(bench)


@pytest.mark.slow
@given(plants(most_elements=5))
@settings(SLOW_DRAWS, max_examples=1500)
def test_many_random_plants_miss_no_decision_in_their_steps(bench):
    misses_nothing(bench)
