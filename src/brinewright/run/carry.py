"""Take a running plant over into a changed design of the same build: a unit lost, two ranks exchanged.

A state holds what changes and, beside it, numbers of the design that laws read.  What changes
goes on as it is; numbers of the design that no run has touched become those of the new one.
What the liquid's ways hold stays in them, and so does the heat of all metal.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant
from brinewright.errors import InputError
from brinewright.run.state import State

SOLVED = ("HI", "HF", "order")
"""What the flows of a circuit were solved with: the new design solves them anew."""
COUNTS = "counters"


@dataclass(frozen=True)
class Unforced(State):
    """A state with nothing forced, of which it is known to what plants it belongs.

    It is not held against the digest of a design, which takes longer than to compile one.
    """

    def restore(self, plant: Plant, arrays: dict[str, NDArray[Any]]) -> None:
        """Put the state into the arrays of a plant that is built alike."""
        self.copy_into(plant, arrays, same=False)


def unforced(state: State) -> Unforced:
    """Return a state as one that goes on under other forces."""
    return Unforced(state.arrays, state.design, state.forces)


def carried(state: State, before: Plant, after: Plant) -> Unforced:
    """Return the state of a plant as that of a changed one, with nothing forced.

    Parameters
    ----------
    state : of the plant `before`, with nothing forced at its moment
    before, after : the two designs; they must have the same parts, lines and switches

    Raises
    ------
    InputError
        If they are not built alike.
    """
    if before.places != after.places or len(before.loop.forces) != len(after.loop.forces):
        raise InputError(
            "The changed design has other parts than the one that runs, so the run can't be taken over. "
            "Start it from its own start instead."
        )
    arrays = {name: array.copy() for name, array in state.arrays.items()}
    untouched = arrays["X"] == before.arrays["X"]
    renewed = untouched & (before.arrays["X"] != after.arrays["X"])
    arrays["X"][renewed] = after.arrays["X"][renewed]
    for name in SOLVED:
        arrays[name] = after.arrays[name].copy()
    arrays[COUNTS] = np.zeros_like(arrays[COUNTS])
    return Unforced(arrays, state.design, state.forces)
