"""Flow of stylised islands against the rule of ranks, written down in linear programmes."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from brinewright.kernel import ranked
from tests.flow.networks import random_island, solve
from tests.flow.oracle import Island, ranked_flow

SETTLED, STANDING = ranked.SETTLED, ranked.STANDING

# the programmes are solved to 1e-7 in the units of the flow
PROGRAMME = 1e-6


def agrees_with_programmes(seed, count):
    rng = np.random.default_rng(seed)
    standing = 0
    for number in range(count):
        island = random_island(rng)
        code, flow, stands = solve(island)
        expected, expected_stands = ranked_flow(island)
        standing += code == STANDING

        where = f"seed {seed}, network {number}: {vars(island)}"
        np.testing.assert_allclose(flow, expected, atol=PROGRAMME, err_msg=where)
        # the solver marks all branches of a chain, the programmes the last one
        assert np.all(stands >= expected_stands), where
        assert (code == STANDING) == bool(expected_stands.any()), where
    return standing


def test_flow_is_what_linear_programmes_find_class_by_class():
    standing = agrees_with_programmes(seed=1, count=300)

    assert standing > 10  # the rule of right of way was at work in some of them


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 110))
def test_flow_is_what_linear_programmes_find_in_ten_times_250_networks(seed):
    assert agrees_with_programmes(seed, count=250) > 5


def test_no_junction_loses_liquid_and_no_branch_or_tank_passes_its_limit():
    rng = np.random.default_rng(2)
    for _ in range(400):
        island = random_island(rng, largest=14)
        code, flow, _ = solve(island)
        net = np.bincount(island.tail, flow, island.n) - np.bincount(island.head, flow, island.n)

        assert code in (SETTLED, STANDING)
        assert np.all(flow >= 0)
        assert np.all(flow <= island.cap)
        limits = dict(zip(island.tanks, zip(island.draw, island.fill, strict=True), strict=True))
        for node in range(island.n):
            draw, fill = limits.get(node, (0.0, 0.0))
            # 1e-10: a few roundings of the room that counts as none
            assert -fill - 1e-10 <= net[node] <= draw + 1e-10


def test_numbering_of_nodes_and_branches_does_not_matter():
    rng = np.random.default_rng(3)
    for _ in range(400):
        island = random_island(rng, largest=10)
        names, order = rng.permutation(island.n), rng.permutation(island.m)
        seats = rng.permutation(len(island.tanks))
        other = Island(
            island.n,
            [int(names[island.tail[b]]) for b in order],
            [int(names[island.head[b]]) for b in order],
            [island.cap[b] for b in order],
            [island.rank[b] for b in order],
            [int(names[island.tanks[t]]) for t in seats],
            [island.draw[t] for t in seats],
            [island.fill[t] for t in seats],
        )
        code, flow, stands = solve(island)
        other_code, other_flow, other_stands = solve(other)

        assert other_code == code
        np.testing.assert_allclose(other_flow, flow[order], atol=1e-9)
        np.testing.assert_array_equal(other_stands, stands[order])


@pytest.mark.parametrize("factor", [0.125, 0.3, 7.0, 64.0])
def test_flow_grows_with_all_limits(factor):
    rng = np.random.default_rng(4)
    for _ in range(100):
        island = random_island(rng, largest=10)
        bigger = Island(
            island.n, island.tail, island.head, [c * factor for c in island.cap], island.rank,
            island.tanks, [d * factor for d in island.draw], [f * factor for f in island.fill],
        )  # fmt: skip

        np.testing.assert_allclose(solve(bigger)[1], factor * solve(island)[1], atol=1e-9)


def many_flows():
    rng = np.random.default_rng(5)
    return np.concatenate([solve(random_island(rng, largest=9))[1] for _ in range(150)])


def test_uncompiled_source_gives_the_same_bits():
    code = "from tests.flow import test_ranked as t; print(t.many_flows().tobytes().hex(), end='')"
    root = Path(__file__).parents[2]
    environment = {
        **os.environ,
        "BRINEWRIGHT_UNCOMPILED": "0" if os.environ.get("BRINEWRIGHT_UNCOMPILED") == "1" else "1",
        "PYTHONPATH": os.pathsep.join([str(root / "src"), str(root)]),
    }
    other = subprocess.run(
        [sys.executable, "-c", code], env=environment, check=True, capture_output=True, text=True
    )

    assert many_flows().tobytes().hex() == other.stdout
