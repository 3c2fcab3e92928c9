"""Machines tick by themselves inside a longer step of the liquid only where nobody else is concerned."""

from dataclasses import replace

import numpy as np
import pytest

from brinewright.compile import Plant, compile_plant
from brinewright.files import read_design
from brinewright.files.scenario import scenario
from brinewright.kernel import layout as at
from brinewright.model.loop import Drive, Force, Loop, Switch
from brinewright.run import Simulation
from tests.engine.told_switches import apart_switches, changes_in, watched

LOOP, RULES = read_design(scenario("kettle-ridge"))
TURBINE = "ST-401"
HOURS = 6 * 3600.0


def plant(loop: Loop = LOOP, longest_step: int = 11, *, stop_on_events: bool = False) -> Plant:
    return compile_plant(loop, RULES, longest_step=longest_step, stop_on_events=stop_on_events)


def ticks_apart(of: Plant) -> bool:
    return bool(of.arrays["H"][at.H_APART])


def watching_the_vessel(target: str, made: str) -> Loop:
    switch = Switch(
        tag="TSH-900", sense="high", senses="VE-301 temperature", setting=500.0, differential=1.0,
        drives=(Drive(target=target, made=made),),
    )  # fmt: skip
    return replace(LOOP, switches=(*LOOP.switches, switch))


def day(of: Plant, until: float = HOURS) -> Simulation:
    simulation = Simulation(of)
    assert simulation.advance(until) == "done"
    return simulation


def test_vessel_and_turbines_tick_by_themselves():
    assert ticks_apart(plant())


def test_they_do_not_where_a_switch_on_the_vessel_decides_about_the_liquid():
    assert not ticks_apart(plant(watching_the_vessel("CH-201", "stop")))


def test_they_do_not_where_a_run_stops_at_an_event():
    assert not ticks_apart(plant(stop_on_events=True))


def test_turbines_start_and_stop_as_often_and_make_as_much_as_tick_by_tick():
    stepped, ticked = day(plant()), day(plant(longest_step=1))
    changes = stepped.plant.switch_counts[f"{TURBINE}.threshold"]
    assert ticked.arrays["X"][changes] > 20
    # left to themselves the switches of the liquid drift in phase, and with them a start or two
    assert stepped.arrays["X"][changes] == pytest.approx(ticked.arrays["X"][changes], abs=4)
    for name in ("steam flow", "generated"):
        place = stepped.plant.place(TURBINE, name)
        assert stepped.integral[place] == pytest.approx(ticked.integral[place], rel=0.01)


def test_watches_tell_every_start_and_stop_also_within_a_step():
    shipped = plant(longest_step=60)
    counts, signals = apart_switches(shipped)
    simulation = Simulation(watched(shipped, signals))
    told = changes_in(simulation, HOURS)
    assert len(told) == simulation.arrays["X"][counts].sum() > 20
    assert [change for _, change in told] == [k % 2 for k in range(len(told))]
    assert day(shipped).counters[2] == simulation.counters[2], "the watches changed the steps"


def test_their_starts_do_not_make_the_steps_of_the_liquid_short():
    stepped = day(plant())
    changes = stepped.arrays["X"][stepped.plant.switch_counts[f"{TURBINE}.threshold"]]
    # the same plant, told the same of its turbine from outside, ends a step at each change
    at_rest = replace(LOOP, forces=(Force(target=f"{TURBINE}.threshold", value=0.0),))
    quiet = day(plant(at_rest))
    assert stepped.counters[2] < quiet.counters[2] + changes


def test_power_is_accounted_for_in_every_tick():
    stepped = day(plant())
    powers, total = stepped.plant.powers, stepped.integral
    stored = stepped.arrays["X"] - stepped.begin
    made = sum(total[powers["made"]]) + sum(total[powers["grid"]]) + sum(total[powers["short"]])
    used = sum(total[powers["taken"]]) + sum(total[powers["lost on the way"]]) + sum(total[powers["spilled"]])
    kept = sum(stored[powers["stored"]]) + sum(total[powers["lost in stores"]])
    assert made - used == pytest.approx(kept, abs=1e-9 * made)


def test_a_step_that_is_cut_anywhere_makes_the_same_starts():
    whole, cut = day(plant(), 7200.0), Simulation(plant())
    for until in np.arange(0.0, 7200.0, 7.0)[1:]:
        cut.advance(float(until))
    cut.advance(7200.0)
    changes = whole.plant.switch_counts[f"{TURBINE}.threshold"]
    assert cut.arrays["X"][changes] == pytest.approx(whole.arrays["X"][changes], abs=2)
