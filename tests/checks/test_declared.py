"""A loop seen as the plant of the closed form: its numbers are those that stand in its files."""

from dataclasses import replace
from pathlib import Path

import pytest

import brinewright as bw
from brinewright.checks.case import LoopCase
from brinewright.checks.circulation import largest_flow
from brinewright.checks.declared import Declared, NoPlant, declared_plant
from brinewright.checks.timeline import Timeline
from brinewright.files import parse_design
from brinewright.model.loop import Loop, Schedule
from tests.reference.test_worked_example_stylised import PLANT

LOOPS = Path(__file__).parents[1] / "reference" / "loops"
ZERO = 273.15


def loop_s() -> LoopCase:
    loop, rules = parse_design((LOOPS / "series-s.loop.toml").read_text(encoding="utf-8"), LOOPS)
    return LoopCase(loop, rules, folder=LOOPS)


def second_vessel(loop):
    return next(replace(part, tag="VE-302") for part in loop.parts if part.tag == "VE-301")


def plant_of(case: LoopCase) -> Declared:
    declared = declared_plant(case)
    assert isinstance(declared, Declared)
    return declared


def ridge(name="kettle-ridge", change=None):
    loop = bw.read_loop(bw.scenario(name))
    return LoopCase(change(loop) if change else loop, bw.read_rulebook("kettle"))


def changed(tag, **what):
    def change(loop):
        parts = tuple(replace(part, **what) if part.tag == tag else part for part in loop.parts)
        return replace(loop, parts=parts)

    return change


def test_the_numbers_of_test_loop_s_are_read_from_its_file():
    declared = plant_of(loop_s())
    assert declared.plant == PLANT
    assert (declared.chillers, declared.turbines, declared.exchanges) == (4, 4, ())
    assert [decision.tag for decision in declared.decisions] == ["TSH-110", "TSH-120"]


@pytest.mark.parametrize(
    ("turbines", "printed"), [(1, 297.21), (2, 196.90), (3, 163.23), (4, 146.35), (5, 136.21)]
)
def test_the_vessel_of_test_loop_s_rests_where_it_was_printed(turbines, printed):
    declared = plant_of(loop_s())

    assert declared.closed_form(turbines).vessel_temperature - ZERO == pytest.approx(printed, abs=0.01)


def test_hot_rock_and_chillers_together_meet_the_run_of_a_day():
    case = ridge("kettle-ridge-hot-rock")
    result = plant_of(case).closed_form()

    # the first hours of the day warm the vessel; the rest of the day is its long-run mean within 1 %
    times, values = case.trace("VE-301", "temperature")
    assert values[times > 28800.0].mean() == pytest.approx(result.vessel_temperature, rel=0.005)
    assert case.seen("CH-201", "cooling").mean == pytest.approx(result.loop_load, rel=0.01)
    assert case.seen("SB-901", "balance").mean == pytest.approx(result.net_power, rel=0.01)


def test_kettle_ridge_meets_its_repeating_day():
    case = ridge(change=lambda loop: replace(loop, settled=True))
    result = plant_of(case).closed_form()

    assert case.seen("CH-201", "cooling").mean == pytest.approx(result.loop_load, rel=0.01)
    assert case.seen("CH-201", "power").mean == pytest.approx(result.chillers_power, rel=0.01)
    assert case.seen("ST-401", "heat taken").mean == pytest.approx(result.turbine_heat, rel=0.03)


def test_a_source_that_can_only_give_gives_nothing_to_a_hotter_vessel():
    cold = changed("HR-801", values={"contact_temperature": 150 + ZERO, "gives_only": True})
    declared = plant_of(ridge("kettle-ridge-hot-rock", cold))
    without = replace(declared, exchanges=())

    # one turbine of three: the vessel rests above the rock
    assert declared.closed_form(1).vessel_temperature > 150 + ZERO
    assert declared.closed_form(1).vessel_temperature == without.closed_form(1).vessel_temperature
    assert declared.closed_form(3).turbine_duty > without.closed_form(3).turbine_duty


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (lambda loop: replace(loop, parts=(*loop.parts, second_vessel(loop))), "2 steam"),
        (lambda loop: replace(loop, switches=()), "no switch decides"),
        (changed("CH-201", sited=None), "CH-201 does not stand in VE-301"),
    ],
)
def test_a_loop_that_is_no_such_plant_says_why(change, reason):
    found = declared_plant(ridge(change=change))

    assert isinstance(found, NoPlant)
    assert reason in found.reason


def test_a_real_loop_is_no_declared_plant():
    case = LoopCase(bw.read_loop(bw.scenario("deepstead")), bw.read_rulebook("earth"))

    assert isinstance(declared_plant(case), NoPlant)


def test_the_narrowest_part_says_what_can_go_round():
    case = ridge(change=changed("P-103", values={"capacity": 13.0}))

    assert largest_flow(case.views, case.lines, {"ZN-601", "ZN-602", "MC-603", "MC-604"}) == 13.0


def test_the_peak_of_a_sum_is_no_sum_of_peaks():
    day = Schedule(name="day", quantity="power", times=(0.0, 43200.0), values=(5.0, 1.0))
    night = Schedule(name="night", quantity="power", times=(0.0, 43200.0), values=(1.0, 4.0))
    timeline = Timeline(Loop(name="a", rulebook="b", schedules=(day, night)))

    assert timeline.greatest(["day", "night"]) == 6.0
    assert timeline.mean("day") == 3.0


def test_a_ramp_runs_on_to_the_first_point_of_the_next_day():
    saw = Schedule(name="saw", quantity="power", times=(0.0, 43200.0), values=(0.0, 8.0), ramps=True)
    timeline = Timeline(Loop(name="a", rulebook="b", schedules=(saw,)))

    assert timeline.at("saw", 64800.0) == 4.0
    assert timeline.span(lambda time: timeline.at("saw", time)) == pytest.approx((0.0, 4.0, 8.0))
