"""How much more a loop takes: what is told holds just below the limit and breaks just above it."""

import json
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

from brinewright.checks import LoopCase, Report, check
from brinewright.checks.headroom import headroom
from brinewright.checks.room import Room
from brinewright.files import with_values
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Part
from tests.checks.seeds import judged, sound

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/check.json").read_text(encoding="utf-8"))


def rooms(name: str) -> tuple[Room, ...]:
    loop, rules, folder = sound(name)
    return headroom(LoopCase(loop, rules, folder=folder))


def room_of(name: str, quantity: str, code: str = "", tag: str = "") -> Room:
    return next(
        room
        for room in rooms(name)
        if room.quantity == quantity and code in ("", room.code) and (not tag or tag in room.subject)
    )


def raised(name: str, code: str, loop) -> bool:
    _, rules, folder = sound(name)
    return bool(check(loop, rules, folder=folder, codes={code}).of(code))


def with_heater(name: str, watts: float):
    loop, rules, _ = sound(name)
    heater = Part(
        tag="HR-899",
        use="heat-source.heater",
        values=Frozen({"power": watts}),
        refers=Frozen({"into": ("VE-301",)}),
    )
    assert rules.entry(heater.use).law == "fixed power"
    return replace(loop, parts=(*loop.parts, heater))


@pytest.mark.parametrize(("share", "breaks"), [(0.98, False), (1.02, True)])
def test_a_loop_with_more_load_breaks_just_above_what_is_told(share, breaks):
    room = room_of("kettle-ridge", "load", "BW-F34")
    loop, rules, _ = sound("kettle-ridge")
    heat = 210e3 + share * room.room

    assert raised("kettle-ridge", "BW-F34", with_values(loop, rules, {"MC-604.heat": f"{heat} W"})) == breaks


@pytest.mark.parametrize(("share", "breaks"), [(0.98, False), (1.02, True)])
def test_a_vessel_with_more_heat_breaks_just_above_what_is_told(share, breaks):
    room = room_of("kettle-ridge", "heat into the vessel")

    assert room.code == "BW-F52"
    assert raised("kettle-ridge", room.code, with_heater("kettle-ridge", share * room.room)) == breaks


def test_beyond_the_heat_that_a_vessel_takes_the_next_better_material_is_named():
    assert "must be of deep-steel" in room_of("kettle-ridge", "heat into the vessel").advice


def test_test_loop_s_in_the_soft_alloy_is_at_its_edge():
    """Three turbines take 3 x 6.3 kW/K x (170 - 95) K = 1417.5 kW; every chiller on gives 1416 kW."""
    room = room_of("alloy-s", "heat into the vessel")

    assert room.code == "BW-F52"
    assert room.room == pytest.approx(1.5e3, abs=70.0)  # found to a thousandth of a first step of 65 kW
    assert "must be of steel" in room.advice


@pytest.mark.parametrize(("share", "breaks"), [(0.99, False), (1.01, True)])
def test_a_colder_place_breaks_just_below_what_is_told(share, breaks):
    room = next(r for r in rooms("kettle-ridge") if r.quantity == "ambient temperature" and r.room < 1e3)
    loop, _, _ = sound("kettle-ridge")
    site = Frozen({**loop.site, "ambient_temperature": room.now - share * room.room})

    assert room.direction == "down"
    assert raised("kettle-ridge", room.code, replace(loop, site=site)) == breaks


@pytest.mark.parametrize(("kelvins", "breaks"), [(-0.5, False), (0.5, True)])
def test_consumers_get_too_warm_just_above_the_set_points_told(kelvins, breaks):
    """The phase in which the ring's band meets the warmest hour moves it by up to 0.5 K."""
    room = next(
        r for r in rooms("kettle-ridge") if r.quantity == "set points together" and r.direction == "up"
    )
    loop, rules, _ = sound("kettle-ridge")
    to = f"{room.limit + kelvins - 273.15} degC"
    moved = with_values(loop, rules, {"TSH-110.set": to, "TSH-120.set": to})

    assert raised("kettle-ridge", room.code, moved) == breaks


def test_one_of_two_equal_set_points_has_no_room_by_itself():
    for direction in ("up", "down"):
        room = next(
            r
            for r in rooms("kettle-ridge")
            if r.quantity == "set point" and r.subject == ("TSH-110",) and r.direction == direction
        )

        assert room.room == 0.0
        assert room.code in ("BW-F15b", "BW-F16b")


def test_a_threshold_may_rise_until_the_metal_is_near():
    """205 degC of the metal less the 25 K between threshold and limit."""
    room = room_of("kettle-ridge", "threshold")

    assert (room.code, round(room.limit - 273.15, 1)) == ("BW-F64", 180.0)


def test_the_report_tells_headroom_in_its_schema():
    report: Report = judged("kettle-ridge")

    jsonschema.validate(json.loads(json.dumps(report.as_dict())), SCHEMA)
    assert report.as_dict()["headroom"]
