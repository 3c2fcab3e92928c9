"""Properties of one fluid along one isobar, for compiled callers: rho, c_p, mu and k over T."""

import math

import numpy as np

from brinewright.fluids.series import Vector
from brinewright.jit import compiled, inner

CELLS = 160
_HEADER = 2
_CELL = 16


def make_line(low: float, high: float, values: Vector) -> Vector:
    """Return a vector [T_low, T_step, cubics] from CELLS + 1 rows of rho, c_p, mu, k at even steps.

    ln mu is what is stored, because viscosity falls by decades.
    """
    from scipy.interpolate import CubicSpline

    rows = values.copy()
    rows[:, 2] = np.log(rows[:, 2])
    nodes = np.linspace(low, high, CELLS + 1)
    cubics = CubicSpline(nodes, rows).c[::-1].transpose(1, 2, 0)
    return np.concatenate([[low, (high - low) / CELLS], cubics.ravel()])


@compiled
def line_values(L: Vector, temperature: float) -> tuple[float, float, float, float]:
    """Density, c_p, viscosity and conductivity, [kg/m3], [J/(kg K)], [Pa s], [W/(m K)].

    Cubic splines in T; viscosity in its logarithm.

    Parameters
    ----------
    L : vector that `Fluid.line` gave
    temperature : held at the ends of the line [K]

    Example
    -------
    >>> from brinewright.fluids import fluid
    >>> L = fluid("ethylene glycol 30 %").line(3e5)
    >>> [round(value, 3) for value in line_values(L, 293.15)[:2]]
    [1038.046, 3718.251]
    """
    return line_values_at(L, 0, temperature)


@inner
def line_values_at(L: Vector, start: int, temperature: float) -> tuple[float, float, float, float]:
    """Return what `line_values` does, of a line that begins at `start` in a longer vector."""
    place = (temperature - L[start]) / L[start + 1]
    i = min(max(int(place), 0), CELLS - 1)
    t = min(max(place - i, 0.0), 1.0) * L[start + 1]
    o = start + _HEADER + _CELL * i
    rho = L[o] + t * (L[o + 1] + t * (L[o + 2] + t * L[o + 3]))
    cp = L[o + 4] + t * (L[o + 5] + t * (L[o + 6] + t * L[o + 7]))
    log_mu = L[o + 8] + t * (L[o + 9] + t * (L[o + 10] + t * L[o + 11]))
    k = L[o + 12] + t * (L[o + 13] + t * (L[o + 14] + t * L[o + 15]))
    return rho, cp, math.exp(log_mu), k
