"""Run a random plant to the last bit, or say in words why it cannot be run."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import compile_plant
from brinewright.model.loop import Loop
from brinewright.run import Simulation
from tests.engine.bench import rules


@dataclass(frozen=True)
class Ran:
    """What a run left behind."""

    channels: dict[tuple[str, str], float]
    """The end value of every channel."""
    integrals: dict[tuple[str, str], float]
    events: list[tuple[float, str, str]]
    code: str
    """"done", or what went wrong."""
    simulation: Simulation

    def same_as(self, other: "Ran", names: dict[str, str] | None = None) -> bool:
        """Tell whether both runs are equal to the last bit; `names` leads from our tags to theirs."""

        def told(tag: str) -> str:
            return (names or {}).get(tag, tag)

        ours = [
            {(told(tag), name): value for (tag, name), value in part.items()}
            for part in (self.channels, self.integrals)
        ]
        theirs = [other.channels, other.integrals]
        events = [(time, told(tag), code) for time, tag, code in self.events]
        return self.code == other.code and ours == theirs and sorted(events) == sorted(other.events)


def ran(
    loop: Loop, seconds: float = 900.0, longest_step: int = 11, samples: NDArray[Any] | None = None
) -> Ran:
    """Run a loop on the bench's rulebook."""
    plant = compile_plant(loop, rules(), longest_step=longest_step)
    simulation = Simulation(plant, samples=samples)
    return finished(simulation, seconds)


def finished(simulation: Simulation, until: float) -> Ran:
    """March to `until` [s] and take down what there is."""
    code = simulation.advance(until)
    plant, x = simulation.plant, simulation.arrays["X"]
    # not-a-number is equal to nothing: what is not read yet counts as zero
    channels = {(tag, name): float(np.nan_to_num(x[index])) for tag, name, _, index in plant.channels}
    integrals = {
        (tag, name): float(np.nan_to_num(simulation.integral[index]))
        for tag, name, _, index in plant.channels
        if index < simulation.integral.size
    }
    events = [
        (float(row[0]), *plant.events[int(row[1])][:2]) for row in simulation.events[: simulation.counters[1]]
    ]
    return Ran(channels, integrals, events, code, simulation)
