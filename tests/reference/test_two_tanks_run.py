"""Layout L6, return tank, waiting tank and ring, held against what `docs/guide/layout-l6.md` says of it.

Every sentence of that page has a test here, in the order of the page.  They follow from three laws:
a mixed tank, plug flow, a chiller that takes a fixed number of kelvin off what passes.  The 14 K is
common practice, no source; the rest is invented.  `two-tanks-s` has nothing behind the delivery
junction but the consumers' pump of 12 kg/s; `three-tanks-s` has a supply tank there.
"""

import math

import numpy as np
import pytest

from tests.reference.declared_runs import HOUR, band, mean, run, samples

DROP, CP, FLOW, BANK = 14.0, 4e3, 12.0, 24.0
"""Drop of a pass [K], heat capacity [J/(kg K)], consumers' flow and that of the four chillers [kg/s]."""
RING = ("L-105", "L-106", "L-107", "L-108", "L-109")
DELIVERY_SWAPPED = {"L-104.rank": "1", "L-110.rank": "2"}
RING_SWAPPED = {"L-106.rank": "1", "L-109.rank": "2"}
BOTH = pytest.mark.parametrize("name", ["two-tanks-s", "three-tanks-s"])


def warm(degrees, **changes):
    """Return changes that begin with both tanks and the ring at one temperature [degC]."""
    begin = {f"start.{tag}.temperature": f"{degrees} degC" for tag in ("TK-101", "TK-102", *RING)}
    return begin | {key.replace("__", ".").replace("_", "-"): text for key, text in changes.items()}


def hunting(name, load, first=22, second=22, *, begin=None, hours=6.0, interval=5.0, **changes):
    """Run with a load [kW] and the two set points [degC]."""
    sets = {
        "MC-601.heat": f"{load} kW",
        "TSH-110.set": f"{first} degC",
        "TSH-120.set": f"{second} degC",
    }
    begin = max(first, second) + 2 if begin is None else begin
    return run(name, warm(begin) | sets | changes, hours=hours, interval=interval)


def passes(temperature, set_point=22.0):
    """Return the passes that liquid needs in a ring which it enters in any case."""
    return max(1, math.ceil((temperature - set_point) / DROP))


def delivered(result, begin=0.0):
    """Return flow [kg/s] and temperature [degC] of what enters the delivery junction, line by line."""
    pairs = []
    for tag in ("L-104", "L-110"):
        flow = samples(result, tag, "flow", begin)
        pairs.append((flow[flow > 0.0], samples(result, tag, "outlet temperature", begin)[flow > 0.0]))
    flow, temperature = (np.concatenate(column) for column in zip(*pairs, strict=True))
    return flow, temperature


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


# --- where the return tank comes to rest


@BOTH
@pytest.mark.parametrize("load", [100, 300, 500, 650])
def test_one_pass_enough_the_return_tank_hunts_about_the_first_set_point(name, load):
    """And the share that is chilled is u = Phi / (q c_p drop); 0.1 K of ticks, 2 % of a cut period."""
    result = hunting(name, load, hours=10.0)
    u = load * 1e3 / (FLOW * CP * DROP)

    # 650 kW leave 22 kW to bring 20 t down from the start
    low, middle, high = band(result, "TK-101", "temperature", 6 * HOUR)
    assert middle == pytest.approx(22.0, abs=0.1)
    assert high - low < 0.25
    assert mean(result, "L-110", "flow", 6 * HOUR) / FLOW == pytest.approx(u, rel=0.02)
    assert mean(result, "L-104", "flow", 6 * HOUR) / FLOW == pytest.approx(1.0 - u, abs=0.02)


@pytest.mark.parametrize(("first", "load"), [(40, 500), (40, 900), (51, 900)])
def test_a_high_first_set_point_gives_more_passes_to_a_smaller_share(first, load):
    """Liquid just above T1 makes n = ceil((T1 - T2) / drop) passes: u = Phi / (q c_p n drop)."""
    result = hunting("three-tanks-s", load, first)
    n = passes(first + 0.01)

    assert n == (2 if first == 40 else 3)
    assert mean(result, "TK-101", "temperature", 2 * HOUR) == pytest.approx(first, abs=0.15)
    assert mean(result, "L-110", "flow", 2 * HOUR) / FLOW == pytest.approx(
        load * 1e3 / (FLOW * CP * n * DROP), rel=0.04
    )


@pytest.mark.parametrize(("first", "second"), [(22, 22), (26, 22), (22, 26), (22, 30), (30, 22)])
@pytest.mark.parametrize("load", [900, 1235])
def test_with_more_load_the_return_tank_climbs_to_the_next_pass_boundary(first, second, load):
    """T2 + drop, with no direct share; 0.4 K because a slug of 360 kg is decided as a whole."""
    result = hunting("three-tanks-s", load, first, second, hours=8.0)

    low, middle, high = band(result, "TK-101", "temperature", 4 * HOUR)
    assert middle == pytest.approx(second + DROP, abs=0.4)
    assert high - low < 1.0
    assert band(result, "L-104", "flow", 4 * HOUR)[2] == 0.0


@pytest.mark.parametrize(("load", "holds"), [(1340, True), (1350, False)])
def test_with_a_supply_tank_it_runs_away_only_beyond_the_bank_s_capacity(load, holds):
    """N q_max c_p drop = 1344 kW; beyond it the excess warms all liquid."""
    result = hunting("three-tanks-s", load, begin=36, hours=16.0, interval=60.0)
    climb = mean(result, "TK-101", "temperature", 15 * HOUR) - mean(
        result, "TK-101", "temperature", 7 * HOUR, 8 * HOUR
    )

    assert BANK * CP * DROP == pytest.approx(1344e3)
    if holds:
        # 4 kW of reserve bring it down until it hunts
        assert climb < 0.5
        assert mean(result, "TK-101", "temperature", 15 * HOUR) < 37.5
    else:
        # 6 kW into 20 m3 for 7.5 h would be 2 K; liquid that comes off other passes shifts that
        assert climb > 1.0


CAPACITY = [BANK * CP * DROP * n / (n - 1 + BANK / FLOW) / 1e3 for n in range(1, 8)]
"""Of a ring whose delivery takes 12 kg/s, with n passes: q_net c_p n drop [kW]."""


@pytest.mark.parametrize(("load", "number"), [(850, 1), (950, 2), (1050, 3)])
def test_without_a_supply_tank_it_climbs_to_the_boundary_whose_passes_carry_the_load(load, number):
    """Not N q_max c_p drop but what is left of it while the ring delivers at 12 kg/s.

    672, 896, 1008, 1075 kW with 1, 2, 3, 4 passes; so 850 kW stand at T2 + drop, 950 at T2 + 2 drop.
    The waiting tank shows it, for the return tank is drawn empty and follows what comes.
    """
    assert CAPACITY[:4] == pytest.approx([672.0, 896.0, 1008.0, 1075.2])
    assert CAPACITY[number - 1] < load < CAPACITY[number]
    result = hunting("two-tanks-s", load, begin=36, hours=24.0, interval=10.0)

    assert mean(result, "TK-102", "temperature", 16 * HOUR) == pytest.approx(22.0 + number * DROP, abs=0.3)
    # and the consumers' flow falls with it, which they feel as heat
    assert mean(result, "MC-601", "flow", 16 * HOUR) < 0.8 * FLOW
    assert any(event.code == "too-warm" for event in result.events)


# --- coldest and warmest


@BOTH
@pytest.mark.parametrize(("first", "second"), [(22, 22), (26, 22), (22, 26)])
def test_delivered_liquid_keeps_its_bounds_once_warm(name, first, second):
    """Coldest min(T1, T2) - drop, warmest max(T1, T2): but for a tick's late decision, 0.1 K in a tank."""
    _, temperature = delivered(hunting(name, 500, first, second, interval=1.0), 2 * HOUR)

    assert temperature.min() > min(first, second) - DROP
    assert temperature.max() <= max(first, second) + 0.1
    # both are reached: from just above T1 one pass down, and direct at T1
    assert temperature.min() == pytest.approx(first - DROP, abs=0.1)
    assert temperature.max() == pytest.approx(first, abs=0.1)


@pytest.mark.parametrize(("first", "second"), [(22, 22), (26, 22), (22, 26)])
@pytest.mark.parametrize("load", [900, 1235])
def test_bounds_hold_at_the_pass_boundary_but_for_the_edges_of_slugs(first, second, load):
    """An edge that falls inside a tick is decided with its neighbours: its part makes one pass too many.

    Under 1 % of what is delivered, and never more than one drop below; nothing is ever too warm.
    """
    flow, temperature = delivered(
        hunting("three-tanks-s", load, first, second, hours=8.0, interval=1.0), 4 * HOUR
    )
    coldest = min(first, second) - DROP

    assert flow[temperature < coldest - 0.1].sum() < 0.01 * flow.sum()
    assert temperature.min() > coldest - DROP
    assert temperature.max() <= max(first, second) + 0.1
    # the warmest comes off the ring, at T2, and the coldest one pass below that
    assert temperature.max() == pytest.approx(second, abs=0.1)
    assert np.quantile(temperature, 0.02) == pytest.approx(second - DROP, abs=1.0)


def test_equal_set_points_keep_every_parcel_within_one_drop():
    """(T_s - drop, T_s]"""
    _, temperature = delivered(hunting("two-tanks-s", 500, interval=1.0), 2 * HOUR)

    assert temperature.min() > 22.0 - DROP
    assert temperature.max() <= 22.0 + 0.01


@pytest.mark.parametrize(("waiting", "coldest"), [(20, 6.0), (10, -4.0)])
def test_cool_waiting_tank_is_chilled_all_the_same(waiting, coldest):
    """One pass at least: 20 degC leaves at 6 and 10 degC at -4."""
    changes = warm(waiting, P_101__capacity="1 g/s", start__TK_102__level="0.5")
    flow, temperature = delivered(run("two-tanks-s", changes, hours=0.05, interval=1.0), 60.0)

    assert temperature == pytest.approx(np.full(flow.size, coldest), abs=0.01)


PERMISSIVE = """
[[switch]]
tag = "TSH-102"
sense = "high"
senses = "TK-102 temperature"
set = "22 degC"
drives = [{ pump = "P-102", made = "run" }]
"""


@pytest.mark.parametrize("waiting", [20, 10])
def test_permissive_keeps_a_cool_waiting_tank_from_being_chilled(waiting):
    """T_B > T2 before the ring may draw: nothing colder than T2 - drop, and the plant gets going."""
    changes = warm(24) | {"start.TK-102.temperature": f"{waiting} degC", "start.TK-102.level": "0.1"}
    bare = run("three-tanks-s", changes, hours=4.0, interval=1.0)
    guarded = run("three-tanks-s", changes, hours=4.0, interval=1.0, more=PERMISSIVE)

    # the first seconds are what stood in the ring
    assert delivered(bare, 20.0)[1].min() < 22.0 - DROP - 1.0
    assert delivered(guarded, 20.0)[1].min() >= 22.0 - DROP
    assert mean(guarded, "TK-101", "temperature", 2 * HOUR) == pytest.approx(22.0, abs=0.1)
    assert mean(guarded, "L-110", "flow", 2 * HOUR) == pytest.approx(
        mean(bare, "L-110", "flow", 2 * HOUR), rel=0.02
    )


def test_supply_swings_by_a_whole_drop_unless_a_mixing_volume_follows():
    swings = [
        np.ptp(band(hunting(name, 500), "L-133", "outlet temperature", 2 * HOUR)[::2])
        for name in ("two-tanks-s", "three-tanks-s")
    ]

    assert swings[0] == pytest.approx(DROP, abs=0.1)
    assert swings[1] < 0.15 * DROP


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
