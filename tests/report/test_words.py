"""A run is told in words that somebody new to it understands."""

import dataclasses

import pytest

from brinewright.report import in_words
from brinewright.report.sheet import span_text
from brinewright.results import INTERRUPTED, Event
from brinewright.results.caution import CAUTIONS
from tests.results.synthetic import synthetic_result


@pytest.mark.parametrize("world", ["stylised", "real"])
def test_the_caution_is_the_last_word(world):
    told = " ".join(in_words(synthetic_result(world=world)).split())

    assert told.endswith(CAUTIONS[world])


@pytest.mark.parametrize(
    "words",
    [
        "Invented plant: 24 h simulated in 0.75 s. It ran to the end.",
        "ZN-501 18.0 to 24.0 °C, mean 21.0",
        "coldest 6.0 °C at CH-201, warmest 35.4 °C at TK-101",
        "take 1,053 kW of heat on average (CH-201 868, CH-202 185)",
        "TK-101 35 to 75 % full",
        "VE-301 20.0 to 148.0 °C",
        "generated 6,120 kWh",
        "60 changes in all, most by TSH-110: 57",
        "the declared laws let heat vanish: 467 kW on average",
        "energy closes to 3.1e-13 of what was exchanged, mass to 0",
        "1:30:00 ST-401: The turbine started",
    ],
)
def test_a_run_is_told_in_words(words):
    assert words in " ".join(in_words(synthetic_result()).split())


def test_no_line_is_longer_than_a_terminal_shows():
    result = synthetic_result()
    events = tuple(
        Event(float(second), f"TK-{second}", "full", "The tank is full. " * 12) for second in range(9)
    )

    assert max(map(len, in_words(dataclasses.replace(result, events=events)).splitlines())) <= 100


def test_what_was_not_recorded_is_not_told():
    told = in_words(synthetic_result(only=("ST-401",)))

    assert "Tanks" not in told
    assert "What is cooled" not in told


def test_what_keeps_happening_is_told_once():
    events = tuple(Event(60.0 * count, "CH-201", "freezing", "The coolant freezes.") for count in range(101))
    told = in_words(dataclasses.replace(synthetic_result(), events=events))

    assert told.count("freezes") == 1
    assert "(101 times)" in told


def test_a_machine_that_does_more_than_the_second_law_allows_is_named():
    audits = {
        "heat_unaccounted_kW": -30.0,
        "second_law": {"ST-401": {"efficiency": 3.08}, "CH-201": {"efficiency": 0.9}},
    }
    told = " ".join(in_words(dataclasses.replace(synthetic_result(), audits=audits)).split())

    assert "ST-401 does 3.1 times what the second law allows" in told
    assert "CH-201 does" not in told
    assert "make heat from nothing: 30 kW" in told


def test_a_plant_that_keeps_to_physics_needs_no_such_line():
    audits = {"heat_unaccounted_kW": 0.0, "second_law": {"CH-201": {"efficiency": 0.5}}}

    assert "Against physics" not in in_words(dataclasses.replace(synthetic_result(), audits=audits))


def test_a_run_that_ended_early_says_so_with_advice():
    told = in_words(dataclasses.replace(synthetic_result(), outcome=INTERRUPTED))

    assert "Not to the end: interrupted." in told
    assert INTERRUPTED.advice in told


@pytest.mark.parametrize(
    ("seconds", "text"), [(0.4, "0.4 s"), (90.0, "1.5 min"), (7200.0, "2 h"), (90000.0, "25 h")]
)
def test_a_time_is_told_in_the_unit_that_suits_it(seconds, text):
    assert span_text(seconds) == text
