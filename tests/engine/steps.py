"""Event stepping held against single ticks, step by step.

`audit` takes every step of several ticks that the engine makes, goes back to where it began
and goes over it tick by tick.  A switch that changes there before the step ends was missed.
A switch of machines that tick by themselves inside the step is missed if it changes more or
less often in it than tick by tick, or is made for longer or shorter.
"""

from dataclasses import dataclass

import numpy as np

from brinewright.compile import Plant, compile_plant
from brinewright.kernel import layout as at
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run import Simulation
from brinewright.run.state import COUNTED


@dataclass(frozen=True)
class Late:
    """A switch that changed in the middle of a step."""

    time: float
    """When it changes tick by tick [s]."""
    by: int
    """Ticks that the step went on after it."""
    switch: str

    def __str__(self) -> str:
        return f"{self.switch} at {self.time:.0f} s, {self.by} ticks late"


@dataclass(frozen=True)
class Audit:
    """What came of an audit."""

    late: list[Late]
    steps: int
    """Steps of all lengths."""
    long_steps: int
    """Steps of more than one tick."""
    changes: int
    """Changes of switches."""


def _counts(simulation: Simulation, places: list[int]) -> np.ndarray:
    return simulation.arrays["X"][places].copy()


def apart_switches(plant: Plant) -> tuple[list[int], list[int]]:
    """Return where in X the switches that tick by themselves keep their counts and their signals."""
    header, ints = plant.arrays["H"], plant.arrays["I"]
    first = int(header[3 * at.SWITCHES + 1])
    rows = [
        ints[first + k * at.SW_I : first + (k + 1) * at.SW_I]
        for k in range(int(header[at.H_SWITCHES]), int(header[3 * at.SWITCHES]))
    ]
    return [int(row[at.SW_COUNT]) for row in rows], [int(row[at.SW_OUT]) for row in rows]


def made_in(simulation: Simulation, until: float, counts: list[int], signals: list[int]) -> np.ndarray:
    """March to `until`; return how often these switches changed and how long they were made [s]."""
    was, integral = _counts(simulation, counts), simulation.integral[signals].copy()
    assert simulation.advance(until) == "done"
    return np.concatenate((_counts(simulation, counts) - was, simulation.integral[signals] - integral))


Snapshot = tuple[dict[str, np.ndarray], np.ndarray]
"""A plain copy of what changes: a saved state knows its design too, and that takes its time."""


def snapshot(simulation: Simulation) -> Snapshot:
    """Return a copy of everything that changes."""
    return {name: array.copy() for name, array in simulation.arrays.items()}, simulation.counters.copy()


def put(simulation: Simulation, copy: Snapshot) -> None:
    """Take a plant back to a snapshot of the same design; its own counts of steps go on."""
    arrays, counters = copy
    for name, array in arrays.items():
        simulation.arrays[name][...] = array
    simulation.counters[COUNTED:] = counters[COUNTED:]
    setattr(simulation, "went_back", True)  # noqa: B010 - a mark for the ledger's fixture


def one_step(simulation: Simulation, longest: int) -> tuple[Snapshot, int]:
    """Make one step of the engine's own length; return what was before it, and its ticks."""
    before = snapshot(simulation)
    began, made = simulation.time, int(simulation.counters[2])
    least, most = 1, longest
    while least < most:  # the longest time that the engine takes in one step
        middle = (least + most + 1) // 2
        assert simulation.advance(began + middle) == "done"
        if simulation.counters[2] - made == 1:
            least = middle
        else:
            most = middle - 1
        put(simulation, before)
        made = int(simulation.counters[2])
    assert simulation.advance(began + least) == "done"
    return before, least


def audit(loop: Loop, rules: Rulebook, until: float, longest: int = 11) -> Audit:
    """Run a loop to `until` [s] with event steps and look into each of them."""
    events: Plant = compile_plant(loop, rules, longest_step=longest)
    stepped, ticked = Simulation(events), Simulation(compile_plant(loop, rules, longest_step=1))
    names = list(events.switch_counts)
    places = list(events.switch_counts.values())
    apart, signals = apart_switches(events)
    together = [place not in apart for place in places]
    late: list[Late] = []
    steps = long_steps = 0
    while stepped.time < until:
        before, ticks = one_step(stepped, longest)
        steps += 1
        if ticks == 1:
            continue
        long_steps += 1
        put(ticked, before)
        was, began = _counts(ticked, places), ticked.time
        by_ticks = made_in(ticked, began + ticks, apart, signals)
        any_changed = np.any(_counts(ticked, places) != was)
        if apart:
            put(stepped, before)
            in_one = made_in(stepped, began + ticks, apart, signals)
            for k in np.flatnonzero(np.abs(by_ticks - in_one) > 1e-6):
                late.append(Late(began, ticks, names[places.index(apart[k % len(apart)])]))
        if not any_changed:
            continue
        put(ticked, before)
        for tick in range(1, ticks):
            assert ticked.advance(began + tick) == "done"
            changed = np.flatnonzero((_counts(ticked, places) != was) & together)
            if changed.size:
                late.append(Late(began + tick, ticks - tick, names[changed[0]]))
                break
    return Audit(late, steps, long_steps, int(_counts(stepped, places).sum()))
