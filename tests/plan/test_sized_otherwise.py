"""When no design meets a brief, what would do; stages of growth; the front of good designs; the verb."""

import json
from functools import cache

import pytest

import brinewright as bw
from brinewright.cli.app import main
from brinewright.files import read_needs
from brinewright.files.brief import parse_brief
from brinewright.report.sizing import sized_in_words
from tests.plan.places import consumer, place, sized

HALLS = consumer("MC-601", "420 kW") + consumer("MC-602", "180 kW")
FEW = '[at_hand]\npower = "1 MW"\nequipment = { "chiller.fourteen" = 1 }\n[wanted]\nlayouts = ["L1", "L4"]\n'


@cache
def too_few_chillers():
    return sized(HALLS + FEW, place(), nearest=True)


def test_a_need_that_is_in_the_way_is_named_with_what_would_do():
    answer = too_few_chillers()
    helped = {obstacle.need: obstacle for obstacle in answer.obstacles if obstacle.relaxed}

    assert not answer.is_met
    assert helped["number of chiller.fourteen"].amount == pytest.approx(1.0)
    assert "1 are at hand" in helped["number of chiller.fourteen"].text
    assert "load" in helped


def test_the_nearest_design_that_works_comes_with_it():
    nearest = too_few_chillers().nearest

    assert nearest is not None
    assert nearest.is_met


@cache
def kettle_ridge():
    brief, rules = read_needs(bw.shipped_brief("kettle-ridge"))
    return bw.size(brief, rules, stages=True, front=True)


def test_stages_say_what_to_build_now_and_what_to_change_later():
    now, later = kettle_ridge().stages

    assert now.loop == kettle_ridge().loop
    assert any(change.startswith("add ZN-605") for change in later.changes)
    assert later.loop is not None
    assert "ZN-605" in {part.tag for part in later.loop.parts}


def test_no_design_of_the_front_beats_another_in_everything():
    corners = [tuple(corner.measures.values()) for corner in kettle_ridge().front]

    assert corners
    for one in corners:
        for other in corners:
            assert one == other or not all(a <= b for a, b in zip(one, other, strict=True))


def test_the_verb_writes_the_loop_and_prints_the_record(tmp_path, capsys):
    out = tmp_path / "ridge.loop.toml"
    code = main(["size", str(bw.shipped_brief("kettle-ridge")), "-o", str(out), "--json"])
    told = json.loads(capsys.readouterr().out)

    assert code == 0
    assert told["is_met"]
    assert bw.read_loop(out).name == "Kettle Ridge"
    assert main(["size", str(bw.shipped_brief("kettle-ridge")), "-o", str(out)]) == 2


def test_a_brief_that_cannot_be_met_gives_exit_code_one(tmp_path, capsys):
    text = bw.shipped_brief("kettle-ridge").read_text("utf-8").replace('"turbine.t1" = 5', '"turbine.t1" = 0')
    path = tmp_path / "short.brief.toml"
    path.write_text(text, "utf-8")
    code = main(["size", str(path)])

    assert code == 1
    assert "no design" in capsys.readouterr().out


# ---- what is told of a plant with one turbine ----------------------------------------------


CELLAR = """format = "brinewright/brief/1"
name = "Cellar"
rulebook = "kettle"
[[consumer]]
tag = "ZN-601"
use = "room.cave"
heat = "60 kW"
highest_temperature = "26 degC"
[[source]]
tag = "HR-801"
use = "heat-source.rock"
[survive]
turbines = 1
[wanted]
supply = "12 degC"
"""


@cache
def cellar():
    return bw.size(parse_brief(CELLAR, bw.read_rulebook("kettle")), nearest=False)


def decided(subject):
    decision = cellar().decision(subject)
    return decision, {figure.symbol: figure for figure in decision.figures}


def test_it_is_told_when_the_only_turbine_may_be_lost_and_no_power_is_left():
    decision, figures = decided("turbines")

    assert decision.chosen.startswith("1 of")
    assert figures["P(N-1)"].value == 0.0
    assert "chillers stop when the battery is empty" in decision.why


def test_a_warm_up_by_the_sources_alone_says_that_chillers_must_rest_meanwhile():
    decision, figures = decided("steam vessel")

    assert figures["t_w,mean"].text == "warm-up by the sources alone"
    assert "kept stopped by hand" in decision.why


def test_the_power_by_which_layouts_are_judged_is_told_in_kilowatts():
    _, figures = decided("layout")

    assert figures["least power"].unit == "W"
    assert "e+0" not in sized_in_words(cellar()).partition("least power = ")[2].partition("\n")[0]
