"""Records collected block by block, with pointers that are resolved when all are laid out."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from brinewright.compile.apart import Apart
from brinewright.compile.assembly import Assembly
from brinewright.compile.network import Network
from brinewright.kernel import layout as at
from brinewright.model.lowering import Place


@dataclass(frozen=True)
class Extra:
    """A pointer behind the blocks of I or P, known when these are laid out."""

    offset: int
    array: str


@dataclass(frozen=True)
class Start:
    """A pointer to record `index` of a block in I or P."""

    block: int
    index: int
    array: str


@dataclass(frozen=True)
class Signed:
    """A signal, as it is or turned round."""

    place: Place
    as_it_is: bool


@dataclass(frozen=True)
class FlowOf:
    """The flow of a branch."""

    branch: int


@dataclass
class Writer:
    """Collects records block by block; they are laid out one after another at the end."""

    assembly: Assembly
    network: Network
    blocks: dict[int, list[tuple[list[Any], list[float]]]] = field(
        default_factory=lambda: {k: [] for k in range(at.BLOCKS)}
    )
    extra_i: list[Any] = field(default_factory=list)
    extra_p: list[float] = field(default_factory=list)
    j: list[int] = field(default_factory=lambda: [0])
    alias: dict[int, int] = field(default_factory=dict)
    """Places that are another place: flows of elements in series, channels of points inside a branch."""
    run_at: dict[int, tuple[int, int]] = field(default_factory=dict)
    """Branch of each run, and the item in it that it is part of."""
    room: int = 0
    """Room of all parcel queues together."""
    filled: list[tuple[int, float, float]] = field(default_factory=list)
    """First parcel of each queue: its index, mass [kg] and temperature [K]."""
    apart: Apart = field(default_factory=Apart)
    sorts_of_edges: list[int] = field(default_factory=list)
    """How many edges of each sort follow one another: not of what ticks by itself, then of that."""
    hf: int = 0
    hi: int = 0
    """Room of all islands in the work arrays of floats and of integers."""

    def row(self, block: int, ints: Sequence[Any], numbers: Sequence[float]) -> int:
        self.blocks[block].append((list(ints), [float(number) for number in numbers]))
        return len(self.blocks[block]) - 1

    def many(self, values: Sequence[Any]) -> Extra:
        start = len(self.extra_i)
        self.extra_i.extend(values)
        return Extra(start, "i")

    def many_p(self, values: Sequence[float]) -> Extra:
        start = len(self.extra_p)
        self.extra_p.extend(float(value) for value in values)
        return Extra(start, "p")

    def changing(self, *values: int) -> int:
        start = len(self.j)
        self.j.extend(values)
        return start
