"""Older files are brought to the present version; unknown ones are refused, never misread."""

import copy

import pytest

from brinewright.errors import InputError
from brinewright.files import parse_loop
from brinewright.files.migrate import STEPS, VERSIONS, migrate
from tests.files.samples import LOOP_TEXT, brook, brook_rulebook

OLD = (
    LOOP_TEXT.replace("brinewright/loop/1", "brinewright/loop/0")
    .replace('liquid = "reedwater"\ntemperature = "14 degC"\n', "")
    .replace("[site]\n", '[site]\nliquid = "reedwater"\ntemperature = "14 degC"\n')
)


def test_a_loop_of_version_0_reads_as_the_same_loop():
    assert parse_loop(OLD, brook_rulebook()) == brook()


def test_a_problem_in_what_was_moved_is_still_placed_in_the_file():
    with pytest.raises(InputError) as caught:
        parse_loop(OLD.replace('liquid = "reedwater"', 'liquid = "tea"'), brook_rulebook())

    assert 'liquid is the text "tea"' in caught.value.problems[0].message


def test_migration_leaves_the_old_document_as_it_was():
    old = {"format": "brinewright/loop/0", "site": {"liquid": "tea", "gravity": "1 m/s2"}, "name": "x"}
    kept = copy.deepcopy(old)
    new = migrate(old, "loop")

    assert old == kept
    assert new == {
        "format": "brinewright/loop/1",
        "liquid": "tea",
        "site": {"gravity": "1 m/s2"},
        "name": "x",
    }


def test_the_present_version_passes_unchanged():
    document = {"format": "brinewright/loop/1", "site": {"liquid": "tea"}}

    assert migrate(document, "loop") == document


def test_every_older_version_has_its_step():
    assert all((sort, version - 1) in STEPS for sort, version in VERSIONS.items() if version > 1)


@pytest.mark.parametrize("site", [3, "x", [1], None])
def test_a_broken_site_of_an_old_file_is_refused_not_crashed_on(site):
    assert migrate({"format": "brinewright/loop/0", "site": site}, "loop")["format"] == "brinewright/loop/1"
