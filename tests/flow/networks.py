"""Random islands with tees, junctions, rings and tanks, and a short way to solve one."""

import numpy as np

from brinewright.kernel.claims import order_of_claims, workspace
from brinewright.kernel.ranked import solve_ranked
from tests.flow.oracle import Island


def random_island(rng, largest=6):
    """Two to `largest` nodes; a ring through some of them more often than not."""
    n = int(rng.integers(2, largest + 1))
    m = int(rng.integers(n, 2 * n + 2))
    tail, head = rng.integers(0, n, m), rng.integers(0, n, m)
    if rng.random() < 0.6:
        ring = rng.permutation(n)[: int(rng.integers(2, n + 1))]
        tail = np.concatenate([tail, ring])
        head = np.concatenate([head, np.roll(ring, -1)])
    m = len(tail)
    cap = rng.integers(0, 9, m).astype(float) * rng.choice([1.0, 0.5])
    rank = rng.choice([0, 1, 2, 3], m, p=rng.choice([[0.4, 0.3, 0.2, 0.1], [0.1, 0.4, 0.4, 0.1]]))
    tanks = rng.permutation(n)[: int(rng.integers(1, max(2, n // 2 + 1)))]
    draw = rng.choice([0.0, 3.0, 50.0], len(tanks), p=[0.25, 0.25, 0.5])
    fill = rng.choice([0.0, 2.0, 50.0], len(tanks), p=[0.25, 0.25, 0.5])
    numbers = [list(map(int, a)) for a in (tail, head, rank, tanks)]
    tail, head, rank, tanks = numbers
    return Island(n, tail, head, cap.tolist(), rank, tanks, draw.tolist(), fill.tolist())


def solve(island):
    """Code, flow and standing marks of an island."""
    plan = order_of_claims(island.n, island.tail, island.head, island.rank, island.tanks)
    floats, ints = workspace(plan)
    flow, standing = np.full(island.m, np.nan), np.zeros(island.m, dtype=np.int64)
    code = solve_ranked(
        plan,
        np.array(island.cap),
        np.array(island.draw),
        np.array(island.fill),
        flow,
        standing,
        np.full(floats, np.nan),
        np.full(ints, -7, dtype=np.int64),
    )
    return code, flow, standing
