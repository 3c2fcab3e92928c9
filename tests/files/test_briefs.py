"""Briefs: read, refused with every mistake at its place, written and read back as the same."""

from pathlib import Path

import pytest

import brinewright as bw
from brinewright.errors import InputError
from brinewright.files import brief_text, parse_needs
from brinewright.files.scenario import briefs
from brinewright.model.brief import LAYOUTS, PLENTY
from tests.files.samples import broken

TEXT = """
format = "brinewright/brief/1"
name = "Toy"
rulebook = "kettle"
[[consumer]]
tag = "ZN-601"
use = "room.cave"
heat = "day"
distance = "30 m"
highest_temperature = "28 degC"
[[consumer]]
tag = "MC-602"
use = "machine.bench"
heat = "90 kW"
shed = 1
[[source]]
tag = "HR-801"
use = "heat-source.heater"
power = "40 kW"
[at_hand]
power = "12 kW"
material = { deep-steel = "4 t", ridge-bronze = "plenty" }
equipment = { "chiller.k1" = 3 }
[survive]
turbines = 1
without_power = "5 min"
[wanted]
supply = "14 degC"
matters = ["least power", "simplest"]
layouts = ["L4", "L6"]
[[stage]]
name = "later"
load = 1.5
[[stage.consumer]]
tag = "ZN-603"
use = "room.cave"
[schedule.day]
quantity = "power"
points = [["00:00", "30 kW"], ["08:00", "60 kW"]]
"""


def parsed(text=TEXT):
    return parse_needs(text, Path())[0]


def test_a_brief_is_read_in_si():
    brief = parsed()
    room, machine = brief.consumers

    assert (room.heat, room.distance, room.values["highest_temperature"]) == ("day", 30.0, 301.15)
    assert (machine.heat, machine.shed, machine.distance) == (90e3, 1, 20.0)
    assert brief.sources[0].values["power"] == 40e3
    assert (brief.at_hand.power, brief.at_hand.mass("deep-steel")) == (12e3, 4000.0)
    assert brief.at_hand.mass("ridge-bronze") == PLENTY
    assert (brief.at_hand.number("chiller.k1"), brief.at_hand.number("turbine.t1")) == (3.0, PLENTY)
    assert (brief.survive.turbines, brief.survive.chillers, brief.survive.without_power) == (1, 0, 300.0)
    assert (brief.wanted.supply, brief.wanted.layouts) == (287.15, ("L4", "L6"))
    assert (brief.stages[0].load, brief.stages[0].consumers[0].tag) == (1.5, "ZN-603")


def test_what_a_brief_leaves_out_is_open():
    brief = parsed(TEXT[: TEXT.index("[[source]]")] + TEXT[TEXT.index("[schedule.day]") :])

    assert brief.wanted.layouts == LAYOUTS
    assert (brief.wanted.supply, brief.wanted.flow, brief.stages) == (None, None, ())


@pytest.mark.parametrize("name", sorted(briefs()))
def test_a_brief_that_is_written_reads_back_as_the_same(name):
    brief = bw.read_brief(bw.shipped_brief(name))

    assert parse_needs(brief_text(brief), Path())[0] == brief
    assert parse_needs(brief_text(parsed()), Path())[0] == parsed()


MISTAKES = [
    ('heat = "90 kW"', "heat = «90", "a power with its unit"),
    ('heat = "90 kW"', 'heat = «"dya"', "Nearest: day"),
    ('use = "room.cave"\nheat', 'use = «"chiller.k1"\nheat', "no consumer"),
    ('use = "heat-source.heater"', 'use = «"room.cave"', "no source"),
    ('distance = "30 m"', '«distence = "30 m"', "distance"),
    ('tag = "MC-602"', 'tag = «"ZN-601"', "taken by the consumer"),
    ("material = { deep-steel", "material = { «deep-steal", "deep-steel"),
    ('deep-steel = "4 t"', 'deep-steel = «"4 kW"', "plenty"),
    ('"chiller.k1" = 3', '"chiller.k1" = «3.5', "whole number"),
    ('"least power"', '«"least cost"', "least power"),
    ('layouts = ["L4", "L6"]', 'layouts = «["L4", "L9"]', "L9"),
    ("turbines = 1", "turbines = «-1", "0 to 100"),
    ("load = 1.5", "load = «0.0", "more than zero"),
    ('name = "later"', '«nmae = "later"', "name"),
    ('highest_temperature = "28 degC"', 'highest_temperature = «"2 degC"', "Leave room"),
    ('quantity = "power"', 'quantity = "mass flow"', "mass flow"),
]


@pytest.mark.parametrize(
    ("old", "new", "said"), MISTAKES, ids=[new.replace("«", "") for _, new, _ in MISTAKES]
)
def test_a_mistake_is_told_at_its_place(old, new, said):
    text, line, _ = broken(TEXT, old, new) if "«" in new else (TEXT.replace(old, new), 0, 0)
    with pytest.raises(InputError) as caught:
        parsed(text)

    told = [problem for problem in caught.value.problems if said in f"{problem.message} {problem.advice}"]
    assert told, str(caught.value)
    if line:
        assert line in {problem.line for problem in told}


def test_all_mistakes_come_at_once():
    text = TEXT
    for old, new, _ in MISTAKES[:1] + MISTAKES[3:5] + MISTAKES[11:13]:
        text = text.replace(old, new.replace("«", ""))
    with pytest.raises(InputError) as caught:
        parsed(text)

    assert len({problem.line for problem in caught.value.problems}) >= 5


def test_a_loop_is_no_brief_and_a_brief_without_consumers_is_told():
    for text, said in (
        (TEXT.replace("/brief/1", "/loop/1"), "expected a brief file"),
        (TEXT[: TEXT.index("[[consumer]]")], "what must be cooled"),
    ):
        with pytest.raises(InputError, match=said):
            parsed(text)
