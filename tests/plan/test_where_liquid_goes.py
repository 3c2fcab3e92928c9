"""What a section holds, what runs out of it by itself, what stays, what air cannot reach."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

import brinewright as bw
from brinewright.files import parse_design
from brinewright.plan.emptying import ORIFICE, time_of_all, time_through_opening
from brinewright.plan.heights import Mouth, Piece, Relief
from brinewright.plan.outflow import outflow
from brinewright.plan.pipework import Pipework
from brinewright.plan.section import enclose
from tests.pipes import RULEBOOK, START, drain_point, emptied, leg, line, pipework, tank, valve, vent_point
from tests.plants import HEAD

RIDGE = bw.scenario("kettle-ridge")


def litres_of(length, bore):
    return 1000.0 * math.pi / 4.0 * bore**2 * length


def test_hold_up_of_the_shipped_loop_is_what_its_file_adds_up_to_by_hand():
    told = tomllib.loads(RIDGE.read_text(encoding="utf-8"))
    metres = [
        (float(row[("length")].split()[0]), float(row["bore"].split()[0]) / 1000.0) for row in told["line"]
    ]
    pipes = sum(litres_of(*row) for row in metres)
    # kilograms that stand in the parts, as rulebook and kinds state them, at 1080 kg/m3: five chillers,
    # three jackets, two rooms, two machines, three pumps, two tees, two junctions, two ways, four valves
    parts = 5 * 16 + 3 * 30 + 2 * 60 + 2 * 40 + 3 * 2 + 2 * 0.5 + 2 * 0.5 + 2 * 0.3 + 4 * 0.2
    work = Pipework(bw.read_loop(RIDGE), bw.read_rulebook("kettle"))

    assert sum(map(work.litres, work.lines)) == pytest.approx(pipes, rel=1e-9)
    assert sum(map(work.litres, work.parts)) == pytest.approx(parts / 1.08, rel=1e-9)


def test_a_slope_empties_at_its_low_end_and_a_vent_at_its_top_lets_air_in():
    points = drain_point("DR-1", "L-1", distance="10 m") + vent_point("VN-1", "L-1")
    account = emptied(leg(levels=[(3, 0)], points=points))

    assert account.contents[0].by_gravity == {"TK-2": pytest.approx(litres_of(10, 0.1))}
    assert account.pockets == []
    assert account.unvented == []


def test_a_leg_like_a_u_without_a_drain_point_is_a_pocket():
    points = drain_point("DR-1", "L-1", distance="0 m") + vent_point("VN-1", "L-1")
    account = emptied(leg(levels=[(3, 0), (0, 3)], points=points))

    (pocket,) = account.pockets
    assert set(pocket.tags) >= {"L-1", "L-2"}
    assert pocket.litres == pytest.approx(2 * litres_of(10, 0.1), rel=1e-2)
    assert pocket.height == 0.0


def test_a_drain_point_halfway_up_one_leg_leaves_what_stands_below_it_in_both():
    points = drain_point("DR-1", "L-2", distance="5 m") + vent_point("VN-1", "L-1")
    account = emptied(
        leg(levels=[(3, 0), (0, 3)], points=points + vent_point(("VN-2"), "L-2", distance="10 m"))
    )
    stays = {content.tag: content.stays for content in account.contents}

    # the flap between the two lets liquid pass from the first to the second only
    assert stays["L-1"] == pytest.approx(0.5 * litres_of(10, 0.1))
    assert stays["L-2"] == pytest.approx(0.5 * litres_of(10, 0.1))


def test_liquid_behind_a_flap_that_shuts_against_it_stays():
    points = drain_point("DR-1", "L-1", distance="10 m") + vent_point("VN-1", "L-1")
    account = emptied(leg(levels=[(3, 0), (0, 3)], points=points))
    stays = {content.tag: content.stays for content in account.contents}

    assert stays["L-1"] == 0.0
    assert stays["L-2"] == pytest.approx(litres_of(10, 0.1))


def test_a_section_without_a_vent_is_found_and_one_vent_at_the_top_heals_it():
    points = drain_point("DR-1", "L-2", distance="10 m")
    closed = emptied(leg(levels=[(1, 3), (3, 0)], points=points))
    open_ = emptied(leg(levels=[(1, 3), (3, 0)], points=points + vent_point("VN-1", "L-2")))

    (hangs,) = closed.unvented
    assert hangs.height == 3.0
    assert hangs.litres == pytest.approx(2 * litres_of(10, 0.1), rel=1e-2)
    assert open_.unvented == []


def test_a_vent_below_the_top_leaves_what_stands_above_it_hanging():
    points = drain_point("DR-1", "L-1", distance="10 m") + vent_point("VN-1", "L-1", distance="5 m")
    (hangs,) = emptied(leg(levels=[(4, 0)], points=points)).unvented

    assert hangs.litres == pytest.approx(0.5 * litres_of(10, 0.1))


def test_liquid_is_lifted_where_no_tank_stands_below_the_drain_point():
    high = leg(levels=[(3, 0)], points=drain_point("DR-1", "L-1", distance="10 m")).replace(
        'elevation = "-20 m"', 'elevation = "5 m"'
    )
    account = emptied(high, pump=0.001)

    assert account.outlets[0].means == "pump"
    assert account.outlets[0].least_time == pytest.approx(litres_of(10, 0.1), rel=1e-2)
    assert emptied(high).outlets[0].least_time is None


def test_a_line_without_heights_leaves_it_unjudged_and_nothing_is_assumed():
    account = emptied(leg(levels=[(3, 0), None], points=drain_point("DR-1", "L-1", distance="10 m")))

    assert account.relief.unknown == ["L-2"]
    assert account.outlets == account.pockets == account.unvented == []


def test_a_section_goes_on_to_the_next_valve_and_says_where_one_is_missing():
    pipes = pipework(leg(levels=[(3, 2), (2, 1)]))
    section = enclose(pipes, ["L-1"])

    assert section.beyond == ("L-2", "FV-1")
    assert {one.tag for one in section.isolations} == {"HV-1", "HV-2"}
    assert [(one.tag, one.line) for one in section.openings] == [("FV-1", "L-1")]


def test_a_tank_without_a_valve_at_its_outlet_would_follow():
    pipes = pipework(leg(levels=[(3, 2)]))
    section = enclose(pipes, ["L-10"])

    assert [(one.tag, one.store) for one in section.openings] == [("TK-2", True), ("TK-1", True)]


def test_a_line_that_ends_above_the_brim_of_a_tank_needs_no_valve():
    text = leg(levels=[(3, 2)]).replace('to = "TK-1.in"\n', 'to = "TK-1.in"\nlevels = ["22 m", "22.5 m"]\n')
    section = enclose(pipework(text), ["L-10"])

    assert [(one.tag, one.position) for one in section.isolations] == [("TK-1", "")]


@pytest.mark.parametrize(("name", "held"), [("in", "a"), ("to-a", "b"), ("to-b", "a")])
def test_a_three_way_valve_shuts_off_the_way_that_it_is_not_held_at(name, held):
    text = (
        tank("TK-1", 2, 0, 2) + tank("TK-2", 2, 0, 2) + valve("HV-1") + valve("HV-2") + valve("HV-3")
        + '[[part]]\ntag = "TV-1"\nuse = "three-way-valve.plain"\n'
        + line("L-0", "TK-1.out", "HV-1.in", 1, 0.1, section="x")
        + line("L-1", "HV-1.out", "TV-1.in", 1, 0.1, section="in")
        + line("L-2", "TV-1.a", "HV-2.in", 1, 0.1, section="to-a")
        + line("L-3", "TV-1.b", "HV-3.in", 1, 0.1, section="to-b")
        + line("L-4", "HV-2.out", "TK-2.in", 1, 0.1, section="x")
        + line("L-5", "HV-3.out", "TK-2.in", 1, 0.1, section="x")
        + line("L-6", "TK-2.out", "TK-1.in", 1, 0.1, section="x")
        + START
    )  # fmt: skip
    section = enclose(pipework(text), [name])
    positions = {one.tag: one.position for one in section.isolations}

    if name == "in":
        # its common way cannot be shut: both other ways must be emptied with it, or a valve put there
        assert set(section.beyond) >= {"L-2", "L-3"}
    else:
        assert positions["TV-1"] == held
        assert section.beyond == ()


def test_an_exchanger_between_two_liquids_is_emptied_on_the_side_that_is_asked_for():
    text = (
        tank("TK-1", 2, 0, 2) + tank("TK-2", 2, 0, 2) + valve("HV-1") + valve("HV-2")
        + '[[part]]\ntag = "HX-1"\nuse = "heat-exchanger.plain"\n'
        + line("L-0", "TK-1.out", "HV-1.in", 1, 0.1, (0, 0), "neck")
        + line("L-1", "HV-1.out", "HX-1.hot-in", 10, 0.1, (0, 3))
        + line("L-2", "HX-1.hot-out", "TK-1.in", 10, 0.1, (3, 2.5))
        + line("L-3", "TK-2.out", "HV-2.in", 1, 0.1, (0, 0), "neck")
        + line("L-4", "HV-2.out", "HX-1.cold-in", 10, 0.1, (0, 3), "other")
        + line("L-5", "HX-1.cold-out", "TK-2.in", 10, 0.1, (3, 2.5), "other")
    )  # fmt: skip
    circuits = "".join(
        f'[[circuit]]\nname = "{name}"\nliquid = "syrup"\nat = "{at}"\ntemperature = "30 degC"\n'
        for name, at in (("one", "TK-1"), ("two", "TK-2"))
    )
    head = HEAD.replace('liquid = "syrup"\ntemperature = "30 degC"\n', "")
    loop, rules = parse_design(head + circuits + text + START, Path(), RULEBOOK)
    pipes = Pipework(loop, rules)
    section = enclose(pipes, ["leg"])
    account = outflow(pipes, section, {"TK-1": 0.5, "TK-2": 0.5})
    litres = {content.tag: content.litres for content in account.contents}

    assert section.lines == ("L-1", "L-2")
    assert litres["HX-1"] == pytest.approx(10.0)
    # what stands behind the exchanger's top runs into its own tank, the rising leg has no drain point
    assert account.contents[1].by_gravity == {"TK-1": pytest.approx(litres_of(10, 0.1))}


# ---- how long -------------------------------------------------------------------------


def test_a_tank_runs_empty_in_the_time_of_torricelli():
    """t = (A/a) sqrt(2 h/g) / C: White, Fluid Mechanics, problem of the draining tank; from memory."""
    plan, height, bore, gravity = 2.0, 1.5, 0.05, 9.81
    hole = math.pi / 4.0 * bore**2
    expected = plan / hole * math.sqrt(2.0 * height / gravity) / ORIFICE

    assert time_through_opening(1000.0 * plan * height, 0.0, height, 0.0, bore, gravity) == pytest.approx(
        expected, rel=1e-12
    )


def test_contents_at_several_heights_run_out_as_an_integrator_says():
    bands = [(400.0, 0.0, 2.0, 0.0), (300.0, 1.0, 3.0, 0.0), (150.0, 2.5, 2.7, 0.0)]
    bore, gravity, opening = 0.04, 7.1, 0.0
    area = ORIFICE * math.pi / 4.0 * bore**2

    def plan(level):
        return sum(litres / 1000.0 / (high - low) for litres, low, high, _ in bands if low <= level < high)

    def falls(_, state):
        level = max(state[0], 1e-9)
        return [-area * math.sqrt(2.0 * gravity * level) / plan(level)]

    def empty(_, state):
        return state[0] - 1e-6

    empty.terminal = True  # type: ignore[attr-defined]
    end = solve_ivp(falls, (0.0, 1e4), [3.0 - 1e-9], events=empty, max_step=0.5, rtol=1e-8).t[-1]

    # the last micrometre takes its share of a second
    assert time_of_all(bands, opening, bore, gravity) == pytest.approx(end, rel=2e-3)


def test_nothing_runs_out_without_gravity():
    assert time_through_opening(10.0, 0.0, 1.0, 0.0, 0.05, 0.0) == math.inf


# ---- the level that stays, against every way out tried one by one ------------------------


@st.composite
def reliefs(draw):
    count = draw(st.integers(2, 6))
    heights = {f"p{k}": float(draw(st.integers(-4, 8))) for k in range(count)}
    pairs = draw(
        st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), min_size=1, max_size=9)
    )
    pieces = [
        Piece(f"L{k}", f"p{a}", f"p{b}", 1.0, 0.1, draw(st.booleans()))
        for k, (a, b) in enumerate(pairs)
        if a != b
    ]
    mouths = [
        Mouth(f"M{k}", f"p{k}", heights[f"p{k}"], 0.1)
        for k in draw(st.sets(st.integers(0, count - 1), max_size=2))
    ]
    return Relief(heights=heights, pieces=pieces), mouths


def lowest_barrier(relief, mouths, point, seen=frozenset()):
    """The least greatest height on any way out, by trying all of them."""
    own = relief.heights[point]
    best = min((max(own, mouth.height) for mouth in mouths if mouth.point == point), default=math.inf)
    for piece in relief.pieces:
        ways = [(piece.first, piece.last)] + ([] if piece.forwards_only else [(piece.last, piece.first)])
        for here, there in ways:
            if here == point and there not in seen:
                best = min(best, max(own, lowest_barrier(relief, mouths, there, seen | {point})))
    return best


@settings(max_examples=200, deadline=None)
@given(reliefs())
def test_the_level_that_stays_is_the_lowest_barrier_of_all_ways_out(case):
    relief, mouths = case
    flood = relief.flood(mouths)

    for point in relief.heights:
        assert flood.levels.get(point, math.inf) == lowest_barrier(relief, mouths, point)


@settings(max_examples=200, deadline=None)
@given(reliefs())
def test_more_ways_out_never_leave_more_behind(case):
    relief, mouths = case
    fewer = relief.flood(mouths[:1])
    more = relief.flood(mouths)

    assert np.all([more.stays(piece) <= fewer.stays(piece) for piece in relief.pieces])
