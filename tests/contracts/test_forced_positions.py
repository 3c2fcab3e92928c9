"""No law overrules a position, a running state or a supply of power that is forced."""

import pytest

from brinewright.run.simulation import Simulation
from tests.contracts import test_channels as of_the_way
from tests.contracts import test_channels_of_steam as of_steam
from tests.contracts import test_channels_of_supply as of_supply

HELD = ("position", "running", "closed", "powered", "live", "condensate return")
"""Every name that a kind gives to what can be forced; the opening of a relief valve is added."""


def held(simulation, tag, value, names=HELD):
    """Hold every position of a part at a value for a minute; return the names of those that moved."""
    places = {
        name: simulation.plant.places[(tag, name)] for name in names if (tag, name) in simulation.plant.places
    }
    for place in places.values():
        simulation.arrays["F"][place] = 1
        simulation.arrays["X"][place] = value
    assert simulation.advance(simulation.time + 60.0) == "done"
    assert simulation.energy_residual() < 1e-9
    return [name for name, place in places.items() if simulation.arrays["X"][place] != value]


@pytest.mark.parametrize("value", [0.0, 1.0])
@pytest.mark.parametrize(("kind", "law", "world"), of_the_way.CASES)
def test_on_the_liquids_way(kind, law, world, value):
    plant, tag = of_the_way.plant_with(kind, law, world)

    assert held(Simulation(plant), tag, value) == []


@pytest.mark.parametrize("value", [0.0, 1.0])
@of_steam.each
def test_round_the_steam(kind, law, numbers, ports, refers, value):
    names = (*HELD, "open") if kind == "relief valve" else HELD

    assert held(of_steam.plant(kind, law, numbers, ports, refers), "X-1", value, names) == []


@pytest.mark.parametrize("value", [0.0, 1.0])
@pytest.mark.parametrize(("kind", "law", "world", "led"), of_supply.CASES)
def test_of_consumers_and_of_the_supply(kind, law, world, led, value):
    assert held(of_supply.plant(kind, world, led), of_supply.TAGS[kind.name], value) == []
