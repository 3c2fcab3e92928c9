"""The matrix of a rehearsal: every fault stands in it, and words beside every colour."""

import re
import xml.etree.ElementTree as ET

import pytest

from brinewright.errors import InputError
from brinewright.plan.action import Action
from brinewright.plan.failure import Failure
from brinewright.plan.fault import Fault
from brinewright.plan.notice import Guard, Nearest
from brinewright.plan.rehearsal import Rehearsal, Trial
from brinewright.report.rehearsal import rehearsal_in_words
from brinewright.report.rehearsal_sheet import ROWS, draw_rehearsal, render_rehearsal

WARM = Failure(time=630.0, tag="ZN-1", code="too-warm", text="The room is warmer than it may be.")
HOT = Failure(time=90.0, tag="CH-1", code="overheated", text="Its metal is hotter than its material stands.")


def fault(name, group="machine lost"):
    return Fault(name=name, group=group, text="Something stops.", tags=("CH-1",))


def rehearsal(*trials):
    return Rehearsal(name="Test plant", world="stylised", horizon=14400.0, trials=trials, faults=len(trials))


BROKEN = Trial(
    fault=fault("CH-1 stops"),
    moment="07:00, when the load is highest",
    failures=(HOT, WARM),
    guard=Guard(text="a high temperature switch on CH-1", lead=60.0),
    action=Action(text="Stop CH-1", within=80.0, holds=False, spares=True, then=WARM),
)
HELD = Trial(
    fault=fault("CH-2 stops"),
    moment="07:00, when the load is highest",
    nearest=Nearest(tag="ZN-1", code="too-warm", left=1.25, unit="K", used=0.8),
)


def test_the_table_shows_the_first_failure_and_what_follows():
    words = rehearsal_in_words(rehearsal(BROKEN, HELD))
    row = next(line for line in words.splitlines() if line.startswith("  CH-1 stops"))

    assert "2 faults, one at a time, run for 4 h at most: 1 survived, 1 not." in words
    assert re.findall(r"[<>\d.]*\d[<>\d.]*", row.removeprefix("  CH-1 stops")) == ["10.5", "<1.5>"]
    assert "survived, nearest to ZN-1 too warm: 1.2 K left" in words


def test_each_broken_fault_says_what_shows_it_and_what_to_do():
    words = " ".join(rehearsal_in_words(rehearsal(BROKEN)).split())

    assert "Breaks: CH-1 after 1.5 min. Its metal is hotter than its material stands." in words
    assert "Missing: a high temperature switch on CH-1; it would speak 1.0 min before." in words
    assert "Do: Stop CH-1 within 1.3 min: then nothing is damaged, but ZN-1 too warm, 10.5 min" in words


def test_a_fault_that_could_not_be_run_is_no_success():
    words = rehearsal_in_words(rehearsal(Trial(fault=fault("X"), moment="", unfinished="It is too light.")))

    assert "0 survived, 0 not, 1 could not be run." in words
    assert "could not be run: It is too light." in words


def test_every_fault_stands_on_a_sheet_and_groups_that_go_on_are_named_again():
    trials = [Trial(fault=fault(f"CH-{k} stops"), moment="07:00", failures=(HOT,)) for k in range(2 * ROWS)]
    sheets = draw_rehearsal(rehearsal(*trials))
    texts = [text.get_text() for sheet in sheets for axes in sheet.axes for text in axes.texts]

    assert len(sheets) == 3
    assert {f"CH-{k} stops" for k in range(2 * ROWS)} <= set(texts)
    assert texts.count("machine lost, more") == 2


def test_a_sheet_says_in_words_and_numbers_what_its_colours_show():
    (sheet,) = draw_rehearsal(rehearsal(BROKEN, HELD))
    texts = [text.get_text() for axes in sheet.axes for text in axes.texts]

    assert {"1.5", "10.5", "metal", "consumer"} <= set(texts)
    assert any("survived" in text for text in texts)
    assert any("never build this in the real world" in text.replace("\n", " ") for text in texts)


def test_the_same_rehearsal_gives_the_same_sheets():
    first, again = (render_rehearsal(rehearsal(BROKEN, HELD)) for _ in range(2))

    assert first == again
    assert set(first) == {"matrix-1.svg", "matrix-1.png"}
    assert ET.fromstring(first["matrix-1.svg"]).tag.endswith("svg")


def test_nothing_tried_is_nothing_to_draw():
    with pytest.raises(InputError, match="nothing to draw"):
        draw_rehearsal(rehearsal())


def test_both_faults_of_a_pair_are_named_in_full():
    name = "TSH-120 set point drifted down + MC-603 heat surges"
    pair = Trial(fault=fault(name), moment="07:00", failures=(WARM,))
    told = Rehearsal(name="Test plant", world="stylised", horizon=14400.0, trials=(HELD,), pairs=(pair,))
    (sheet,) = draw_rehearsal(told)
    texts = {text.get_text() for axes in sheet.axes for text in axes.texts}

    assert set(name.split(" + ")) <= {text.removeprefix("+ ") for text in texts}
    assert any(text.startswith("single faults: 1, pairs: 1") for text in texts)
