"""The series of `series`, for callers in Python that do without the compiler."""

from typing import Any

import numpy as np
from numpy.polynomial import chebyshev

from brinewright.fluids.tables import Vector


def series(table: Vector, start: int, nx: int, ny: int, x: Any, y: Any) -> Any:
    """Return sum_i sum_j c[i, j] T_i(x) y^j, for numbers or for arrays of one shape."""
    block = table[start : start + (nx + 1) * (ny + 1)].reshape(nx + 1, ny + 1)
    rows = sum(block[:, j][(...,) + (None,) * np.ndim(y)] * np.power(y, j) for j in range(ny + 1))
    return chebyshev.chebval(x, rows, tensor=False)
