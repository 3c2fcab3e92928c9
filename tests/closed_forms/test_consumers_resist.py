"""What a consumer's stated loss does to the flow of its circuit."""

import pytest

from tests.circuits import DENSITY, GRAVITY, RULES, begins, between
from tests.plants import closes, started

CONSUMERS = """
[machine.x]
law = "lump"
heat = "20 kW"
heat_capacity = "50 kJ/K"
conductance = "3 kW/K"
highest_temperature = "200 degC"
when_stopped = "bypass"
rated_flow = "4 kg/s"
rated_loss = "9 kPa"
[room.x]
law = "two-node"
air_heat_capacity = "1 MJ/K"
wall_heat_capacity = "20 MJ/K"
air_wall_conductance = "300 W/K"
wall_outside_conductance = "100 W/K"
air_mass = "300 kg"
gains = "3 kW"
coil_conductance = "1 kW/K"
highest_temperature = "200 degC"
when_stopped = "bypass"
rated_flow = "4 kg/s"
rated_loss = "9 kPa"
"""


@pytest.mark.parametrize(("use", "begin"), [("machine.x", 30.0), ("room.x", 25.0)])
def test_a_consumer_loses_its_rated_pressure_at_its_rated_flow(use, begin):
    loop = between(use) + begins() + f'X-1 = {{ temperature = "{begin} degC" }}\n'
    simulation = started(RULES + CONSUMERS, loop)
    simulation.advance(30.0)
    expected = 4.0 * (2.0 * DENSITY * GRAVITY / 9e3) ** 0.5

    assert closes(simulation)
    # the short lines and the least resistance of a branch take some tenths of a percent
    assert simulation.value("X-1", "flow") == pytest.approx(expected, rel=5e-3)
