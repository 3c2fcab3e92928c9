"""The figures of test loop S stand in the numbers of its findings.

Common practice, no source: 14 K, 125 and 95 degC, 175 degC; all else is invented.  The printed figures
were worked out beside this package, by closed form and by a march in time.
"""

import pytest

from brinewright.checks import LoopCase
from brinewright.checks.audit import too_good, unaccounted
from brinewright.checks.charge import dry_start
from brinewright.checks.chilling import one_less, too_few
from brinewright.checks.holding import short_ride
from brinewright.checks.metal import hot_in_steady_running
from brinewright.checks.power import black_start, deficit
from brinewright.checks.steam import one_turbine_less, slow_to_warm
from brinewright.model.loop import Loop
from brinewright.run import simulate
from tests.checks.seeds import both, found, part, sound, values

ZERO = 273.15
ALONE = values(GR_901__import_limit="0 W")


def case(name="alloy-s", *changes):
    loop, rules, folder = sound(name)
    changed = both(*changes)(loop, rules)
    assert isinstance(changed, Loop)
    return LoopCase(changed, rules, folder=folder)


def number(measure, symbol):
    return next(number.value for number in measure.numbers if number.symbol == symbol)


def only(measures):
    return next(iter(measures))


def test_one_turbine_lost_leaves_the_soft_alloy_a_hair():
    measure = only(one_turbine_less(case()))

    assert measure.value - ZERO == pytest.approx(169.92, abs=0.01)
    assert measure.limit - ZERO == pytest.approx(170.0, abs=0.001)
    assert number(measure, "T_mean") - ZERO == pytest.approx(163.23, abs=0.01)
    assert not measure.is_broken


def test_with_three_turbines_its_normal_peak_is_too_hot():
    sound_peak = only(hot_in_steady_running(case()))
    peak = only(hot_in_steady_running(case("alloy-s", part("ST-401", count=2))))

    assert sound_peak.value - ZERO == pytest.approx(151.19, abs=0.01)
    assert sound_peak.limit - ZERO == pytest.approx(160.0, abs=0.001)
    assert peak.value - ZERO == pytest.approx(169.92, abs=0.01)
    assert peak.is_broken


def test_three_chillers_are_not_enough_and_four_nearly_idle_none():
    four, three = (only(too_few(case("bath-s", part("CH-201", count=count)))) for count in (3, 2))

    assert number(four, "N_needed") == 4.0
    assert number(four, "n") == pytest.approx(1.8386, abs=1e-4)
    assert number(four, "Phi_loop") / 1e3 == pytest.approx(1235.5, abs=0.1)
    assert number(three, "Phi_ch") / 1e3 == pytest.approx(1008.0)
    assert three.is_broken
    assert found("bath-s", part("CH-201", count=2), {"BW-F34"}).of("BW-F34")


def test_one_chiller_lost_leaves_227_kw_undone():
    measure = only(one_less(case("bath-s")))

    assert (number(measure, "Phi_loop") - number(measure, "Phi_ch")) / 1e3 == pytest.approx(227.5, abs=0.5)
    # and 240 kW shed, as printed, are enough
    assert number(measure, "Phi_shed") < 240e3


@pytest.mark.parametrize(
    ("name", "begin", "limit", "printed"),
    [
        ("series-s", 30.0, 175.0, 241.0),
        ("series-s", 20.0, 175.0, 257.0),
        ("alloy-s", 30.0, 175.0, 64.0),
        ("alloy-s", 20.0, 175.0, 68.0),
    ],
)
def test_dry_chillers_reach_the_limit_in_the_printed_times(name, begin, limit, printed):
    hot = values(CH_201__metal_limit=f"{limit} degC")
    loop_case = case(name, hot)
    loop_case.views["CH-201"].begins["temperature"] = begin + ZERO

    assert number(only(dry_start(loop_case)), "t_over") == pytest.approx(printed, abs=0.7)


def test_warm_up_lies_between_all_chillers_and_one_pass():
    measure = only(slow_to_warm(case("series-s")))

    assert number(measure, "E") / 1e6 == pytest.approx(1217.0, abs=0.5)
    assert number(measure, "t_all") == pytest.approx(860.0, abs=1.0)
    assert 860.0 < measure.value < 1719.0


def test_a_start_from_cold_takes_the_printed_energy():
    """Printed from a march in time, where the first passes draw more: 2 % and 3 %."""
    measure = only(black_start(case("series-s", ALONE)))

    assert number(measure, "E_thr") / 3.6e6 == pytest.approx(181.0, rel=0.02)
    assert number(measure, "E_start") / 3.6e6 == pytest.approx(214.0, rel=0.03)


@pytest.mark.parametrize(("differential", "dip", "battery"), [("1 K", -174.0, 15.1), ("2 K", -223.0, 20.5)])
def test_the_dips_of_a_hunting_plant_need_the_printed_battery(differential, dip, battery):
    """Each swing is some seconds of 900 s longer than in the march: 7 % of the battery."""
    loop, rules, folder = sound("series-s")
    hunting = values(TSH_110__differential=differential, TSH_120__differential=differential)
    changed = hunting(loop, rules)
    assert isinstance(changed, Loop)
    day = simulate(changed, rules, duration=8 * 3600.0, interval=10.0, folder=folder)
    alone = both(hunting, ALONE)(loop, rules)
    assert isinstance(alone, Loop)
    measure = next(
        measure
        for measure in deficit(LoopCase(alone, rules, folder=folder, day=day))
        if measure.quantity == "energy"
    )

    assert number(measure, "E_need") / 3.6e6 == pytest.approx(battery, rel=0.07)
    assert number(measure, "P_dip") / 1e3 == pytest.approx(dip, abs=5.0)
    assert measure.is_broken


def test_the_mean_balance_is_the_printed_one():
    measure = only(deficit(case("series-s", ALONE)))

    assert measure.value / 1e3 == pytest.approx(23.9, abs=0.1)
    assert number(measure, "COP_0") == pytest.approx(1.718, abs=1e-3)


def test_a_cold_tank_of_six_tonnes_lasts_227_seconds():
    """Printed from 10.3 to 22 degC at the full load; the run's tank stands within 0.2 K of that."""
    measure = only(short_ride(case("series-s")))

    assert number(measure, "t_tank") == pytest.approx(227.0, abs=5.0)


def test_the_audits_are_the_printed_ones():
    chillers, turbines = only(too_good(case("series-s"))), only(unaccounted(case("series-s")))

    assert chillers.value == pytest.approx(0.92, abs=0.005)
    assert turbines.value / 1e3 == pytest.approx(467.0, abs=0.5)
    assert number(turbines, "eta_C") == pytest.approx(0.122, abs=5e-4)
    assert number(turbines, "eta_A") == pytest.approx(0.301, abs=5e-4)
    assert number(turbines, "G") == pytest.approx(1.08, abs=0.005)
