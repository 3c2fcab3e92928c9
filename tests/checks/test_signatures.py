"""Questions that only a person can answer: asked where they arise, open until someone has signed."""

import json
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

import brinewright as bw
from brinewright.checks import criterion_named
from brinewright.errors import InputError
from brinewright.model.loop import Signature
from brinewright.report.findings import explained, findings_in_words
from tests.checks.seeded import field, swap
from tests.checks.test_seeded_real import CLOSED, DEEP, EARTH, HYDROGEN, SOUND, changed, report_of

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/check.json").read_text(encoding="utf-8"))
SIGNED = Signature(finding="BW-F71", by="Ida Fenn", on="2026-11-25", note="manway of 600 mm")
POISON = changed(DEEP, swap('liquid = "house-liquid"', 'liquid = "field-liquid"'))
LUKEWARM = changed(DEEP, swap('liquid = "field-liquid"', 'liquid = "plain-water"'))
OXYGEN = EARTH.replace('properties = "hydrogen"', 'properties = "oxygen"')
METALS = changed(DEEP, field("L-203", "material", '"ridge-bronze"'))

ASKED = [
    ("BW-F09", (POISON, EARTH), (DEEP, EARTH)),
    ("BW-F45", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F46", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F60", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F69", (DEEP, EARTH), SOUND["dip"]),
    ("BW-F70", (DEEP, EARTH), SOUND["dip"]),
    ("BW-F71", SOUND["ridge"], SOUND["dip"]),
    ("BW-F79", (HYDROGEN, EARTH), (DEEP, EARTH)),
    ("BW-F80", (HYDROGEN, OXYGEN), (HYDROGEN, EARTH)),
    ("BW-F81", (HYDROGEN, EARTH), (DEEP, EARTH)),
    ("BW-F85", (METALS, EARTH), SOUND["dip"]),
    ("BW-F86", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F87", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F101", (CLOSED, EARTH), SOUND["ridge"]),
    ("BW-F115", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F123", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F127", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F128", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F129", (LUKEWARM, EARTH), (DEEP, EARTH)),
    ("BW-F130", (DEEP, EARTH), SOUND["ridge"]),
    ("BW-F131", SOUND["ridge"], SOUND["dip"]),
]


@pytest.mark.parametrize(("code", "where", "elsewhere"), ASKED, ids=[code for code, *_ in ASKED])
def test_a_question_is_asked_only_where_there_is_something_to_ask_about(code, where, elsewhere):
    asked = report_of(*where, code).questions

    assert asked
    assert all(finding.measure.text for finding in asked)
    assert report_of(*elsewhere, code).questions == ()


def test_an_open_question_is_no_finding_and_is_told():
    report = report_of(DEEP, EARTH, "BW-F46")

    assert report.findings == ()
    assert report.serious == ()
    assert "1 question on the safety of people not signed" in findings_in_words(report)


def test_a_signed_question_says_who_when_and_what():
    ridge = bw.read_loop(bw.scenario("kettle-ridge"))
    report = bw.check(replace(ridge, signatures=(SIGNED,)), codes={"BW-F71"})

    assert report.open_questions == ()
    assert "Signed: BW-F71 by Ida Fenn, 2026-11-25: manway of 600 mm" in findings_in_words(report)
    assert "Signed by Ida Fenn, 2026-11-25: manway of 600 mm" in explained(criterion_named("BW-F71"), report)
    assert "[[signature]]" not in explained(criterion_named("BW-F71"), report)
    jsonschema.validate(json.loads(json.dumps(report.as_dict())), SCHEMA)


def test_what_a_calculation_finds_cannot_be_signed_away():
    ridge = bw.read_loop(bw.scenario("kettle-ridge"))

    with pytest.raises(InputError, match="BW-F84 is signed by Ida Fenn, and it is no question"):
        bw.check(replace(ridge, signatures=(replace(SIGNED, finding="BW-F84"),)), codes={"BW-F71"})
