"""Two-dimensional series: Chebyshev polynomials in x, powers in y.

f(x, y) = sum_i sum_j c[i, j] T_i(x) y^j, the coefficients lying row by row in a flat
vector from `start` on.  Evaluated by Horner in y and Clenshaw in x, so that values and
derivatives are smooth to every order and free of cancellation.
"""

import numpy as np
import numpy.typing as npt

from brinewright.jit import compiled

Vector = npt.NDArray[np.float64]


@compiled
def series_value(W: Vector, start: int, nx: int, ny: int, x: float, y: float) -> float:
    """Value of a series, unit of its table.

    Parameters
    ----------
    W : table vector
    start : index of the first coefficient
    nx, ny : highest degree in x and in y
    x, y : scaled arguments, -1 to 1 in x [-]

    Example
    -------
    >>> import numpy as np
    >>> series_value(np.array([1.0, 2.0, 3.0, 4.0]), 0, 1, 1, 0.5, 10.0)
    42.5

    References
    ----------
    Clenshaw, Mathematics of Computation 9 (1955) 118.
    """
    b0: float = 0.0
    b1: float = 0.0
    for i in range(nx, -1, -1):
        row = start + i * (ny + 1)
        a: float = W[row + ny]
        for j in range(ny - 1, -1, -1):
            a = a * y + W[row + j]
        if i == 0:
            return a + x * b0 - b1
        b0, b1 = a + 2.0 * x * b0 - b1, b0
    return 0.0


@compiled
def series_slopes_x(
    W: Vector, start: int, nx: int, ny: int, x: float, y: float
) -> tuple[float, float, float]:
    """Value, first and second derivative in x, unit of the table.

    Parameters
    ----------
    W, start, nx, ny, x, y : see `series_value`

    Example
    -------
    >>> import numpy as np
    >>> series_slopes_x(np.array([0.0, 0.0, 1.0]), 0, 2, 0, 0.5, 0.0)
    (-0.5, 2.0, 4.0)
    """
    f0 = f1 = 0.0
    d0 = d1 = 0.0
    e0 = e1 = 0.0
    for i in range(nx, -1, -1):
        row = start + i * (ny + 1)
        a = W[row + ny]
        for j in range(ny - 1, -1, -1):
            a = a * y + W[row + j]
        # the last turn of each recurrence has x in place of 2 x
        two = 2.0 if i else 1.0
        e0, e1 = 2.0 * two * d0 + two * x * e0 - e1, e0
        d0, d1 = two * f0 + two * x * d0 - d1, d0
        f0, f1 = a + two * x * f0 - f1, f0
    return f0, d0, e0


@compiled
def series_slope_y(W: Vector, start: int, nx: int, ny: int, x: float, y: float) -> float:
    """First derivative in y, unit of the table.

    Parameters
    ----------
    W, start, nx, ny, x, y : see `series_value`

    Example
    -------
    >>> import numpy as np
    >>> series_slope_y(np.array([1.0, 2.0, 3.0]), 0, 0, 2, 0.5, 10.0)
    62.0
    """
    b0: float = 0.0
    b1: float = 0.0
    for i in range(nx, -1, -1):
        row = start + i * (ny + 1)
        a: float = ny * W[row + ny]
        for j in range(ny - 1, 0, -1):
            a = a * y + j * W[row + j]
        if i == 0:
            return a + x * b0 - b1
        b0, b1 = a + 2.0 * x * b0 - b1, b0
    return 0.0


@compiled
def series_slopes(
    W: Vector, start: int, nx: int, ny: int, x: float, y: float
) -> tuple[float, float, float, float, float, float]:
    """Value, f_x, f_y, f_xx, f_xy and f_yy, unit of the table.

    Parameters
    ----------
    W, start, nx, ny, x, y : see `series_value`

    Example
    -------
    >>> import numpy as np
    >>> series_slopes(np.array([0.0, 0.0, 0.0, 0.0, 0.0, 1.0]), 0, 1, 2, 0.5, 3.0)
    (4.5, 9.0, 3.0, 0.0, 6.0, 1.0)
    """
    f0 = f1 = 0.0
    fx0 = fx1 = 0.0
    fxx0 = fxx1 = 0.0
    fy0 = fy1 = 0.0
    fxy0 = fxy1 = 0.0
    fyy0 = fyy1 = 0.0
    for i in range(nx, -1, -1):
        row = start + i * (ny + 1)
        a = W[row + ny]
        ay = 0.0
        ayy = 0.0
        for j in range(ny - 1, -1, -1):
            ayy = ayy * y + 2.0 * ay
            ay = ay * y + a
            a = a * y + W[row + j]
        two = 2.0 if i else 1.0
        fxx0, fxx1 = 2.0 * two * fx0 + two * x * fxx0 - fxx1, fxx0
        fx0, fx1 = two * f0 + two * x * fx0 - fx1, fx0
        f0, f1 = a + two * x * f0 - f1, f0
        fxy0, fxy1 = two * fy0 + two * x * fxy0 - fxy1, fxy0
        fy0, fy1 = ay + two * x * fy0 - fy1, fy0
        fyy0, fyy1 = ayy + two * x * fyy0 - fyy1, fyy0
    return f0, fx0, fy0, fxx0, fxy0, fyy0
