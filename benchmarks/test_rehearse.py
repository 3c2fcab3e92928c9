"""How long the single faults of the shipped plant take; the goal is half a minute on two cores."""

from brinewright.files import read_design
from brinewright.files.scenario import scenario
from brinewright.plan.rehearse import rehearse

GOAL = 30.0
"""[s]"""


def test_single_faults(benchmark):
    loop, rules = read_design(scenario("kettle-ridge"))
    rehearse(loop, rules, only=["dry start"])  # the engine is loaded, or compiled, outside the timing

    rehearsal = benchmark.pedantic(lambda: rehearse(loop, rules, workers=2), rounds=3)

    assert len(rehearsal.trials) == rehearsal.faults > 40
    assert rehearsal.wall_s < GOAL
