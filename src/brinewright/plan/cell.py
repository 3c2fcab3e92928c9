"""Cells of size and age: the parts of what a suspect may be, each tried at one point."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.suspect import Suspect

Floats = NDArray[np.float64]

FAR = -1e9
"""The logarithm of what cannot be."""
WHOLE_AGE = math.log(64.0)
"""Logarithm of the range of ages that is looked at."""


@dataclass(eq=False)
class Cell:
    """A range of sizes and ages of one suspect, tried at one point of it."""

    suspect: Suspect
    size: float
    sizes: tuple[float, float]
    age: float
    ages: tuple[float, float]
    share: float
    """Part of the suspect's prior that falls into it."""
    now: float
    predicted: list[Floats] = field(default_factory=list)
    means: Floats = field(default_factory=lambda: np.zeros(0))
    spreads: list[Floats] = field(default_factory=lambda: [np.zeros(0), np.zeros(0)])
    """What the observations change by within it: along size, along age."""
    memory: Floats = field(default_factory=lambda: np.zeros(0))
    """What the observations change by towards cells of other ages, when it was first tried."""
    log_likelihood: float = FAR
    each: Floats = field(default_factory=lambda: np.zeros(0))
    unchanged: bool = False
    """Whether it leaves every channel as it is in the sound plant."""

    @property
    def weight(self) -> float:
        """Return the logarithm of what it adds to the evidence for its suspect."""
        return math.log(self.share) + self.log_likelihood if self.share > 0.0 else FAR


@dataclass(frozen=True, eq=False)
class Standing:
    """One suspect with its cells and the evidence for it."""

    suspect: Suspect
    cells: tuple[Cell, ...]
    evidence: float
    """Logarithm of the mean likelihood over its cells, times how common it is."""
    belief: float = 0.0

    @property
    def best(self) -> Cell:
        """Return the cell that fits best."""
        return max(self.cells, key=lambda cell: cell.weight)


def edges(suspect: Suspect) -> list[tuple[float, float]]:
    """Return the range of sizes that each first size stands for."""
    sizes, low, high = suspect.sizes, suspect.low, suspect.high
    if low is None or high is None:
        return [(size, size) for size in sizes]
    middles = [0.5 * (one + other) for one, other in pairwise(sizes)]
    return list(zip([low, *middles], [*middles, high], strict=True))


def half(change: Floats) -> Floats:
    """Return the standard deviation within a cell of what changes by this much to the next one's point."""
    return np.abs(change) * 0.35


def spread_over(grid: list[list[Cell]]) -> None:
    """Let each cell know how much the observations change towards its neighbours."""
    for i, row in enumerate(grid):
        for k, cell in enumerate(row):
            if not cell.predicted:
                continue
            for way, near in (
                (
                    0,
                    [grid[j][k] for j in (i - 1, i + 1) if 0 <= j < len(grid)]
                    if cell.sizes[1] > cell.sizes[0]
                    else [],
                ),
                (1, [row[j] for j in (k - 1, k + 1) if 0 <= j < len(row)]),
            ):
                changes = [half(other.means - cell.means) for other in near if other.predicted]
                if changes:
                    cell.spreads[way] = np.max(changes, axis=0)
            cell.memory = cell.spreads[1].copy()


def widest(cell: Cell) -> int | None:
    """Return along what a cell is to be split: 0 size, 1 age; None where it is fine enough."""
    low, high = cell.suspect.low, cell.suspect.high
    size = 0.0 if low is None or high is None else (cell.sizes[1] - cell.sizes[0]) / (high - low)
    age = math.log(cell.ages[1] / cell.ages[0]) / WHOLE_AGE
    if size < 0.02 and age < 0.02:
        return None
    scale = [float(np.max(spread, initial=0.0) > 0.0) for spread in cell.spreads]
    return 0 if size * scale[0] > age * scale[1] else 1


def thirds(cell: Cell, way: int) -> tuple[Cell, Cell, Cell]:
    """Narrow a cell to its middle third; return it between the two new ones."""
    outer: list[Cell] = []
    if way == 0:
        low, high = cell.sizes
        third = (high - low) / 3.0
        # the point that was tried stays in the middle cell
        a = min(max(cell.size - 0.5 * third, low), high - third)
        parts = ((low, a), (a + third, high))
        for begin, end in parts:
            outer.append(
                Cell(
                    cell.suspect, 0.5 * (begin + end), (begin, end), cell.age, cell.ages,
                    cell.share * (end - begin) / (high - low), cell.now,
                )
            )  # fmt: skip
        cell.share *= third / (high - low)
        cell.sizes = (a, a + third)
    else:
        low, high = cell.ages
        ratio = (high / low) ** (1.0 / 3.0)
        for begin, end in ((low, low * ratio), (low * ratio * ratio, high)):
            outer.append(
                Cell(
                    cell.suspect, cell.size, cell.sizes, math.sqrt(begin * end), (begin, end),
                    cell.share / 3.0, cell.now,
                )
            )  # fmt: skip
        cell.share /= 3.0
        cell.ages = (low * ratio, low * ratio * ratio)
    return outer[0], cell, outer[1]


def log_sum(logs: Sequence[float]) -> float:
    """Return the logarithm of the sum of what these are the logarithms of."""
    most = max(logs, default=FAR)
    return most + math.log(sum(math.exp(value - most) for value in logs)) if most > FAR else FAR
