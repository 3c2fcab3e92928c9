"""What a line shows of its samples: every peak, or a band where it swings too often to be followed."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

POINTS = 1200
"""Points that a line keeps; more can't be told apart on paper."""


def thinned(hours: Array, values: Array, points: int = POINTS) -> tuple[Array, Array]:
    """Return at most about `points` points that keep every peak: least and greatest of each stretch."""
    if len(hours) <= points:
        return hours, values
    edges = np.linspace(0, len(hours), points // 2 + 1).astype(int)
    kept: list[int] = [0]
    for start, end in pairwise(edges):
        stretch = values[start:end]
        if np.isnan(stretch).all():
            kept.append(start)
        else:
            kept.extend(sorted({start + int(np.nanargmin(stretch)), start + int(np.nanargmax(stretch))}))
    kept.append(len(hours) - 1)
    chosen = np.unique(kept)
    return hours[chosen], values[chosen]


def is_dense(values: Array, swings: float) -> bool:
    """Return whether a line would swing over its range too often to be followed by eye."""
    numbers = values[np.isfinite(values)]
    span = float(np.ptp(numbers)) if len(numbers) else 0.0
    return span > 0.0 and float(np.abs(np.diff(numbers)).sum()) / span > 2.0 * swings


def banded(hours: Array, values: Array, parts: int) -> tuple[Array, Array, Array, Array]:
    """Return time, least, mean and greatest value of each of so many stretches.

    The first and the last time are those of the first and the last sample.
    """
    edges = np.linspace(0, len(hours), min(parts, len(hours)) + 1).astype(int)
    pieces = [values[start:end] for start, end in pairwise(edges)]
    middle = np.array([hours[start:end].mean() for start, end in pairwise(edges)])
    middle[0], middle[-1] = hours[0], hours[-1]
    least, mean, greatest = (
        np.array([reduce(piece) for piece in pieces]) for reduce in (np.min, np.mean, np.max)
    )
    return middle, least, mean, greatest
