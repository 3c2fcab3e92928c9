"""The decisions of a run, taken down tick by tick and played again as forced signals."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import compile_plant
from brinewright.laws.state import TIME
from brinewright.model.loop import Force, Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run import Simulation


@dataclass(frozen=True)
class Course:
    """What a run decided and how warm it was."""

    decisions: dict[str, list[tuple[float, float]]]
    """(time [s], signal) of each switch, the start first."""
    names: list[str]
    temperatures: NDArray[np.float64]
    """One row for each minute, one column for each of `names` [K]."""


def _signals(loop: Loop, names: list[str]) -> dict[str, tuple[str, str]]:
    """Return by target of a force where to see what is decided: signals, and machines that run."""
    own = {switch.tag for switch in loop.switches}
    machines = sorted({name.split(".", 1)[0] for name in names if name not in own})
    return {name: (name, "signal") for name in sorted(own)} | {
        f"{tag}.running": (tag, "running") for tag in machines
    }


def course(
    loop: Loop, rules: Rulebook, until: float, longest_step: int, thermal: list[tuple[str, str]]
) -> Course:
    """Run a loop and take down every decision at its tick; with event steps, at the end of its step."""
    plant = compile_plant(loop, rules, longest_step=longest_step)
    simulation = Simulation(plant)
    signals = _signals(loop, list(plant.switch_counts))
    at = [plant.place(*channel) for channel in signals.values()]
    warm = [plant.place(*channel) for channel in thermal]
    x = simulation.arrays["X"]
    last = x[at].copy()
    decisions = {name: [(0.0, float(value))] for name, value in zip(signals, last, strict=True)}
    rows = []
    pace = 1.0 if longest_step == 1 else 60.0
    while x[TIME] < until:
        if x[TIME] % 60.0 == 0.0:
            rows.append(x[warm].copy())
        assert simulation.advance(float(x[TIME]) + pace) == "done"
        for k in np.flatnonzero(x[at] != last):
            decisions[list(signals)[k]].append((float(x[TIME]), float(x[at[k]])))
        last = x[at].copy()
    rows.append(x[warm].copy())
    names = [f"{tag} {quantity}" for tag, quantity in thermal]
    return Course(decisions, names, np.array(rows))


def replayed(loop: Loop, told: Course) -> Loop:
    """Return the loop with every switch and every machine that starts itself forced to what a course tells.

    A course tells what it finds at the end of a tick: a signal that has just been decided is
    held from the tick before, so that it is commanded at the same end, and a machine ran for that tick.
    """
    forces = [
        Force(
            target=name,
            value=points[0][1],
            table=tuple((max(time - 1.0, 0.0), value) for time, value in points),
        )
        for name, points in told.decisions.items()
    ]
    return replace(loop, forces=(*loop.forces, *forces))
