"""Mistakes of set points, feeders, condensate and places: each is found by its own code."""

from dataclasses import replace

import pytest

import brinewright as bw
from brinewright.checks.case import LoopCase
from brinewright.checks.catalogue import criterion_named
from brinewright.checks.graph import waterways
from brinewright.model.loop import Drive, Part, Switch
from brinewright.model.rulebook import Entry
from tests.checks.seeded import (
    Seed,
    add,
    design,
    field,
    is_found,
    is_silent,
    leave_out,
    part,
    report_of,
    start,
    switch,
)
from tests.checks.sound_loops import SOUND

HEATER = (
    add(part("HR-701", "heat-source.heater", into='"ZN-601"', power='"40 kW"')),
    add(
        switch("TSL-701", "ZN-601 temperature", "26 degC", '{ source = "HR-701", made = "run" }', sense="low")
    ),
    add(switch("TSH-701", "ZN-601 temperature", "18 degC", '{ room = "ZN-601", made = "run" }')),
)
TRIP = switch("TSHH-121", "L-108 at 13.5 m", "60 degC", '{ chiller = "CH-201", made = "stop" }')
COLD_TRIP = switch(
    "TSLL-601", "ZN-601 temperature", "14 degC", '{ room = "ZN-601", made = "stop" }', sense="low"
)

SEEDS = [
    Seed(
        code="BW-F62",
        sound="deepstead",
        mistake="the condenser's liquid led back to its tank, past no radiator",
        names="ST-401",
        changes=(leave_out("RD-801"), leave_out("L-804"), field("L-803", "to", '"TK-801.in"')),
    ),
    Seed(
        code="BW-F28",
        sound="deepstead",
        mistake="a switch that begins broken though its tank begins far above it",
        names="TSH-101",
        changes=(
            start("TK-101", 'level = 0.8, temperature = "12 degC"'),
            field("TSH-101", "start", '"broken"'),
        ),
    ),
    Seed(
        code="BW-F28",
        sound="deepstead",
        mistake="a source that begins shut off by a switch of a vessel that is not hot",
        names="HR-801",
        changes=(field("TSH-301", "start", '"made"'),),
    ),
    Seed(
        code="BW-F29",
        sound="ridge",
        mistake="a heater that warms a room up to 26 degC, which coolant cools down to 18 degC",
        names="HR-701",
        changes=HEATER,
    ),
    Seed(
        code="BW-F30",
        sound="ridge",
        mistake="a heater left on in a cooled room",
        names="HR-701",
        changes=HEATER[:1],
    ),
    Seed(
        code="BW-F32",
        sound="ridge",
        mistake="a flow proof that lets a chiller run on a trickle",
        names="CH-201",
        changes=(field("CH-201", "flow_proof", '"0.05 kg/s"'),),
    ),
    Seed(
        code="BW-F40",
        sound="ridge",
        mistake="chillers that stand in a room that they cool",
        names="ZN-601",
        changes=(field("CH-201", "sited", '{ in = "ZN-601" }'),),
    ),
    Seed(
        code="BW-F121",
        sound="ridge",
        mistake="the consumers' pump on the feeder of the chillers",
        names="P-103",
        changes=(field("P-103", "feeder", '"FD-902"'),),
    ),
    Seed(
        code="BW-F121",
        sound="deepstead",
        mistake="a pump on the feeder of the chillers",
        names="P-201",
        changes=(field("P-201", "feeder", '"FD-901"'),),
    ),
    Seed(
        code="BW-F122",
        sound="two pumps",
        mistake="the standby pump on the feeder of the other",
        names="P-104",
        changes=(field("P-104", "feeder", '"TX-901"'),),
    ),
    Seed(
        code="BW-F132",
        sound="ridge",
        mistake="a trip in the pocket of the control",
        names="TSHH-121",
        changes=(add(TRIP),),
    ),
    Seed(
        code="BW-F132",
        sound="ridge",
        mistake="the switch of the ring stops the chillers as well",
        names="TSH-120",
        changes=(
            field(
                "TSH-120",
                "drives",
                '[{ valve = "TV-120", made = "a" }, { chiller = "CH-201", made = "run" }]',
            ),
        ),
    ),
    Seed(
        code="BW-F133",
        sound="deepstead",
        mistake="a low trip above the control of a room",
        names="TSLL-601",
        changes=(add(COLD_TRIP.replace('"14 degC"', '"22 degC"')),),
    ),
    Seed(
        code="BW-F133",
        sound="deepstead",
        mistake="a room's switch above what the room bears",
        names="TSH-601",
        changes=(field("TSH-601", "set", '"26.5 degC"'),),
    ),
    Seed(
        code="BW-F134",
        sound="ridge",
        mistake="a switch that makes on fall under the letters of a high one",
        names="TSH-120",
        changes=(field("TSH-120", "sense", '"low"'),),
    ),
]


@pytest.mark.parametrize("seed", SEEDS, ids=str)
def test_a_mistake_is_found_by_its_own_code(seed):
    assert is_found(seed, SOUND[seed.sound])


@pytest.mark.parametrize("seed", SEEDS, ids=str)
def test_the_sound_loop_does_not_raise_that_code(seed):
    assert is_silent(seed, SOUND[seed.sound])


def test_a_trip_in_a_place_of_its_own_is_not_found():
    apart = add(TRIP.replace("13.5 m", "6 m"))(SOUND["ridge"])

    assert not report_of(apart, "BW-F132").findings


def test_set_points_in_order_are_not_found():
    assert not report_of(add(COLD_TRIP)(SOUND["deepstead"]), "BW-F133").findings


@pytest.mark.parametrize("code", ["BW-F126", "BW-F135"])
@pytest.mark.parametrize("name", ["ridge", "deepstead"])
def test_what_only_a_person_can_see_is_asked(name, code):
    assert report_of(SOUND[name], code).questions


def test_valves_and_chillers_of_kettle_ridge_are_fed_from_the_main_bus():
    """Common practice, no source: both hang on what the main bus feeds, and no pump shares with chillers."""
    case = LoopCase(*design(SOUND["ridge"]))
    fed = [
        *(v for v in case.playing("valve") if v.tag in case.once(waterways).actors),
        *case.playing("cooler"),
    ]
    feeders = {view.feeder for view in fed if view.feeder}

    assert feeders == {"TX-901", "FD-902"}
    assert {view.tag for view in case.of_kind("bus")} == {"SB-901"}
    assert all(case.views[tag].refers("bus") in ((), ("SB-901",)) for tag in feeders)
    assert not report_of(SOUND["ridge"], "BW-F121").findings


def test_every_code_of_this_file_is_in_the_catalogue():
    assert {criterion_named(seed.code).code for seed in SEEDS} == {seed.code for seed in SEEDS}


FEED = {"highest_rise": 6e5, "hotwell_height": 3.0, "capacity": 3.0, "hotwell": 100.0}
STAGED = Switch(tag="LSL-401", sense="low", senses="TK-101 level", setting=0.3, quantity="ratio")


def with_condensate_pump(serves=("ST-401",), switches=(), others=(), **values):
    """Return what the checks of the return find in Deepstead with a condensate pump."""
    loop, rules = design(SOUND["deepstead"])
    entry = Entry(kind="condensate pump", name="lift", law="feed", values={**FEED, **values})
    pump = Part(tag="CP-401", use="condensate-pump.lift", refers={"serves": serves})
    changed = replace(loop, parts=(*loop.parts, *others, pump), switches=(*loop.switches, *switches))
    book = replace(rules, entries=(*rules.entries, entry))
    codes = {"BW-F57", "BW-F57b", "BW-F58"}
    return [finding.code for finding in bw.check(changed, book, codes=codes).findings]


def test_a_condensate_pump_that_is_large_enough_satisfies_all_checks_of_the_return():
    assert with_condensate_pump() == []


def test_a_turbine_below_its_vessel_without_a_pump_is_found():
    assert report_of(SOUND["deepstead"], "BW-F57b").findings[0].subject == ("ST-401",)


@pytest.mark.parametrize(
    ("mistake", "changes"),
    [
        ("too small for the steam", {"capacity": 0.1}),
        ("too weak for the pressure", {"highest_rise": 1e5}),
        (
            "stopped by a level while the turbine runs",
            {"switches": (replace(STAGED, drives=(Drive(target="CP-401", made="stop"),)),)},
        ),
    ],
)
def test_a_condensate_pump_that_cannot_return_all_is_found(mistake, changes):
    assert with_condensate_pump(**changes) == ["BW-F57"], mistake


def test_a_condensate_pump_that_serves_two_vessels_is_found():
    loop, _ = design(SOUND["deepstead"])
    vessel = replace(next(part for part in loop.parts if part.tag == "VE-301"), tag="VE-302")
    turbine = next(part for part in loop.parts if part.tag == "ST-401")
    second = replace(turbine, tag="ST-402", refers={**turbine.refers, "vessel": ("VE-302",)})

    assert "BW-F58" in with_condensate_pump(("ST-401", "ST-402"), others=(vessel, second), capacity=6.0)
