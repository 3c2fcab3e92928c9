"""When the switches of machines that tick by themselves change, also in the middle of a step.

What they do inside a step is over when it ends; only watches see it.  So each of their signals
gets two watches more, which tell when it comes and when it goes.
"""

from dataclasses import replace

import numpy as np

from brinewright.compile import Plant
from brinewright.kernel import layout as at
from brinewright.run import Simulation

Change = tuple[float, int]
"""A time [s] and the number of a watch: 2 k where switch k was made, 2 k + 1 where it let go."""


def apart_switches(plant: Plant) -> tuple[list[int], list[int]]:
    """Return where in X the switches that tick by themselves keep their counts and their signals."""
    header, ints = plant.arrays["H"], plant.arrays["I"]
    first = int(header[3 * at.SWITCHES + 1])
    rows = [
        ints[first + k * at.SW_I : first + (k + 1) * at.SW_I]
        for k in range(int(header[at.H_SWITCHES]), int(header[3 * at.SWITCHES]))
    ]
    return [int(row[at.SW_COUNT]) for row in rows], [int(row[at.SW_OUT]) for row in rows]


def watched(plant: Plant, signals: list[int]) -> Plant:
    """Return a plant with two watches more on each of these signals; they hold nothing up."""
    if not signals:
        return plant
    arrays = {name: np.array(array) for name, array in plant.arrays.items()}
    size, header = arrays["X"].size, arrays["H"]
    count, first, first_number = (int(header[3 * at.WATCHES + k]) for k in range(3))
    rows: list[list[int]] = []
    numbers: list[list[float]] = []
    begin: list[float] = []
    for signal in signals:
        made = arrays["X"][signal]
        for sense in (1, -1):
            row = [0] * at.WA_I
            own = size + len(begin)
            begin += [-1.0 if (made == 1.0) == (sense == 1) else 0.0, made, 0.0]  # what is, is no change
            row[at.WA_VALUE], row[at.WA_SENSE] = signal, sense
            row[at.WA_STATE], row[at.WA_BEFORE], row[at.WA_SLOPE] = own, own + 1, own + 2
            rows.append(row)
            number = [0.0] * at.WA_P
            number[at.WA_LIMIT] = 0.5
            numbers.append(number)
    for name, array in arrays.items():
        if array.shape == (size,):
            more = begin if name == "X" else [0.0] * len(begin)
            arrays[name] = np.concatenate((array, np.array(more, dtype=array.dtype)))
    header[3 * at.WATCHES : 3 * at.WATCHES + 3] = count + len(rows), arrays["I"].size, arrays["P"].size
    old, old_numbers = arrays["I"][first : first + count * at.WA_I], arrays["P"][first_number:]
    arrays["I"] = np.concatenate((arrays["I"], old, np.array(rows, dtype=old.dtype).ravel()))
    arrays["P"] = np.concatenate((arrays["P"], old_numbers[: count * at.WA_P], np.array(numbers).ravel()))
    return replace(plant, arrays=arrays)


def changes_in(simulation: Simulation, until: float) -> list[Change]:
    """March to `until`; return what the watches of `watched` told on the way."""
    simulation.counters[1] = 0
    assert simulation.advance(until) == "done"
    told = simulation.events[: int(simulation.counters[1])]
    own = len(simulation.plant.events)
    return [(float(time), int(watch) - own) for time, watch, _ in told if watch >= own]
