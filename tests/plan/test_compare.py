"""Designs side by side: each figure is that of its run, each difference that of the files."""

import json
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

import brinewright as bw
from brinewright.checks.case import LoopCase
from brinewright.cli.app import main
from brinewright.errors import InputError
from brinewright.plan.differences import differences, law_differences
from brinewright.plan.upsets import rings_without_a_mover
from brinewright.report.comparison import comparison_in_words, draw_comparison
from brinewright.run import simulate

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/compare.json").read_text(encoding="utf-8"))
RIDGE, ROCK = bw.scenario("kettle-ridge"), bw.scenario("kettle-ridge-hot-rock")
KETTLE, EARTH = bw.read_rulebook("kettle"), bw.read_rulebook("earth")


@pytest.fixture(scope="module")
def ridge():
    return bw.read_loop(RIDGE)


@pytest.fixture(scope="module")
def under_two_laws(ridge):
    return bw.compare([ridge], [KETTLE, EARTH], duration=6 * 3600.0)


@pytest.fixture(scope="module")
def with_rock(ridge):
    return bw.compare([ridge, bw.read_loop(ROCK)])


def value(told, subject, quantity):
    (figure,) = (one for one in told.figures if (one.subject, one.quantity) == (subject, quantity))
    return figure.values


def test_each_figure_is_that_of_its_run(ridge, with_rock):
    result = simulate(ridge)

    assert value(with_rock, "ZN-601", "max")[0] == pytest.approx(result["ZN-601"].temperature.max - 273.15)
    assert value(with_rock, "VE-301", "mean")[0] == pytest.approx(result["VE-301"].temperature.mean - 273.15)
    assert value(with_rock, "BT-901", "least charge")[0] == pytest.approx(100 * result["BT-901"].charge.min)
    assert value(with_rock, "", "net, trough")[0] == pytest.approx(result["SB-901"].balance.min / 1000)
    assert value(with_rock, "", "generated, mean")[0] == pytest.approx(result.power["generated_kWh"] / 24)
    passes = result["CH-201"].flow.mean / result["P-103"].flow.mean
    assert value(with_rock, "", "passes, mean")[0] == pytest.approx(passes, rel=1e-6)
    assert value(with_rock, "", "chillers") == (5.0, 5.0)


def test_what_one_design_lacks_has_no_figure_there(with_rock):
    assert value(with_rock, "ridge-bronze", "metal of machines")[1] is None
    assert value(with_rock, "deep-steel", "metal of machines")[0] is None


def test_decisions_that_differ_are_those_of_the_files(with_rock):
    told = {(one.subject, one.parameter): one.values for one in with_rock.decisions}

    # what else the two files state is told by their texts, line by line
    assert (
        told.items()
        >= {
            ("CH-201", "material"): ("ridge-bronze", "deep-steel"),
            ("VE-301", "material"): ("ridge-bronze", "deep-steel"),
            ("ST-401", "material"): ("ridge-bronze", "deep-steel"),
            ("HR-801", ""): ("", "heat-source.rock"),
            ("EN-501", ""): ("", "enclosure.shell"),
        }.items()
    )
    assert all(first != second for first, second in told.values())
    assert not with_rock.senseless(0)
    assert not with_rock.senseless(1)


@pytest.mark.parametrize(
    ("name", "text", "subject", "parameter"),
    [
        ("CH-201.count", "4", "CH-201", "count"),
        ("TSH-110.set", "19 degC", "TSH-110", "set"),
        ("L-104.bore", "150 mm", "L-104", "bore"),
        ("L-104.rank", "3", "L-104", "rank"),
        ("site.gravity", "5 m/s2", "site", "gravity"),
        ("start.TK-101.level", "0.5", "start.TK-101", "level"),
    ],
)
def test_one_change_is_one_difference(ridge, name, text, subject, parameter):
    changed = bw.with_value(ridge, KETTLE, name, text)
    (found,) = differences([ridge, changed])

    assert (found.subject, found.parameter) == (subject, parameter)
    assert found.values[0] != found.values[1]
    assert differences([ridge, ridge]) == ()


def test_a_schedule_that_differs_is_told(ridge):
    schedules = tuple(
        replace(one, values=(200e3, *one.values[1:])) if one.name == "galleries" else one
        for one in ridge.schedules
    )
    (found,) = differences([ridge, replace(ridge, schedules=schedules)])

    assert (found.subject, found.parameter) == ("schedule galleries", "points")
    assert "200 kW" in found.values[1]


def test_under_physics_the_ridge_makes_no_sense_and_it_is_said_why(under_two_laws):
    whats = {(one.what, one.subject) for one in under_two_laws.upsets if one.design == 1}
    said = comparison_in_words(under_two_laws)

    assert [under_two_laws.senseless(k) for k in (0, 1)] == [False, True]
    assert {("dead-headed", "P-102"), ("ranks ignored", "L-104")} <= whats
    assert [one.subject for one in under_two_laws.upsets if one.what == "standing ring"] == ["CH-201"]
    assert "by rank (L-104, L-106, L-109, L-135)" in said
    assert "makes no sense" in said
    assert "Engineering estimate" in said
    assert "never build this" in said
    assert not [one for one in under_two_laws.upsets if one.design == 0]


def test_a_pump_in_the_ring_makes_it_no_standing_one(ridge):
    rings = rings_without_a_mover(LoopCase(ridge, KETTLE))
    lines = tuple(replace(line, end="P-199.in") if line.tag == "L-109" else line for line in ridge.lines)
    entry = next(part for part in ridge.parts if part.tag == "P-102")
    extra = next(line for line in ridge.lines if line.tag == "L-109")
    pumped = replace(
        ridge,
        parts=(*ridge.parts, replace(entry, tag="P-199")),
        lines=(*lines, replace(extra, tag="L-199", start="P-199.out")),
    )

    assert [set(ring) for ring in rings] == [{"CH-201", "TV-120", "J-111"}]
    assert rings_without_a_mover(LoopCase(pumped, KETTLE)) == []


def test_a_real_plant_has_no_such_ring():
    assert rings_without_a_mover(LoopCase(bw.read_loop(bw.scenario("deepstead")), EARTH)) == []


def test_laws_that_differ_are_told_for_one_loop_under_two_rulebooks(ridge, under_two_laws):
    told = {(one.subject, one.parameter): one.values for one in under_two_laws.laws}

    assert told[("chiller.k1", "law")] == ("fixed drop", "second law")
    assert told[("priority-junction.ranked", "law")] == ("rank", "pressures")
    assert under_two_laws.decisions == ()
    assert law_differences(ridge, [KETTLE, KETTLE]) == ()


def test_findings_are_told_with_the_designs_they_stand_in(ridge):
    bronze = replace(
        ridge,
        name="Bronze valve",
        parts=tuple(
            replace(part, material="ridge-bronze") if part.tag == "TV-110" else part for part in ridge.parts
        ),
    )
    told = bw.compare([ridge, bronze], duration=3600.0)
    (found,) = (one for one in told.findings if one.code == "BW-F84")

    assert found.texts[0] == ""
    assert "TV-110" in found.subject
    assert told.serious[0] < told.serious[1]


def test_one_design_is_nothing_to_compare(ridge):
    with pytest.raises(InputError, match="two"):
        bw.compare([ridge])


def test_the_sheet_has_one_curve_for_each_design(with_rock):
    figure = draw_comparison(with_rock)

    assert len(figure.axes) == 6
    names = [[text.get_text() for text in axes.texts] for axes in figure.axes]
    assert names == [["A", "B"]] * 6
    assert any("never build this" in text.get_text() for text in figure.texts)


def test_the_verb_keeps_to_its_schema_and_its_exit_codes(tmp_path, capsys):
    out = tmp_path / "both"
    code = main(["compare", str(RIDGE), str(ROCK), "--for", "1h", "--json", "--out", str(out)])
    told = json.loads(capsys.readouterr().out)

    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    assert code == 0
    assert sorted(path.name for path in out.iterdir()) == [
        "comparison.json", "comparison.png", "comparison.svg",
    ]  # fmt: skip
    assert main(["compare", str(RIDGE), str(ROCK), "--for", "1h", "--out", str(out)]) == 2
    assert main(["compare", str(RIDGE), "--rulebook", "kettle", "--rulebook", "earth", "--for", "2h"]) == 1
    assert main(["compare", str(RIDGE)]) == 2
    assert main(["compare"]) == 2
