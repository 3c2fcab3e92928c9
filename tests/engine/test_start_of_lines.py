"""What stands in a line at the start is as warm as [start] says, and it comes out like that."""

import pytest

from brinewright.files import read_design, with_values
from brinewright.run import simulate
from tests.reference.declared_runs import FOLDER, samples


def test_a_line_begins_at_its_stated_temperature_and_gives_that_liquid_first():
    loop, rules = read_design(FOLDER / "two-tanks-s.loop.toml")
    loop = with_values(loop, rules, {"start.L-107.temperature": "40 degC"})
    result = simulate(loop, rules, duration=30.0, interval=1.0)
    entering = samples(result, "CH-201", "inlet temperature")

    assert result["L-107"]["temperature"].first == pytest.approx(313.15)
    # 24 kg/s at most: what stands in L-107 has not all left in the first three seconds
    assert entering[1:4] == pytest.approx([40.0] * 3)
    # the next line, of which nothing is said, begins at the working mean of the circuit
    assert result["L-108"]["temperature"].first == pytest.approx(295.15)
    assert result.energy_residual < 1e-9
