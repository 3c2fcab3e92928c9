"""The series of `series`, for callers in Python that do without the compiler."""

from typing import Any

import numpy as np

from brinewright.fluids.tables import Vector


def series(table: Vector, start: int, nx: int, ny: int, x: Any, y: Any) -> Any:
    """Return sum_i sum_j c[i, j] T_i(x) y^j, for numbers or for arrays of one shape.

    Example
    -------
    >>> float(series(np.array([1.0, 2.0, 3.0, 4.0]), 0, 1, 1, 0.5, 10.0))
    42.5
    """
    block = table[start : start + (nx + 1) * (ny + 1)].reshape(nx + 1, ny + 1)
    powers = [np.power(y, j) for j in range(ny + 1)]
    last = before = 0.0
    for row in block[:0:-1]:
        level = sum(c * power for c, power in zip(row, powers, strict=True))
        last, before = level + 2.0 * x * last - before, last
    return sum(c * power for c, power in zip(block[0], powers, strict=True)) + x * last - before
