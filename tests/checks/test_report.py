"""What holds for every finding, whatever it is about."""

import json
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

import brinewright as bw
from brinewright.checks import CRITERIA, criterion_named
from brinewright.model.criterion import Measure
from brinewright.model.loop import Loop, Waiver

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/check.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def ridge():
    return bw.read_loop(bw.scenario("kettle-ridge"))


def with_bronze_valve(loop: Loop, *waivers: Waiver) -> Loop:
    parts = (replace(part, material="ridge-bronze") if part.tag == "TV-110" else part for part in loop.parts)
    return replace(loop, parts=tuple(parts), waivers=waivers)


def test_every_code_is_given_once():
    codes = [criterion.code for criterion in CRITERIA]

    assert len(codes) == len(set(codes))


@pytest.mark.parametrize("criterion", CRITERIA, ids=lambda criterion: criterion.code)
def test_every_criterion_says_all_that_a_reader_needs(criterion):
    said = (criterion.title, criterion.formula, criterion.consequence, criterion.remedy, criterion.lesson)

    assert all(said)
    assert criterion.source
    assert (criterion.method == "question") == bool(criterion.question)


def test_a_margin_is_negative_on_the_wrong_side_of_either_bound():
    measure = Measure(subject=("A",), value=2.0, limit=3.0, quantity="number", bound="at least", text="a")

    assert measure.margin == -1.0
    assert measure.is_broken
    assert not replace(measure, bound="at most").is_broken
    assert not replace(measure, value=3.0).is_broken
    assert replace(measure, value=3.0, strict=True).is_broken


def test_a_finding_makes_the_report_serious_until_its_owner_waives_it(ridge):
    found = bw.check(with_bronze_valve(ridge), codes={"BW-F84"})
    waived = bw.check(
        with_bronze_valve(ridge, Waiver(finding="BW-F84", reason="cast here")), codes={"BW-F84"}
    )

    assert [finding.subject for finding in found.serious] == [("TV-110",)]
    assert waived.serious == ()
    assert waived.findings[0].waived == "cast here"


def test_a_waiver_lapses_when_the_margin_passes_its_bound(ridge):
    waiver = Waiver(finding="BW-F84", reason="cast here", until="margin below -50 %")
    report = bw.check(with_bronze_valve(ridge, waiver), codes={"BW-F84"})

    assert report.findings[0].lapsed == "its margin is -100%, below -50 %"
    assert report.serious


def test_the_report_as_json_keeps_its_schema(ridge):
    report = bw.check(with_bronze_valve(ridge), codes={"BW-F84"})

    jsonschema.validate(json.loads(json.dumps(report.as_dict())), SCHEMA)


def test_an_unknown_code_is_refused_with_the_nearest():
    with pytest.raises(bw.UnknownNameError, match="BW-F84"):
        criterion_named("BW-F840")


def test_a_loop_states_its_own_margins(ridge):
    changed = bw.with_value(ridge, bw.read_rulebook("kettle"), "margin.freeze", "5 K")

    assert changed.margins["freeze"] == 5.0
