"""Layout L6: how warm it is, held against what `docs/guide/layout-l6.md` says of it.

Every sentence of that page has a test here or in `test_two_tanks_flow`, in the order of the page.
They follow from three laws: a mixed tank, plug flow, a chiller that takes a fixed number of kelvin
off what passes.  The 14 K is common practice, no source; the rest is invented.
"""

import numpy as np
import pytest

from tests.reference.declared_runs import HOUR, band, mean, run
from tests.reference.two_tanks import BANK, BOTH, CP, DROP, FLOW, delivered, hunting, passes, warm

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


def test_edges_of_slugs_are_few_where_the_delivery_is_slower_than_the_ring_too():
    """Under 1.5 %, though at 12 kg/s an edge takes twice as long past the valve; within one drop."""
    flow, temperature = delivered(hunting("two-tanks-s", 900, interval=1.0), 2 * HOUR)
    share = flow[temperature < 22.0 - DROP - 0.1].sum() / flow.sum()

    assert share < 0.015
    assert temperature.min() > 22.0 - 2 * DROP
    assert temperature.max() <= 22.0 + 0.1


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
