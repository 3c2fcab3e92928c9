"""Stepping over many ticks gives the answer that going tick by tick gives."""

from functools import cache

import numpy as np
import pytest

from brinewright.files import read_design
from brinewright.files.scenario import scenario, scenarios
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run import simulate
from tests.engine.replay import Course, course, replayed

DAY = 86400.0
OPEN_RMS = {"room": 5e-3, "machine": 20e-3, "buffer tank": 10e-3, "steam vessel": 0.15}
"""How far event steps may be off tick by tick, the same decisions given: root mean square over a day [K].

Rooms have the goal that the engine is built to.  A machine has a tenth of a room's heat capacity,
so it follows its liquid ten times as fast.  A vessel adds up a whole day of turbine starts, each a few
seconds long, in which the heat drawn is that of the step's begin.
"""
STEPPED = [name for name in sorted(scenarios()) if read_design(scenario(name))[1].world == "stylised"]
"""Plants that step over many ticks at little cost; the others go into the second suite."""


@cache
def design(name: str) -> tuple[Loop, Rulebook]:
    return read_design(scenario(name))


@cache
def thermal(name: str) -> dict[str, str]:
    """The kind of each part that stores heat, by tag."""
    loop, rules = design(name)
    kinds = {part.tag: rules.entry(part.use).kind for part in loop.parts}
    return {tag: kind for tag, kind in kinds.items() if kind in OPEN_RMS}


@cache
def told(name: str) -> Course:
    """A day tick by tick."""
    loop, rules = design(name)
    return course(loop, rules, DAY, 1, [(tag, "temperature") for tag in thermal(name)])


@cache
def replay(name: str, longest_step: int) -> Course:
    loop, rules = design(name)
    forced = replayed(loop, told(name))
    return course(forced, rules, DAY, longest_step, [(tag, "temperature") for tag in thermal(name)])


@pytest.mark.parametrize("name", STEPPED)
def test_the_replay_of_a_day_tick_by_tick_is_that_day_bit_for_bit(name):
    # only so does the next test measure the steps and nothing else
    assert sum(len(points) for points in told(name).decisions.values()) > 100
    assert replay(name, 1).decisions == told(name).decisions
    assert np.array_equal(replay(name, 1).temperatures, told(name).temperatures)


@pytest.mark.parametrize("name", STEPPED)
def test_with_the_same_decisions_event_steps_stay_near_the_day_tick_by_tick(name):
    off = replay(name, 11).temperatures - told(name).temperatures
    rms = dict(zip(thermal(name), np.sqrt((off**2).mean(axis=0)), strict=True))
    too_far = {tag: value for tag, value in rms.items() if value > OPEN_RMS[thermal(name)[tag]]}
    assert not too_far
    # and steps of several ticks were made, or this would say nothing
    assert np.abs(off).max() > 0.0


def compared(name: str, seconds: float) -> None:
    ticks, steps = (
        simulate(*design(name), duration=seconds, interval=600.0, longest_step=longest) for longest in (1, 11)
    )
    assert steps.provenance["settings"]["steps"] < 0.5 * seconds
    for tag, kind in thermal(name).items():
        # rooms and machines to 30 mK in the daily mean, what a switch makes swing to 50 mK
        within = 0.03 if kind in ("room", "machine") else 0.05
        assert steps[tag]["temperature"].mean == pytest.approx(ticks[tag]["temperature"].mean, abs=within)
    for key, value in ticks.power.items():
        if key.endswith("_kWh"):
            # one turbine start or one run of the chillers more or less, of several hundred in a day;
            # what a battery holds is the difference of two such sums
            few = 10.0 if key.startswith("battery") else 1.0
            assert steps.power[key] == pytest.approx(value, rel=0.005, abs=few)
    for tag, number in ticks.switch_changes.items():
        # the phase of a switch drifts, its pace does not
        assert steps.switch_changes[tag] == pytest.approx(number, rel=0.03, abs=2)


@pytest.mark.parametrize("name", STEPPED)
def test_left_to_itself_a_day_in_event_steps_has_the_means_energies_and_switchings_of_ticks(name):
    compared(name, DAY)


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in sorted(scenarios()) if name not in STEPPED])
def test_left_to_itself_a_day_of_a_real_plant_has_the_means_energies_and_switchings_of_ticks(name):
    compared(name, DAY)
