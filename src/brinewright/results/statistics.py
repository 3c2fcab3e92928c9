"""Five numbers for each channel, taken over every tick and not only over the samples."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

NAMES = ("first", "min", "mean", "max", "last")


@dataclass(frozen=True, eq=False, kw_only=True)
class Statistics:
    """First, least, mean, greatest and last value of each channel, in the channel's unit."""

    first: NDArray[np.float64]
    min: NDArray[np.float64]
    mean: NDArray[np.float64]
    max: NDArray[np.float64]
    last: NDArray[np.float64]

    @classmethod
    def of(cls, columns: Mapping[str, ArrayLike]) -> "Statistics":
        """Build from one array for each of the five names."""
        return cls(**{name: np.asarray(columns[name], dtype=np.float64) for name in NAMES})

    @classmethod
    def from_samples(cls, values: ArrayLike) -> "Statistics":
        """Build from samples [n, channels], where nothing finer than the samples is known."""
        samples = np.asarray(values, dtype=np.float64)
        return cls(
            first=samples[0],
            min=samples.min(axis=0),
            mean=samples.mean(axis=0),
            max=samples.max(axis=0),
            last=samples[-1],
        )

    def row(self, index: int) -> dict[str, float]:
        """Return the five numbers of one channel by name."""
        return {name: float(getattr(self, name)[index]) for name in NAMES}
