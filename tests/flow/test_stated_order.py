"""A plant whose order of claims is stated line by line has the flow that its ranks alone give."""

import itertools

import numpy as np
import pytest

from tests.flow.networks import solve
from tests.flow.oracle import Island, programme

TANK_A, SPLIT, MERGE, RING_SPLIT, TANK_B, DELIVERY = range(6)
TAIL = [TANK_A, SPLIT, SPLIT, MERGE, RING_SPLIT, RING_SPLIT, TANK_B, DELIVERY]
HEAD = [SPLIT, MERGE, DELIVERY, RING_SPLIT, MERGE, TANK_B, DELIVERY, TANK_A]
CAPACITY = [10.0, 10.0, 6.0, 10.0, 10.0, 10.0, 6.0, 6.0]
# recirculation before what comes to the merge, tank B before the direct line
RANK = [0, 2, 2, 0, 1, 0, 1, 0]
STATED = [1, 3, 6, 2, 7]
"""The benchmark plant: to the ring, chiller line, out of tank B, direct, return."""


def flow_by_stated_order(island):
    low, high = island.low.copy(), island.high.copy()
    for line in STATED:
        goal = np.zeros(island.width)
        goal[line] = -1.0
        low[line] = high[line] = -programme(
            goal, island.balance, np.zeros(island.n), low - 1e-12, high + 1e-12
        ).fun
    rest = programme(np.zeros(island.width), island.balance, np.zeros(island.n), low - 1e-11, high + 1e-11)
    return rest.x[: island.m]


@pytest.mark.parametrize(("first_is_warm", "ring_is_warm"), [*itertools.product([False, True], repeat=2)])
def test_ranks_alone_give_the_stated_order_of_claims(first_is_warm, ring_is_warm):
    capacity = CAPACITY.copy()
    capacity[2 if first_is_warm else 1] = 0.0
    capacity[5 if ring_is_warm else 4] = 0.0
    for draw_a, fill_a, draw_b, fill_b in itertools.product([0.0, 2.5, 1e3], repeat=4):
        island = Island(6, TAIL, HEAD, capacity, RANK, [TANK_A, TANK_B], [draw_a, draw_b], [fill_a, fill_b])

        np.testing.assert_allclose(solve(island)[1], flow_by_stated_order(island), atol=1e-6)
