"""Kettle Ridge from its brief: a loop that runs, proven, with every decision explained."""

import json
from functools import cache
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

import brinewright as bw
from brinewright.files import parse_design, read_needs

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/size.json").read_text(encoding="utf-8"))


@cache
def sized(name="kettle-ridge"):
    brief, rules = read_needs(bw.shipped_brief(name))
    return bw.size(brief, rules)


def test_the_brief_of_kettle_ridge_is_met_by_a_loop_of_two_tanks_and_two_decisions():
    answer = sized()

    assert answer.is_met
    assert answer.decision("layout").chosen.startswith("L6")
    assert answer.proof.failures == ()
    assert [finding.code for finding in answer.proof.findings] == []


def test_the_written_loop_reads_back_as_the_loop_that_was_proven():
    answer = sized()
    loop, rules = parse_design(answer.text, Path())

    assert loop == answer.loop
    assert rules.name == "kettle"


def test_both_decisions_carry_one_set_point_and_make_on_rise():
    switches = {switch.tag: switch for switch in sized().loop.switches}

    assert {switch.sense for switch in switches.values()} == {"high"}
    assert switches["TSH-110"].setting == switches["TSH-120"].setting


def test_the_outlet_of_the_ring_goes_before_the_direct_line_and_recirculation_before_fresh_liquid():
    ranks = {(line.start, line.end): line.rank for line in sized().loop.lines}

    assert ranks["TV-120.b", "J-131.in"] < ranks["TV-110.b", "J-131.in"]
    assert ranks["TV-120.a", "J-111.in"] < ranks["P-102.out", "J-111.in"]


def test_pumps_and_valves_do_not_hang_on_the_feeder_of_the_chillers():
    feeders = {part.tag: part.feeder for part in sized().loop.parts if part.feeder}
    chillers = {feeder for tag, feeder in feeders.items() if tag.startswith("CH-")}
    others = {feeder for tag, feeder in feeders.items() if tag.startswith(("P-", "TV-"))}

    assert chillers
    assert others
    assert not chillers & others


def test_the_tanks_together_can_take_the_drained_loop():
    figures = {figure.symbol: figure.value for figure in sized().decision("tanks").figures}

    assert figures["V_free"] >= figures["V_drain"] > 0.0


def test_every_consumer_keeps_its_limits_for_a_day():
    limits = {"ZN-601": (281.15, 303.15), "ZN-602": (281.15, 303.15), "MC-603": (0.0, 328.15)}
    seen = {tag: (coldest, warmest) for tag, coldest, warmest in sized().proof.consumers}

    for tag, (lowest, highest) in limits.items():
        assert lowest <= seen[tag][0] <= seen[tag][1] <= highest


def test_run_and_closed_form_agree_within_one_percent_or_say_why():
    rows = sized().proof.agreements

    assert len(rows) >= 5
    for row in rows:
        assert row.difference <= 0.01 or row.reason, row.what


def test_the_other_five_layouts_are_told_with_what_they_lost_by():
    others = sized().decision("layout").alternatives

    assert [other.name[:2] for other in others] == ["L1", "L2", "L3", "L4", "L5"]
    assert all(any(letter.isdigit() for letter in other.text) for other in others)


def test_the_battery_is_sized_by_troughs():
    answer = sized()
    battery = next(part for part in answer.loop.parts if part.tag == "BT-901")
    energy = battery.values["energy"]
    covered = sum(
        figure.value
        for figure in answer.decision("power").figures
        if figure.symbol.startswith("E(") and "cold" not in figure.symbol
    )

    assert energy >= 2.0 * covered * (1.0 - 1e-9)
    # a tenth is left at the deepest
    assert answer.proof.battery_least >= 0.1 * energy


def test_the_answer_in_json_has_the_documented_shape():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)

    jsonschema.validate(json.loads(json.dumps(sized().as_dict(), allow_nan=False)), SCHEMA)


def test_each_figure_has_a_formula_a_source_or_is_counted():
    for decision in sized().decisions:
        for figure in decision.figures:
            assert figure.formula or figure.source, figure.symbol


@pytest.mark.parametrize("name", ["kettle-ridge-hot-rock"])
def test_hot_rock_gets_a_proven_loop_too(name):
    assert sized(name).is_met
