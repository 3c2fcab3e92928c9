"""Everything that changes in a plant, at one moment, and its file."""

import hashlib
import io
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from brinewright import __version__
from brinewright.compile import Plant
from brinewright.errors import InputError
from brinewright.files import loop_text, rulebook_text, write_whole
from brinewright.laws.state import TIME
from brinewright.model.frozen import EMPTY

FORMAT = "brinewright/state/1"
NAMES = ("X", "E", "C", "F", "J", "Q", "B", "BN", "E0", "R", "Z", "HI", "HF", "order")
"""The arrays that change in a run."""
COUNTED = 4
"""Counters from here on say where the engine stands; those before count what a run did."""


def design_of(plant: Plant) -> str:
    """Return the digest of a design and its rulebook, whatever is forced and however it starts."""
    bare = replace(plant.loop, forces=(), waivers=(), signatures=(), start=EMPTY, settled=False)
    return _digest(loop_text(bare), rulebook_text(plant.rules), __version__)


def forces_of(plant: Plant) -> str:
    """Return the digest of what is forced."""
    return _digest(repr(plant.loop.forces))


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()


@dataclass(frozen=True)
class State:
    """Everything that changes in a plant, at one moment; saved as one `.npz` file.

    It belongs to one design: what is forced may differ where it is restored, the rest may not.
    """

    arrays: dict[str, NDArray[Any]]
    design: str
    forces: str

    @property
    def time(self) -> float:
        """Return the time of this state [s]."""
        return float(self.arrays["X"][TIME])

    def save(self, path: str | Path, *, force: bool = False) -> Path:
        """Write the state to a file, whole or not at all; return its path.

        Raises
        ------
        OutputError
            There is such a file already and `force` is not given, or it can't be written.
        """
        content = io.BytesIO()
        marks = {"format": FORMAT, "design": self.design, "forces": self.forces}
        held: dict[str, Any] = {**self.arrays, **{name: np.array(text) for name, text in marks.items()}}
        np.savez_compressed(content, **held)
        return write_whole(path, content.getvalue(), force=force)

    @classmethod
    def load(cls, path: str | Path) -> "State":
        """Return the state in a file.

        Raises
        ------
        InputError
            It is no state, or of another version of the format.
        """
        try:
            with np.load(path, allow_pickle=False) as file:
                if str(file["format"]) != FORMAT:
                    raise InputError(f'{path}: it is of format "{file["format"]}"; expected "{FORMAT}".')
                arrays = {name: file[name] for name in (*NAMES, "counters")}
                return cls(arrays, str(file["design"]), str(file["forces"]))
        except (OSError, ValueError, KeyError, EOFError, BadZipFile) as error:
            raise InputError(f"{path}: it cannot be read as the state of a plant ({error}).") from error

    def restore(self, plant: Plant, arrays: dict[str, NDArray[Any]]) -> None:
        """Put the state into the arrays of a plant of the same design.

        Raises
        ------
        InputError
            It belongs to another design, or something else was forced at its moment.
        """
        if self.design != design_of(plant):
            raise InputError(
                "The state belongs to another design, rulebook or version. Run the loop from its own start, "
                "or settle it again."
            )
        same = self.forces == forces_of(plant)
        if not same and self.arrays["F"].any():
            raise InputError(
                "Something was forced at the moment of the state, and other things are forced now. "
                "Take the state at a moment at which nothing is forced."
            )
        self.copy_into(plant, arrays, same=same)

    def copy_into(self, plant: Plant, arrays: dict[str, NDArray[Any]], *, same: bool) -> None:
        """Copy the state; where not the `same` is forced, without what serves the forces."""
        for name, array in self.arrays.items():
            target = arrays[name]
            # what serves the forces stands last
            kept = target.size if same else min(target.size - _of_forces(plant, name), array.size)
            target[:kept] = array[:kept]


def _of_forces(plant: Plant, name: str) -> int:
    """Return how many values at the end of an array serve what is forced."""
    if name in ("X", "E", "C", "F", "E0", "R", "Z"):
        return plant.forced_values
    return len(plant.loop.forces) if name == "J" else 0
