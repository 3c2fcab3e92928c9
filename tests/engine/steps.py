"""Event stepping held against single ticks, step by step.

`audit` takes every step of several ticks that the engine makes, goes back to where it began
and goes over it tick by tick.  A switch that changes there before the step ends was missed.
A switch of machines that tick by themselves inside the step is missed if it changes there at
other ticks.
"""

from dataclasses import dataclass

import numpy as np

from brinewright.compile import Plant, compile_plant
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run import Simulation
from brinewright.run.state import COUNTED
from tests.engine.told_switches import apart_switches, changes_in, watched


@dataclass(frozen=True)
class Late:
    """A switch that changed in the middle of a step."""

    time: float
    """When it changes tick by tick, or only in the step [s]."""
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


def audit(loop: Loop, rules: Rulebook, until: float, longest: int = 60) -> Audit:
    """Run a loop to `until` [s] with event steps and look into each of them."""
    events: Plant = compile_plant(loop, rules, longest_step=longest)
    apart, signals = apart_switches(events)
    stepped = Simulation(watched(events, signals))
    ticked = Simulation(watched(compile_plant(loop, rules, longest_step=1), signals))
    names = list(events.switch_counts)
    places = list(events.switch_counts.values())
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
        by_ticks = changes_in(ticked, began + ticks)
        any_changed = np.any(_counts(ticked, places) != was)
        if apart:
            put(stepped, before)
            for time, change in sorted(set(by_ticks) ^ set(changes_in(stepped, began + ticks))):
                late.append(Late(time, int(began + ticks - time), names[places.index(apart[change // 2])]))
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
