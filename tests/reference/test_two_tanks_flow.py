"""Layout L6: where the liquid goes, held against what `docs/guide/layout-l6.md` says of it.

Every sentence of that page has a test here or in `test_two_tanks_temperature`, in the order of the page.
They follow from three laws: a mixed tank, plug flow, a chiller that takes a fixed number of kelvin
off what passes.  The 14 K is common practice, no source; the rest is invented.
"""

import numpy as np
import pytest

from tests.reference.declared_runs import HOUR, band, mean, run, samples
from tests.reference.two_tanks import BANK, BOTH, DROP, FLOW, hunting, passes, warm

DELIVERY_SWAPPED = {"L-104.rank": "1", "L-110.rank": "2"}
RING_SWAPPED = {"L-106.rank": "1", "L-109.rank": "2"}


# --- what the ring gives


@pytest.mark.parametrize("waiting", [20, 30, 40, 55, 70])
@pytest.mark.parametrize("takes", [24.0, 12.0])
def test_ring_gives_its_flow_by_the_passes_and_by_what_the_delivery_takes(waiting, takes):
    """q = 1 / ((n - 1) / (N q_max) + 1 / q_d), which is N q_max / n only where q_d = N q_max.

    The return tank gives nothing.  Four minutes hold two cycles of 60 s at least; a cut one is within 8 %.
    """
    changes = warm(
        waiting,
        P_103__capacity=f"{takes} kg/s",
        P_101__capacity="1 g/s",
        MC_601__heat="0 kW",
        start__TK_102__level="0.9",
    )
    result = run("two-tanks-s", changes, hours=0.1, interval=1.0)
    n = passes(waiting)
    worked = 1.0 / ((n - 1) / BANK + 1.0 / takes)
    cycle = 360.0 * ((n - 1) / BANK + 1.0 / takes)
    whole = cycle * int(240.0 / cycle)

    assert mean(result, "MC-601", "flow", 61.0, 60.0 + whole) == pytest.approx(worked, rel=0.08)
    if takes == BANK:
        assert worked == pytest.approx(BANK / n)
        assert mean(result, "CH-201", "flow", 61.0, 60.0 + whole) == pytest.approx(BANK, rel=1e-6)
    flow, leaves = (samples(result, "L-110", what, 60.0) for what in ("flow", "outlet temperature"))
    made = waiting - n * DROP
    # the tick at each edge of a slug takes in the half kilogram that stood in the way back
    assert np.median(leaves[flow > 0.0]) == pytest.approx(made, abs=0.01)
    assert np.average(leaves, weights=flow) == pytest.approx(made, abs=0.25)


# --- above the first set point


@BOTH
def test_above_the_first_set_point_all_goes_to_the_waiting_tank(name):
    result = hunting(name, 800, begin=60, hours=0.3, interval=1.0)

    assert band(result, "TK-101", "temperature", 2.0)[0] > 22.0
    assert band(result, "L-104", "flow", 2.0)[2] == 0.0
    assert band(result, "L-103", "flow", 2.0)[::2] == (FLOW, FLOW)
    # so the consumers have the ring's outlet only, or the supply tank's content
    if name == "two-tanks-s":
        assert samples(result, "MC-601", "flow", 2.0) == pytest.approx(samples(result, "L-110", "flow", 2.0))


def test_full_tanks_back_up_and_the_return_line_stops_while_the_ring_recirculates():
    changes = warm(
        60,
        TK_101__volume="8 m3",
        TK_102__volume="6 m3",
        start__TK_101__level="1.0",
        start__TK_102__level="1.0",
        MC_601__heat="100 kW",
    )
    result = run("two-tanks-s", changes, hours=0.2, interval=1.0)
    out, into, back = (samples(result, tag, "flow", 60.0) for tag in ("L-110", "L-103", "L-134"))

    # what the ring lets go is all that moves anywhere
    assert into == pytest.approx(out)
    assert back == pytest.approx(out)
    assert set(np.round(out, 6)) == {0.0, FLOW}
    assert band(result, "TK-101", "level")[0] == pytest.approx(1.0)


def test_full_waiting_tank_backs_up_the_return_tank():
    """The return line goes on: its tank takes what the waiting tank does not."""
    changes = warm(
        60,
        TK_102__volume="6 m3",
        start__TK_102__level="0.9",
        start__TK_101__level="0.5",
        start__TK_103__level="0.5",
        MC_601__heat="1400 kW",
    )
    result = run("three-tanks-s", changes, hours=0.5, interval=1.0)

    assert result["TK-102"]["level"].max == pytest.approx(1.0)
    # three passes: 8 kg/s leave the waiting tank, and 12 come home for a while
    assert mean(result, "L-103", "flow", 0.3 * HOUR) == pytest.approx(8.0, rel=0.05)
    assert band(result, "L-134", "flow", 10.0)[::2] == (FLOW, FLOW)
    assert result["TK-101"]["level"].last > 0.5 + 0.02


# --- at or below the first set point


def mixed_start(name, heat="0 kW", **changes):
    """The return tank is cold enough, while the waiting tank and the ring hold liquid for two passes."""
    return run(
        name,
        warm(40, start__TK_102__level="0.5", MC_601__heat=heat)
        | {"start.TK-101.temperature": "20 degC"}
        | changes,
        hours=0.1,
        interval=1.0,
    )


def test_below_the_first_set_point_the_ring_works_off_the_waiting_tank_with_priority():
    result = mixed_start("two-tanks-s")
    direct, ring = samples(result, "L-104", "flow", 3.0), samples(result, "L-110", "flow", 3.0)

    assert band(result, "L-103", "flow", 3.0)[2] == 0.0
    # the direct line has what the ring leaves of the consumers' flow: nothing, or all
    assert direct + ring == pytest.approx(np.full(direct.size, FLOW))
    assert set(np.round(direct, 6)) == {0.0, FLOW}
    assert result["TK-102"]["mass"].last == pytest.approx(
        result["TK-102"]["mass"].first - ring.sum(), rel=0.05
    )
    assert ring.mean() == pytest.approx(1.0 / (1.0 / BANK + 1.0 / FLOW), rel=0.05)


def test_without_delivery_priority_the_chillers_stand_while_the_direct_line_flows():
    result = mixed_start("two-tanks-s", **DELIVERY_SWAPPED)

    # once what is in the ring is cold enough it cannot leave
    assert band(result, "L-110", "flow", 60.0)[2] == 0.0
    assert band(result, "CH-201", "flow", 60.0)[2] == 0.0
    assert band(result, "L-104", "flow", 60.0)[::2] == (FLOW, FLOW)
    assert result["TK-102"]["mass"].last == pytest.approx(result["TK-102"]["mass"].first, abs=60.0)


def test_without_delivery_priority_the_waiting_tank_never_empties():
    """One pass suffices: the plant keeps its balance, but what waits at the start waits for ever."""
    right, wrong = hunting("two-tanks-s", 500), hunting("two-tanks-s", 500, **DELIVERY_SWAPPED)

    assert band(right, "TK-102", "level", 2 * HOUR)[2] < 0.02
    assert band(wrong, "TK-102", "level", 2 * HOUR)[0] > 0.29
    # the share of liquid that is chilled is the same: the consumers' heat says it
    assert mean(wrong, "L-110", "flow", 2 * HOUR) == pytest.approx(
        mean(right, "L-110", "flow", 2 * HOUR), rel=0.01
    )


def test_without_delivery_priority_the_waiting_tank_fills_where_two_passes_are_needed():
    """Set points 40 and 22 degC: it takes all liquid there is, until the return tank runs empty."""
    right, wrong = hunting("two-tanks-s", 500, 40), hunting("two-tanks-s", 500, 40, **DELIVERY_SWAPPED)

    assert mean(right, "TK-102", "level", 4 * HOUR) < 0.02
    assert mean(wrong, "TK-102", "level", 4 * HOUR) > 0.65
    assert band(wrong, "TK-101", "level", 4 * HOUR)[0] < 0.02


def test_delivery_priority_says_nothing_where_the_delivery_takes_both():
    right, wrong = hunting("three-tanks-s", 500, 40), hunting("three-tanks-s", 500, 40, **DELIVERY_SWAPPED)

    assert np.array_equal(right.values, wrong.values, equal_nan=True)


# --- the ring's own junction


@BOTH
@pytest.mark.parametrize("first", [22, 40])
def test_ring_locks_when_fresh_liquid_comes_before_its_own(name, first):
    result = hunting(name, 500, first, begin=first + 2, **RING_SWAPPED)

    assert [event.tag for event in result.events if event.code == "standing"]
    for tag in ("CH-201", "L-109", "L-110"):
        assert band(result, tag, "flow", HOUR)[2] == 0.0, tag
    assert mean(result, "MC-601", "flow", 2 * HOUR) == 0.0
    assert result.switch_changes["TSH-120"] == 0


@BOTH
@pytest.mark.parametrize("first", [22, 40])
def test_ring_does_not_lock_when_its_own_liquid_comes_first(name, first):
    result = hunting(name, 500, first, begin=first + 2)

    assert not [event for event in result.events if event.code == "standing"]
    assert mean(result, "CH-201", "cooling", 2 * HOUR) / 1e3 == pytest.approx(500.0, rel=0.02)


# --- sizes


@pytest.mark.parametrize(("volume", "backs_up"), [(0.75, True), (1.1, False)])
def test_waiting_tank_holds_what_arrives_while_the_ring_makes_its_passes(volume, backs_up):
    """(n - 1) m_ring / (N q_max) seconds in which nothing leaves, at 12 kg/s: 180 kg a recirculation.

    Measured in that mass above the tank's lowest level, with what the ring draws in between.
    """
    arrives = (2 - 1) * 360.0 / BANK * FLOW
    kilograms = 200.0 + arrives * volume
    changes = {
        "TK-102.highest_level": f"{kilograms / 20_000.0:.6f}",
        "TK-102.lowest_level": "0.01",
        "start.TK-102.level": "0.01",
    }
    result = hunting("three-tanks-s", 900, begin=38, hours=2.0, interval=1.0, **changes)
    blocked = (samples(result, "L-103", "flow", 600.0) < FLOW - 0.01).mean()

    assert (blocked > 0.02) == backs_up
