"""What is watched is told when it happens, though steps are long."""

import pytest

from tests.engine.bench import Bench, March


@pytest.mark.parametrize("longest_step", [1, 60])
def test_a_limit_is_told_to_the_tick_in_which_it_is_passed(longest_step):
    # 20 kW into 1 MJ/K: from 20 degC to the limit of 28.5 degC in 425 s
    bench = Bench(ambient=20.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e6, outside_conductance=0.0, gains=20e3,
        highest_temperature=28.5 + 273.15, start={"temperature": 20.0},
    )  # fmt: skip
    bench.resting_liquid()
    simulation = March(bench, longest_step).to(900.0).simulation
    told = simulation.events[: int(simulation.counters[1])]
    codes = [simulation.plant.events[int(row[1])][:2] for row in told]

    assert ("ZN-1", "too-warm") in codes
    assert told[codes.index(("ZN-1", "too-warm"))][0] == pytest.approx(425.0, abs=1.0)
    if longest_step == 60:
        assert simulation.counters[2] < 40
