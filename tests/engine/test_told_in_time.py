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
    bench.tank("TK-1")
    bench.tank("TK-2")
    bench.part("P-1", "pump.mover")
    bench.line("L-1", "TK-1.out", "P-1.in")
    bench.line("L-2", "P-1.out", "TK-2.in")
    bench.circuit("TK-1")
    bench.force("P-1.running", [(0.0, 0.0)])
    simulation = March(bench, longest_step).to(900.0).simulation
    told = simulation.events[: int(simulation.counters[1])]
    codes = [simulation.plant.events[int(row[1])][:2] for row in told]

    assert ("ZN-1", "too-warm") in codes
    assert told[codes.index(("ZN-1", "too-warm"))][0] == pytest.approx(425.0, abs=1.0)
    if longest_step == 60:
        assert simulation.counters[2] < 40
