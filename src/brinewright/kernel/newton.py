"""Newton's method on the flows and pressures of a real island."""

import math

import numpy as np

from brinewright.jit import inner
from brinewright.kernel.branch_law import SHUT, SMOOTHEST, branch_law
from brinewright.kernel.residual import Floats, Ints

MOST_STEPS = 100


@inner
def solve_symmetric(matrix: Floats, right: Floats, n: int) -> None:
    """Solve a positive definite system in place: L D L', row by row; the answer is in `right`."""
    for i in range(n):
        for j in range(i):
            entry = matrix[i * n + j]
            for k in range(j):
                entry -= matrix[i * n + k] * matrix[j * n + k]
            matrix[i * n + j] = entry
        pivot = matrix[i * n + i]
        for j in range(i):
            scaled = matrix[i * n + j] / matrix[j * n + j]
            pivot -= scaled * matrix[i * n + j]
            matrix[i * n + j] = scaled
        matrix[i * n + i] = pivot
    for i in range(n):
        for k in range(i):
            right[i] -= matrix[i * n + k] * right[k]
    for i in range(n - 1, -1, -1):
        right[i] /= matrix[i * n + i]
        for k in range(i + 1, n):
            right[i] -= matrix[k * n + i] * right[k]


@inner
def _share_of_step(
    tail: Ints,
    head: Ints,
    quadratic: Floats,
    linear: Floats,
    gain: Floats,
    state: Ints,
    pressure: Floats,
    flow: Floats,
    way: Floats,
    fall: float,
) -> float:
    """Share of a Newton step to take: all of it, or where the convex function stops falling.

    Along the step its slope is sum of (taken - given) times the step, and only rises.
    """
    low, high = 0.0, 1.0
    share = 1.0
    for _ in range(40):
        rise = 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            push = pressure[tail[branch]] - pressure[head[branch]]
            taken, _slope = branch_law(
                flow[branch] + share * way[branch], quadratic[branch], linear[branch], gain[branch],
                state[branch], push + gain[branch],
            )  # fmt: skip
            rise += way[branch] * (taken - push)
        if rise <= 0.5 * fall and (share == 1.0 or rise >= -0.5 * fall):
            break
        if rise > 0.0:
            high = share
        else:
            low = share
        share = 0.5 * (low + high)
    return share


@inner
def newton(
    tail: Ints,
    head: Ints,
    quadratic: Floats,
    linear: Floats,
    gain: Floats,
    state: Ints,
    place: Ints,
    n_free: int,
    pressure: Floats,
    flow: Floats,
    is_cold: bool,
    is_balanced: bool,
    matrix: Floats,
    right: Floats,
    way: Floats,
    slope: Floats,
) -> float:
    """Bring flows and pressures to rest; the largest pressure left over [Pa], negative if not there."""
    scale = 0.0
    lowest, highest = np.inf, -np.inf
    for node in range(place.size):
        if place[node] < 0:
            lowest, highest = min(lowest, pressure[node]), max(highest, pressure[node])
    for branch in range(tail.size):
        if state[branch] != SHUT:
            scale = max(scale, abs(gain[branch]))
    scale = max(scale, highest - lowest)
    best = np.inf
    for step in range(MOST_STEPS):
        # linearise each branch, and balance every free node
        matrix[: n_free * n_free] = 0.0
        right[:] = 0.0
        left_over = 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            push = pressure[tail[branch]] - pressure[head[branch]]
            if is_cold and step == 0:
                slope[branch] = linear[branch] + SMOOTHEST + math.sqrt(scale * quadratic[branch])
                way[branch] = push + gain[branch]
            else:
                taken, slope[branch] = branch_law(
                    flow[branch], quadratic[branch], linear[branch], gain[branch], state[branch],
                    push + gain[branch],
                )  # fmt: skip
                way[branch] = push - taken
                left_over = max(left_over, abs(way[branch]))
            ease = 1.0 / slope[branch]
            new = flow[branch] + way[branch] * ease
            i, j = place[tail[branch]], place[head[branch]]
            if i >= 0:
                matrix[i * n_free + i] += ease
                right[i] -= new
            if j >= 0:
                matrix[j * n_free + j] += ease
                right[j] += new
            if i >= 0 and j >= 0:
                matrix[i * n_free + j] -= ease
                matrix[j * n_free + i] -= ease
        solve_symmetric(matrix, right, n_free)
        change, largest, fall = 0.0, 0.0, 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            i, j = place[tail[branch]], place[head[branch]]
            rise = (right[i] if i >= 0 else 0.0) - (right[j] if j >= 0 else 0.0)
            way[branch] = (way[branch] + rise) / slope[branch]
            fall += way[branch] * way[branch] * slope[branch]
            change = max(change, abs(way[branch]))
            largest = max(largest, abs(flow[branch]))
        for node in range(place.size):
            if place[node] >= 0:
                pressure[node] += right[place[node]]
        share = 1.0
        if step > 0 or is_balanced:
            share = _share_of_step(tail, head, quadratic, linear, gain, state, pressure, flow, way, fall)
        for branch in range(tail.size):
            if state[branch] != SHUT:
                flow[branch] += share * way[branch]
        # at the bottom the steps are roundings and stop to shrink
        is_small = change <= 1e-9 * largest + 1e-10
        is_still = share == 1.0 and change <= 1e-6 * largest and change >= 0.5 * best
        if (is_small or is_still) and left_over <= 1e-6 * scale + 1e-9 and step > 0:
            return left_over
        best = min(best, change)
    return -1.0
