# ruff: noqa: E501 -- one case on one line reads as a table
"""Every way in which a rulebook can be wrong, with the place and the advice that it must get."""

import pytest

from brinewright.errors import InputError, Problem
from brinewright.files import parse_rulebook
from tests.files.samples import RULEBOOK_TEXT, broken

HEAD = RULEBOOK_TEXT[: RULEBOOK_TEXT.index("[choice]")]

# What is exchanged for what («: where the error must point), a piece of the message, a piece of the advice.
CASES = {
    "name missing": (HEAD, "«" + HEAD.replace('name = "brook"\n', ""), "name is missing", "Add the line: name ="),
    "world missing": (HEAD, "«" + HEAD.replace('world = "stylised"\n', ""), "world is missing", 'world = "stylised"'),
    "world unknown": ('world = "stylised"', 'world = «"stylized"', 'expected "stylised" or "real"', "Nearest: stylised"),
    "loop in its place": ('format = "brinewright/rulebook/1"', 'format = «"brinewright/loop/1"', "This is a loop file", "*.rulebook.toml"),
    "choice missing": ('[choice]\nstagnant_sensor = "local"\n', "«[choice]\n", "stagnant_sensor is missing", 'stagnant_sensor = "local"'),
    "choice unknown": ('stagnant_sensor = "local"', 'stagnant_sensor = «"waits"', 'expected "local", "ambient" or "holds"', 'Nearest: ambient'),
    "choice that is none": ('stagnant_sensor = "local"', 'stagnant_sensor = "local"\n«colour = "red"', '"colour" is not known here', "Known here: stagnant_sensor"),
    "gravity missing": ('[site]\ngravity = "6.2 m/s2"\n', "«[site]\n", "gravity is missing", 'gravity = "9.81 m/s2"'),
    "gravity as a speed": ('gravity = "6.2 m/s2"', 'gravity = «"6.2 m/s"', 'unknown unit "m/s"', "m/s2"),
    "pressure of neither sort": ('ambient_pressure = "91 kPa abs"', 'ambient_pressure = «"91 kPa"', 'is in "kPa"', '"kPa abs" or "kPa gauge"'),
    "ambient pressure over itself": ('ambient_pressure = "91 kPa abs"', 'ambient_pressure = «"0 kPa gauge"', "ambient pressure is not stated", "abs"),
    "schedule in a rulebook": ('ambient_temperature = "17 degC"', 'ambient_temperature = «"night"', "names no [schedule.night]", 'Write ambient_temperature ='),
    "unknown table": ("[gas.stillair]", "«[gass.stillair]", '"gass" is not known here', "Nearest: gas"),
    "unknown kind": ("[tee.fork]", "«[tea.fork]", '"tea" is not known here', "Nearest: tee"),
    "entry that is no table": ("[tee.fork]\nlaw = \"equal share\"", "[tee]\nfork = «3", "is the bare number 3, not a table", "[brackets]"),
    "law missing": ('[buffer-tank.vat]\nlaw = "mixed"\n', "«[buffer-tank.vat]\n", "law is missing", 'law = "mixed"'),
    "law unknown": ('law = "fixed drop"', 'law = «"fixed drip"', 'law is "fixed drip"', ""),
    "law of the other world": ('law = "mixed"', 'law = «"stratified"', "is not of a stylised place", '"first in first out"'),
    "number of another law": ('law = "mixed"', 'law = "mixed"\n«layers = 20', '"layers" is not known here', 'Only the law "stratified" has it'),
    "unknown number": ('flow_proof = "0.3 kg/s"', '«flow_prof = "0.3 kg/s"', '"flow_prof" is not known here', "Nearest: flow_proof"),
    "number without unit": ('drop = "8 K"', "drop = «8", "the bare number 8", 'Write drop = "8 K"'),
    "number out of bounds": ('drop = "8 K"', 'drop = «"8000 K"', "more than the most allowed, 1000 K", ""),
    "ratio out of bounds": ("casing_share = 0.06", "casing_share = «6", "more than the most allowed, 100 %", ""),
    "word unknown": ('power_mode = "proportional"', 'power_mode = «"proportionate"', 'expected "constant" or "proportional"', "Nearest: proportional"),
    "material that is not there": ('materials = ["blackiron"]', 'materials = «["blackirn"]', 'no material "blackirn"', "Nearest: blackiron"),
    "materials as numbers": ('materials = ["blackiron"]', "materials = «[3]", "the bare number 3", "Write materials ="),
    "limit missing": ('[material.blackiron]\nlimit = "410 degC"', "«[material.blackiron]", "limit is missing", "Add the line: limit"),
    "gas without a number": ("[gas.stillair]\nfactor = 1.0", "«[gas.stillair]", "properties =", "Add the line: factor"),
    "boils before it freezes": ('boils = "131 degC"', 'boils = «"-31 degC"', "boils lies below freezes", "Exchange the two"),
    "liquid without heat capacity": ('[liquid.reedwater]\nheat_capacity = "3.7 kJ/(kg K)"', "«[liquid.reedwater]", "heat_capacity is missing", "kJ/(kg K)"),
    "liquid that holds no heat": ('heat_capacity = "3.7 kJ/(kg K)"', 'heat_capacity = «"0 kJ/(kg K)"', "heat_capacity is zero", ""),
    "name with a blank": ("[gas.stillair]", '«[gas."still air"]', '"still air" is no name', "Use letters"),
    "per kilogram forgotten": ('heat_capacity = "3.7 kJ/(kg K)"', 'heat_capacity = «"3.7 kJ/K"', 'unknown unit "kJ/K"', "J/(kg K)"),
}  # fmt: skip


@pytest.mark.parametrize("claim", CASES)
def test_a_broken_rulebook_is_refused_where_it_is_wrong_with_what_to_write(claim):
    old, new, message, advice = CASES[claim]
    text, line, column = broken(RULEBOOK_TEXT, old, new)
    problems = problems_of(text)

    found = [problem for problem in problems if (problem.line, problem.column) == (line, column)]
    assert found, f"expected {line}:{column}, got {[str(problem) for problem in problems]}"
    assert any(message in problem.message and advice in problem.advice for problem in found), found


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        parse_rulebook(text, "brook.rulebook.toml")
    return caught.value.problems


def test_a_real_place_has_no_choices():
    text = RULEBOOK_TEXT.replace('world = "stylised"', 'world = "real"')

    assert any("physics decides here" in problem.message for problem in problems_of(text))


def test_a_gas_that_the_rulebook_lacks_is_refused_where_it_is_named():
    entry = """
[enclosure.shell]
law = "conductance"
gas = "stilair"
gas_pressure = "0.2 bar gauge"
gas_volume = "3 m3"
shell_mass = "400 kg"
shell_conductance = "60 W/K"
conductance = "20 W/K"
"""
    text = RULEBOOK_TEXT + entry
    problem = problems_of(text)[0]

    assert text.split("\n")[problem.line - 1] == 'gas = "stilair"'
    assert problem.advice == "Nearest: stillair."


def test_gauge_pressure_counts_from_the_site_of_the_rulebook():
    entry = """
[enclosure.shell]
law = "conductance"
gas = "vacuum"
gas_pressure = "0.2 bar gauge"
gas_volume = "3 m3"
shell_mass = "400 kg"
shell_conductance = "60 W/K"
conductance = "20 W/K"
"""
    rulebook = parse_rulebook(RULEBOOK_TEXT + entry)

    assert rulebook.entry("enclosure.shell").values["gas_pressure"] == 111_000.0
