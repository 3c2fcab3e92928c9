"""Long steps end with the decision that ends them; what is read and filtered there is what ticks give."""

import math

import pytest

from brinewright.kernel import layout as at
from tests.engine.bench import ZERO, Bench, March
from tests.engine.test_steps_miss_nothing import pumped


def with_front(lag: float, degc: float = 40.0) -> Bench:
    """A front of 60 degC goes through lines of 200 kg at 10 kg/s: it is at their end after 40 s."""
    bench = pumped(hot=60.0, pipe=20.0)
    bench.switch("TSH-1", "L-12 at 10 m", degc, lag=lag)
    return bench


@pytest.mark.parametrize("lag", [0.0, 2.0, 7.0])
def test_the_step_in_which_a_front_comes_ends_with_what_it_decides(lag):
    # f' = (60 - f) / lag from 20 degC on: 40 degC after lag ln 2, in whole ticks
    due = 40.0 + max(1.0, math.ceil(lag * math.log(2.0)))
    for longest_step, most_steps in ((1, 300), (60, 25)):
        march = March(with_front(lag), longest_step).to(due - 1.0)
        assert march("TSH-1", "signal") == 0.0
        march = March(with_front(lag), longest_step).to(300.0)
        made = march.simulation.integral[march.plant.place("TSH-1", "signal")]
        # a signal counts from the tick on that decided it
        assert made == pytest.approx(300.0 - due + 1.0, abs=1e-9)
        assert march.simulation.counters[2] <= most_steps


@pytest.mark.parametrize("lag", [2.0, 7.0])
def test_a_filter_follows_a_jump_at_the_end_of_a_step_as_tick_by_tick(lag):
    told = []
    for longest_step in (1, 60):
        march = March(with_front(lag, degc=59.0), longest_step)
        switches = march.plant.arrays["H"][3 * at.SWITCHES + 1]
        filtered = march.plant.arrays["I"][switches + at.SW_FILTERED]
        told.append(march.to(42.0).simulation.arrays["X"][filtered] - ZERO)
    by_hand = 60.0 - 40.0 * math.exp(-2.0 / lag)
    assert told == pytest.approx([by_hand, by_hand], abs=1e-6)


@pytest.mark.parametrize("longest_step", [1, 60])
def test_what_is_read_at_the_outlet_of_a_mixed_tank_is_what_is_in_it(longest_step):
    # 10 kg/s of 60 degC into 1000 kg of 20 degC, which 10 kg/s leave: T = 60 - 40 exp(-t / 100)
    bench = pumped(hot=60.0, lines=20.0)
    bench.tank("TK-2", volume=2.0, level=0.5, degc=20.0)
    bench.switch("TSH-1", "L-21 at 0 m", 90.0)
    march = March(bench, longest_step).to(200.0)
    assert march("TSH-1", "reading") == march("TK-2", "temperature")
    assert march("TSH-1", "reading") - ZERO == pytest.approx(60.0 - 40.0 * math.exp(-1.96), abs=0.1)


def test_a_tank_that_comes_near_a_threshold_takes_few_steps():
    bench = pumped(hot=60.0, lines=20.0)
    bench.tank("TK-2", volume=2.0, level=0.5, degc=20.0)
    bench.switch("TSH-1", "L-21 at 0 m", 50.0, lag=2.0)
    march = March(bench, 60).to(300.0)
    made = 301.0 - march.simulation.integral[march.plant.place("TSH-1", "signal")]
    ticked = March(bench, 1).to(300.0)
    assert made == 301.0 - ticked.simulation.integral[ticked.plant.place("TSH-1", "signal")]
    # 4 s of way, then 40 degC of 40 in 100 ln 4 s, and about 2 s more for the filter
    assert made == pytest.approx(4.0 + 100.0 * math.log(4.0) + 2.0, abs=2.0)
    assert march.simulation.counters[2] < 30, march.simulation.counters[2]


def test_a_slow_reading_behind_a_filter_takes_few_steps_and_the_right_tick():
    # 20 kW into 1 MJ/K from 20 degC on, f += (r - f) (1 - exp(-1 / 30)): the first tick above 28.5 degC
    filtered, due = 20.0, 0
    while filtered <= 28.5:
        due += 1
        filtered += (20.0 + 0.02 * due - filtered) * -math.expm1(-1.0 / 30.0)
    bench = Bench(ambient=20.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e6, outside_conductance=0.0, gains=20e3,
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.resting_liquid()
    bench.switch("TSH-1", "ZN-1 temperature", 28.5, lag=30.0)
    march = March(bench, 60).to(900.0)
    made = march.simulation.integral[march.plant.place("TSH-1", "signal")]
    assert made == pytest.approx(900.0 - due + 1.0, abs=1e-9)
    assert march.simulation.counters[2] < 40
