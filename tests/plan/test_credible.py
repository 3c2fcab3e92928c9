"""The faults of a loop follow from what its parts are, whatever they are called."""

from dataclasses import replace

import pytest

from brinewright.compile import compile_plant
from brinewright.files import loop_text, parse_design, read_design, with_values
from brinewright.files.scenario import scenario
from brinewright.model.mishap import GROUPS
from brinewright.plan.credible import DRIFT, credible_faults

RIDGE, BOOK = read_design(scenario("kettle-ridge"))
FAULTS = {fault.name: fault for fault in credible_faults(RIDGE, BOOK)}


def test_the_shipped_plant_can_have_a_fault_of_every_group_that_it_has_parts_for():
    lacking = set(GROUPS) - {fault.group for fault in FAULTS.values()}

    assert lacking == {"way blocked"}  # it has no strainer


def test_names_are_unique_and_every_fault_is_told_in_a_sentence():
    assert len(FAULTS) == len(credible_faults(RIDGE, BOOK))
    assert all(fault.text.endswith(".") and "{" not in fault.text for fault in FAULTS.values())


@pytest.mark.parametrize("name", ["kettle-ridge", "kettle-ridge-hot-rock"])
def test_every_fault_makes_a_plant(name):
    loop, rules = read_design(scenario(name))
    for fault in credible_faults(loop, rules):
        held = dict.fromkeys(fault.holds, 290.0)
        compile_plant(replace(fault.changed(loop, rules), forces=fault.at(60.0).as_forces(held)), rules)


def test_a_bank_loses_one_unit_and_keeps_its_liquid():
    fault = FAULTS["CH-201 one unit lost"]
    fewer = next(part for part in fault.changed(RIDGE, BOOK).parts if part.tag == "CH-201")

    assert fewer.count == 4
    assert fewer.count * fewer.values["hold_up"] == pytest.approx(5 * 16.0)
    assert not fault.forces


def test_the_last_unit_of_a_bank_is_forced_to_stand():
    lone = with_values(RIDGE, BOOK, {"ST-401.count": "1"})
    fault = next(fault for fault in credible_faults(lone, BOOK) if fault.name == "ST-401 stops")

    assert [(force.target, force.value) for force in fault.forces] == [("ST-401.running", 0.0)]


def test_priorities_are_exchanged_where_two_lines_claim_the_same_junction():
    ranks = {line.tag: line.rank for line in FAULTS["J-131 L-135 behind L-104"].changed(RIDGE, BOOK).lines}

    assert (ranks["L-104"], ranks["L-135"]) == (1, 2)
    assert (ranks["L-106"], ranks["L-109"]) == (2, 1)


def test_only_a_tank_that_waits_for_the_chillers_is_filled_cool():
    filled = [name for name in FAULTS if name.endswith("filled cool")]

    assert filled == ["TK-102 filled cool"]


def test_set_points_drift_both_ways():
    values = [
        force.value for name, fault in FAULTS.items() for force in fault.forces if "TSH-120 set" in name
    ]

    assert values == pytest.approx([291.15 - DRIFT, 291.15 + DRIFT])


def test_a_fault_begins_when_it_is_told_to_and_lasts_as_long():
    fault = FAULTS["TX-901 opens for a while"].at(7200.0)
    (force,) = fault.as_forces({})

    assert (force.start, force.end) == (7200.0, 7200.0 + 900.0)


def test_what_is_frozen_is_held_at_what_it_showed():
    (force,) = FAULTS["TSH-110 frozen"].at(10.0).as_forces({"TSH-110.reading": 288.0})

    assert (force.target, force.value) == ("TSH-110.reading", 288.0)


def test_the_tags_do_not_matter():
    text = loop_text(RIDGE)
    for old, new in (("CH-201", "QQ-7"), ("ST-401", "AA-1"), ("TSH-120", "ZZ-9"), ("TK-102", "BB-2")):
        text = text.replace(old, new)
    loop, rules = parse_design(text, scenario("kettle-ridge").parent)
    found = credible_faults(loop, rules)

    assert len(found) == len(FAULTS)
    assert {(fault.group, fault.often) for fault in found} == {
        (fault.group, fault.often) for fault in FAULTS.values()
    }
