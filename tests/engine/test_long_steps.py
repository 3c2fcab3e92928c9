"""Steps over many ticks must not be longer than a part that follows its liquid fast can bear."""

from pathlib import Path

import pytest

from brinewright.files import parse_design
from brinewright.run import simulate

FOLDER = Path(__file__).parent.parent / "reference" / "loops"
LOOP = """
format = "brinewright/loop/1"
name = "one tank, one machine that is nearly as warm as its liquid"
rulebook = "test-s.rulebook.toml"
liquid = "test-liquid-s"
temperature = "20 degC"
part = [
  { tag = "TK-101", use = "buffer-tank.mixing" },
  { tag = "P-101", use = "pump.mover" },
  { tag = "MC-601", use = "machine.load", heat = "500 kW" },
]
line = [
  {tag = "L-1", from = "TK-101.out", to = "P-101.in", use = "pipe-run.short", length = "9 m", bore = "0.2 m"},
  {tag = "L-2", from = "P-101.out", to = "MC-601.in", use = "pipe-run.short", length = "9 m", bore = "0.2 m"},
  {tag="L-3", from = "MC-601.out", to = "TK-101.in", use = "pipe-run.short", length = "9 m", bore = "0.2 m"},
]
[start]
TK-101 = { level = 0.5, temperature = "20 degC" }
MC-601 = { temperature = "20 degC" }
"""


@pytest.fixture(scope="module")
def runs():
    loop, rules = parse_design(LOOP, FOLDER)
    return [simulate(loop, rules, duration=1800.0, longest_step=ticks) for ticks in (1, 11)]


def test_a_part_that_follows_its_liquid_within_a_second_settles_with_long_steps_too(runs):
    by_tick, by_step = runs
    # after half an hour only the tank's slow rise is left, and that does not hang on the step
    for tag in ("MC-601", "TK-101"):
        assert by_step[tag]["temperature"].last == pytest.approx(by_tick[tag]["temperature"].last, abs=0.01)


def test_the_tank_rises_by_what_the_machine_gives(runs):
    for result in runs:
        # 10 t and 848 kg in pipes, of which half is warm already; 500 kW for half an hour
        rise = 500.0 * 1800.0 / (10_848.0 * 4.0)
        assert result["TK-101"]["temperature"].last - 293.15 == pytest.approx(rise, rel=0.03)
