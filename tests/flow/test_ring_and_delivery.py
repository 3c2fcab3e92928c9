"""What the two junctions of a ring with two tanks do, and why their ranks are the right ones."""

import numpy as np
import pytest

from brinewright.kernel.ranked import SETTLED, STANDING
from tests.flow.networks import solve
from tests.flow.oracle import Island

RETURN_TANK, FIRST, WAITING_TANK, ENTRY, SECOND, DELIVERY = range(6)
BRANCHES = {
    "outlet of the return tank": (RETURN_TANK, FIRST, 10.0),
    "direct": (FIRST, DELIVERY, 10.0),
    "to the waiting tank": (FIRST, WAITING_TANK, 10.0),
    "fresh": (WAITING_TANK, ENTRY, 10.0),
    "chillers": (ENTRY, SECOND, 8.0),
    "recirculation": (SECOND, ENTRY, 8.0),
    "ring outlet": (SECOND, DELIVERY, 8.0),
    "consumers": (DELIVERY, RETURN_TANK, 10.0),
}
RIGHT = {"recirculation": 1, "fresh": 2, "ring outlet": 1, "direct": 2}
PLENTY = (1000.0, 1000.0)


def flows(shut=(), ranks=RIGHT, return_tank=PLENTY, waiting_tank=PLENTY, part_open=None):
    """Code and flow by name; a tank is (most it gives, most it takes)."""
    caps = {name: 0.0 if name in shut else cap for name, (_, _, cap) in BRANCHES.items()} | (part_open or {})
    tail, head, _ = zip(*BRANCHES.values(), strict=True)
    island = Island(
        6, tail, head, caps.values(), [ranks.get(name, 0) for name in BRANCHES],
        [RETURN_TANK, WAITING_TANK], *zip(return_tank, waiting_tank, strict=True),
    )  # fmt: skip
    code, flow, _ = solve(island)
    return code, dict(zip(BRANCHES, flow.tolist(), strict=True))


TURNS = ("ring outlet", "to the waiting tank")
DELIVERS = ("recirculation", "to the waiting tank")


def test_recirculation_goes_before_fresh_liquid():
    code, flow = flows(shut=TURNS)

    assert (code, flow["recirculation"], flow["chillers"], flow["fresh"]) == (SETTLED, 8.0, 8.0, 0.0)


def test_fresh_liquid_fills_what_the_ring_releases():
    half = {"recirculation": 4.0, "ring outlet": 4.0}
    code, flow = flows(shut=["to the waiting tank"], part_open=half)

    assert (code, flow["recirculation"], flow["ring outlet"], flow["fresh"]) == (SETTLED, 4.0, 4.0, 4.0)


def test_ring_outlet_goes_before_the_direct_line():
    code, flow = flows(shut=DELIVERS)

    assert (code, flow["ring outlet"], flow["direct"], flow["consumers"]) == (SETTLED, 8.0, 2.0, 10.0)


def test_direct_line_ranked_first_starves_the_ring_outlet():
    code, flow = flows(shut=DELIVERS, ranks=RIGHT | {"ring outlet": 2, "direct": 1})

    assert (code, flow["ring outlet"], flow["direct"], flow["fresh"]) == (SETTLED, 0.0, 10.0, 0.0)


def test_ring_locks_when_fresh_liquid_is_ranked_before_recirculation():
    code, flow = flows(shut=TURNS, ranks=RIGHT | {"recirculation": 2, "fresh": 1})

    assert code == STANDING
    assert flow["chillers"] == flow["recirculation"] == flow["fresh"] == 0.0


def test_locked_ring_turns_when_no_fresh_liquid_waits():
    code, flow = flows(shut=TURNS, ranks=RIGHT | {"recirculation": 2, "fresh": 1}, waiting_tank=(0.0, 1000.0))

    assert (code, flow["recirculation"], flow["fresh"]) == (SETTLED, 8.0, 0.0)


def test_locked_ring_lets_go_when_its_outlet_opens():
    reversed_ranks = RIGHT | {"recirculation": 2, "fresh": 1}
    code, flow = flows(shut=DELIVERS, ranks=reversed_ranks)

    assert (code, flow["fresh"], flow["ring outlet"]) == (SETTLED, 8.0, 8.0)


def test_ring_without_ranks_turns():
    code, flow = flows(shut=TURNS, ranks={})

    assert (code, flow["recirculation"]) == (SETTLED, 8.0)


def test_full_waiting_tank_passes_on_only_what_the_ring_takes():
    _, flow = flows(shut=["direct", "recirculation"], waiting_tank=(1000.0, 0.0))

    assert flow["to the waiting tank"] == flow["fresh"] == 8.0


def test_full_waiting_tank_backs_up_while_the_ring_turns():
    _, flow = flows(shut=["direct", "ring outlet"], waiting_tank=(1000.0, 0.0))

    assert flow["to the waiting tank"] == flow["outlet of the return tank"] == 0.0
    assert flow["recirculation"] == 8.0


def test_full_return_tank_stops_the_return_line_while_all_else_is_shut():
    _, flow = flows(shut=["direct", "to the waiting tank", "recirculation"], return_tank=(1000.0, 0.0))

    assert flow["consumers"] == flow["ring outlet"] == 0.0


def test_full_return_tank_passes_the_direct_flow_through():
    _, flow = flows(shut=DELIVERS, return_tank=(1000.0, 0.0))

    assert (flow["direct"], flow["consumers"], flow["ring outlet"]) == (10.0, 10.0, 0.0)


def test_empty_waiting_tank_gives_what_comes_in():
    _, flow = flows(
        shut=["recirculation", "direct"], waiting_tank=(0.0, 1000.0), part_open={"to the waiting tank": 3.0}
    )

    assert flow["to the waiting tank"] == flow["fresh"] == flow["ring outlet"] == 3.0


def merge(ranks, caps, way_on=10.0):
    """Flow of branches that leave one full tank and meet at a junction, whose way on is limited."""
    n = len(caps)
    island = Island(3, [0] * n + [1], [1] * n + [2], [*caps, way_on], [*ranks, 0], [0, 2], [999, 0], [0, 999])
    return solve(island)[1][:n].tolist()


def test_equal_ranks_share_evenly_and_leave_to_others_what_they_do_not_need():
    assert merge([1, 1, 1], [9.0, 9.0, 2.0]) == pytest.approx([4.0, 4.0, 2.0])
    assert merge([0, 0, 0, 0], [9.0, 9.0, 9.0, 9.0]) == pytest.approx([2.5] * 4)


def test_branch_without_rank_comes_last():
    assert merge([0, 3, 1], [9.0, 4.0, 5.0]) == [1.0, 4.0, 5.0]


def test_first_claim_up_the_lower_branch_takes_nothing_from_the_higher():
    # 0 -> v (rank 1); u -> v (rank 2); into u come g (rank 1) and h (rank 2); v lets 10 on
    u, v = 1, 2
    tail, head = [0, u, 0, 0, v], [v, v, u, u, 3]
    island = Island(4, tail, head, [10.0, 10.0, 10.0, 10.0, 10.0], [1, 2, 1, 2, 0], [0, 3], [99, 0], [0, 99])

    assert solve(island)[1].tolist() == [10.0, 0.0, 0.0, 0.0, 10.0]

    island.cap[0] = 4.0

    assert solve(island)[1].tolist() == [4.0, 6.0, 6.0, 0.0, 10.0]


def test_first_claim_with_a_way_out_of_its_own_takes_nothing_from_the_higher_either():
    u, v = 1, 2
    tail, head = [0, u, 0, 0, v, u], [v, v, u, u, 3, 3]
    island = Island(
        4, tail, head, [10.0, 10.0, 10.0, 10.0, 10.0, 2.0], [1, 2, 1, 2, 0, 0], [0, 3], [99, 0], [0, 99]
    )

    assert solve(island)[1].tolist() == [10.0, 0.0, 2.0, 0.0, 10.0, 2.0]


def test_tee_shares_evenly():
    island = Island(4, [0, 1, 1], [1, 2, 3], [9.0, 7.0, 2.0], [0, 0, 0], [0, 2, 3], [99, 0, 0], [0, 99, 99])

    assert solve(island)[1].tolist() == [9.0, 7.0, 2.0]

    island.cap[0] = 6.0

    np.testing.assert_allclose(solve(island)[1], [6.0, 4.0, 2.0])
