"""One value is changed: in the text of a file, with its comments kept, or in a loop."""

import difflib
import tomllib

import pytest

from brinewright.errors import InputError
from brinewright.files import parse_loop, parse_rulebook, set_value, with_value, with_values
from tests.files.samples import LOOP_TEXT, RULEBOOK_TEXT, brook, brook_rulebook


@pytest.mark.parametrize(
    ("assignment", "line"),
    [
        ("CH-201.count=4", "count = 4"),
        ("L-101.length=14 m", 'length = "14 m"'),
        ('L-101.length="14 m"', 'length = "14 m"'),
        ("TSH-110.set=12 degC", 'set = "12 degC"'),
        ("TK-101.volume=7 m3", 'volume = "7 m3"                     # smaller than the catalogue\'s'),
        ("site.ambient_temperature=9 degC", 'ambient_temperature = "9 degC"'),
        ("temperature=9 degC", 'temperature = "9 degC"'),
        ("CH-201.sited.height=1 m", 'sited = { in = "VE-301", height = "1 m" }'),
        ("start.TK-101.level=40 %", 'TK-101 = { level = "40 %", temperature = "16 degC" }'),
        ("schedule.people.ramps=false", "ramps = false"),
        ('Y-101.inputs=["TSH-110"]', 'inputs = ["TSH-110"]'),
    ],
)
def test_one_line_of_a_file_changes_and_no_other(assignment, line):
    changed = set_value(LOOP_TEXT, assignment)
    delta = [row for row in difflib.ndiff(LOOP_TEXT.split("\n"), changed.split("\n")) if row[:1] in "+-"]

    assert [row[2:] for row in delta if row[0] == "+"] == [line]
    assert len(delta) == 2
    assert parse_loop(changed, brook_rulebook()) != brook()


def test_a_value_that_was_not_there_is_added_to_its_part():
    changed = set_value(LOOP_TEXT, "TK-101.lowest_level=3 %")

    assert tomllib.loads(changed)["part"][0]["lowest_level"] == "3 %"
    assert parse_loop(changed, brook_rulebook()).parts[0].values["lowest_level"] == 0.03


def test_an_entry_of_a_rulebook_changes_too():
    changed = set_value(RULEBOOK_TEXT, "chiller.frostbox.drop=7 K")

    assert parse_rulebook(changed).entry("chiller.frostbox").values["drop"] == 7.0


@pytest.mark.parametrize(
    ("assignment", "message"),
    [
        ("CH-210.count=4", r'There is no "CH-210" to set\. Nearest: CH-201'),
        ("CH-201=4", "does not say which value"),
        ("count", "is no NAME=VALUE"),
        ("=4", "is no NAME=VALUE"),
        ("CH-201.count.more=4", "count is no table"),
    ],
)
def test_what_names_no_value_is_refused_in_words(assignment, message):
    with pytest.raises(InputError, match=message):
        set_value(LOOP_TEXT, assignment)


def test_a_text_that_is_no_toml_is_not_changed():
    with pytest.raises(InputError, match="it is not TOML"):
        set_value("x = = 3", "x=4")


def test_a_changed_loop_is_as_if_its_file_said_so():
    by_text = parse_loop(set_value(LOOP_TEXT, "TSH-110.set=12 degC"), brook_rulebook())

    assert with_value(brook(), brook_rulebook(), "TSH-110.set", "12 degC") == by_text
    assert brook().switches[0].setting == 288.15


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("CH-201.count", "0", "expected 1 to 10,000"),
        ("CH-201.count", "many", "expected a whole number"),
        ("TSH-110.set", "12", 'Write set = "12 degC"'),
        ("TSH-110.st", "12 degC", "Nearest: set"),
        ("L-101.length", "3 m", "8 m lies outside L-101, which is 3 m long"),
        ("liquid", "tea", 'expected "reedwater"'),
    ],
)
def test_a_change_that_makes_no_sense_is_refused_under_its_name(name, text, message):
    with pytest.raises(InputError, match=message) as caught:
        with_value(brook(), brook_rulebook(), name, text)

    assert caught.value.problems[0].file == f"--set {name}={text}"


def test_several_values_are_judged_together():
    with pytest.raises(InputError):
        with_value(brook(), brook_rulebook(), "L-101.length", "3 m")
    changed = with_values(
        brook(), brook_rulebook(), {"L-101.length": "3 m", "TSH-110.senses": "L-101 at 2 m"}
    )

    assert changed.lines[0].length == 3.0
