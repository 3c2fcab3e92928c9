"""A catalogue table over two temperatures: bilinear inside, clamped and reported outside."""

import numpy as np
from numpy.typing import NDArray

from brinewright.jit import compiled

Floats = NDArray[np.float64]


@compiled
def bracket(axis: Floats, value: float) -> int:
    """Index of the interval of a rising axis that holds a value, clamped to the ends, [-].

    axis[i] <= value < axis[i + 1]

    Parameters
    ----------
    axis : at least two strictly rising values [any]
    value : looked for [the same]

    Notes
    -----
    Bisection: at most 20 comparisons for a million nodes.

    Example
    -------
    >>> bracket(np.array([0.0, 5.0, 10.0]), 6.0), bracket(np.array([0.0, 5.0, 10.0]), 99.0)
    (1, 1)

    References
    ----------
    Bisection.
    """
    low, high = 0, len(axis) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if axis[middle] <= value:
            low = middle
        else:
            high = middle
    return low


@compiled
def bilinear(rows: Floats, columns: Floats, table: Floats, row: float, column: float) -> tuple[float, float]:
    """Value of a table and the distance of the point from it, [unit of the table] and [unit of the axes].

    Linear along each axis inside the table; outside it the value at the nearest edge.

    Parameters
    ----------
    rows : strictly rising row axis, >= 2 values [K]
    columns : strictly rising column axis, >= 2 values [K]
    table : values, one row for each of `rows` [any]
    row : asked for [K]
    column : asked for [K]

    Notes
    -----
    Never extrapolates: a distance above 0 says "outside the table" and by how much along the
    axis that is missed by more.

    Example
    -------
    >>> leaving, condensing = np.array([0.0, 5.0, 10.0]), np.array([35.0, 45.0, 55.0])
    >>> kilowatt = np.array([[212.0, 190.0, 167.0], [252.0, 227.0, 200.0], [296.0, 268.0, 238.0]])
    >>> value, distance = bilinear(leaving, condensing, kilowatt, 6.0, 41.0)
    >>> round(float(value), 2), float(distance)
    (245.44, 0.0)
    >>> [float(number) for number in bilinear(leaving, condensing, kilowatt, -2.0, 58.0)]
    [167.0, 3.0]

    References
    ----------
    Bilinear interpolation.
    """
    y = min(max(row, rows[0]), rows[-1])
    x = min(max(column, columns[0]), columns[-1])
    i, j = bracket(rows, y), bracket(columns, x)
    v = (y - rows[i]) / (rows[i + 1] - rows[i])
    u = (x - columns[j]) / (columns[j + 1] - columns[j])
    below = table[i, j] * (1.0 - u) + table[i, j + 1] * u
    above = table[i + 1, j] * (1.0 - u) + table[i + 1, j + 1] * u
    distance = max(abs(row - y), abs(column - x))
    return below * (1.0 - v) + above * v, distance
