"""Random islands of pipes, pumps, check valves and tanks, and a short way to solve one."""

import itertools

import numpy as np
from scipy.optimize import root

from brinewright.kernel.branch_law import CHECK, OPEN, SHUT, SMOOTHEST
from brinewright.kernel.pressure import pressure_workspace, solve_pressure


class Pipes:
    """A pressure network in plain arrays."""

    def __init__(self, tail, head, quadratic, linear, gain, gate, fixed, pressure):
        self.tail, self.head = np.array(tail), np.array(head)
        self.quadratic, self.linear = np.array(quadratic, float), np.array(linear, float)
        self.gain, self.gate = np.array(gain, float), np.array(gate)
        self.fixed, self.pressure = np.array(fixed), np.array(pressure, float)

    def balance(self, flow):
        """What enters each node less what leaves it."""
        n = len(self.fixed)
        return np.bincount(self.head, flow, n) - np.bincount(self.tail, flow, n)

    def unexplained(self, flow, pressure):
        """Pressure that each branch leaves over."""
        taken = self.quadratic * flow * abs(flow) + (self.linear + SMOOTHEST) * flow - self.gain
        return pressure[self.tail] - pressure[self.head] - taken


def random_pipes(rng, gates=(OPEN,), largest=5):
    """A tree to hold it together, some branches more, one to three fixed nodes, some pumps."""
    n = int(rng.integers(2, largest + 1)) + 1
    pairs = [(int(rng.integers(0, v)), v) for v in range(1, n)]
    for _ in range(int(rng.integers(0, n + 1))):
        a, b = rng.choice(n, 2, replace=False)
        pairs.append((int(a), int(b)))
    pairs = [pair if rng.random() < 0.5 else pair[::-1] for pair in pairs]
    m = len(pairs)
    fixed = np.zeros(n, dtype=np.int64)
    fixed[rng.choice(n, int(rng.integers(1, min(n, 4))), replace=False)] = 1
    return Pipes(
        [a for a, _ in pairs],
        [b for _, b in pairs],
        10 ** rng.uniform(1.0, 5.0, m),
        10 ** rng.uniform(0.0, 3.0, m),
        np.where(rng.random(m) < 0.4, rng.uniform(-1e4, 2e5, m), 0.0),
        rng.choice(gates, m),
        fixed,
        np.where(fixed, rng.uniform(1e5, 3e5, n), 2e5),
    )


def solve(pipes, flow=None, pressure=None):
    """Code, flow, pressure and report."""
    flow = np.zeros(len(pipes.tail)) if flow is None else flow.copy()
    pressure = pipes.pressure.copy() if pressure is None else pressure.copy()
    report = np.zeros(2)
    floats, ints = pressure_workspace(len(pipes.fixed), len(pipes.tail))
    code = solve_pressure(
        pipes.tail, pipes.head, pipes.quadratic, pipes.linear, pipes.gain, pipes.gate, pipes.fixed,
        pressure, flow, report, np.full(floats, np.nan), np.full(ints, -7, dtype=np.int64),
    )  # fmt: skip
    return code, flow, pressure, report


def found_by_root(pipes, rng):
    """Flow and pressure from a general root finder on all equations at once; None if it gives up.

    Shut branches have no flow.  Check valves are tried both ways until all agree.
    """
    m = len(pipes.tail)
    checks = np.flatnonzero(pipes.gate == CHECK)
    scale = 1e5
    for closed in itertools.product([False, True], repeat=len(checks)):
        shut = pipes.gate == SHUT
        shut[checks] = closed

        def equations(x, shut=shut):
            flow, pressure = x[:m], x[m:] * scale
            along = np.where(shut, flow, pipes.unexplained(flow, pressure) / scale)
            at = np.where(pipes.fixed == 1, (pressure - pipes.pressure) / scale, pipes.balance(flow))
            return np.concatenate([along, at])

        for _ in range(20):
            start = np.concatenate([rng.normal(0.0, 3.0, m) * ~shut, pipes.pressure / scale])
            found = root(equations, start, method="hybr", tol=1e-13)
            if found.success and np.abs(equations(found.x)).max() < 1e-9:
                flow, pressure = found.x[:m], found.x[m:] * scale
                push = pressure[pipes.tail] - pressure[pipes.head] + pipes.gain
                if np.all(flow[checks] >= -1e-9) and np.all(push[checks][list(closed)] <= 1e-3):
                    return flow, pressure
                break
    return None
