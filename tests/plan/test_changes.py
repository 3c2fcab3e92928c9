"""Another liquid, an extension, and what was built against what was drawn."""

import json
import tomllib
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

import brinewright as bw
from brinewright.checks.case import LoopCase
from brinewright.checks.declared import Declared, declared_plant
from brinewright.cli.app import main
from brinewright.errors import InputError, UnknownNameError
from brinewright.laws import passes
from brinewright.model.rulebook import Liquid
from brinewright.plan.extension import with_addition, with_more_load
from brinewright.plan.mixture import WORSE_OF_BOTH, flushes_for, mixed, residue
from brinewright.run import simulate

RIDGE, DEEPSTEAD = bw.scenario("kettle-ridge"), bw.scenario("deepstead")
KETTLE, EARTH = bw.read_rulebook("kettle"), bw.read_rulebook("earth")
THIN = Liquid(name="thin-liquor", heat_capacity=4000.0, density=1010.0, freezes=263.15, boils=375.0)
ICY = Liquid(name="icy-liquor", heat_capacity=4100.0, density=1000.0, freezes=276.15, boils=370.0)
WIDE = replace(KETTLE, liquids=(*KETTLE.liquids, THIN, ICY))
NEW_MACHINE = """
[[part]]
tag = "MC-605"
use = "machine.bench"
heat = "{heat}"
capacity = "2 kg/s"
[[line]]
tag = "L-605"
from = "T-601.out"
to = "MC-605.in"
use = "pipe-run.insulated"
length = "22 m"
bore = "80 mm"
[[line]]
tag = "L-615"
from = "MC-605.out"
to = "T-602.in"
use = "pipe-run.insulated"
length = "22 m"
bore = "80 mm"
[start]
MC-605 = {{ temperature = "30 degC" }}
"""


def schema(name):
    return json.loads(files("brinewright").joinpath(f"data/schema/{name}.json").read_text(encoding="utf-8"))


def keeps_to_schema(answer, name):
    jsonschema.Draft202012Validator(schema(name)).validate(json.loads(json.dumps(answer.as_dict())))
    return True


@pytest.fixture(scope="module")
def ridge():
    return bw.read_loop(RIDGE)


# ---- flushing and mixing ------------------------------------------------------------------


def test_each_fill_that_mixes_fully_leaves_the_share_of_one_emptying_of_what_was_there():
    """r_n = r^n, against a march of volumes fill by fill."""
    volume, stays, old = 26.0, 1.3, 26.0
    for fills in range(1, 6):
        old = old * stays / volume  # what is left behind is mixed into the next fill
        assert residue(stays / volume, fills) == pytest.approx(old / volume, rel=1e-12)


@pytest.mark.parametrize(("share", "wanted", (
    "flushes"
)), [(0.05, 0.01, 1), (0.1, 0.01, 1), (0.2, 0.01, 2), (0.01, 0.01, 0), (0.0, 0.01, 0)])  # fmt: skip
def test_flushes_are_as_few_as_reach_the_wanted_share(share, wanted, flushes):
    assert flushes_for(share, wanted) == flushes
    assert residue(share, flushes + 1) <= wanted * (1 + 1e-9)
    if flushes:
        assert residue(share, flushes) > wanted


def test_two_strengths_of_one_solution_mix_by_their_solute():
    """Melinder, IIR 2010, as CoolProp has it: the freezing point of what the two make."""
    from CoolProp import CoolProp

    weak, strong = (Liquid(name=f"{p}", properties=f"propylene glycol {p} %") for p in (20, 40))
    mixture = mixed(weak, strong, 0.25, 288.15, 101325.0)
    share = mixture.old_by_mass * 0.20 + (1.0 - mixture.old_by_mass) * 0.40

    assert mixture.freezes == pytest.approx(
        CoolProp.PropsSI("T_freeze", "T", 290, "P", 1e5, (f"INCOMP::MPG[{share}]")), abs=0.02
    )
    assert weak.properties != mixture.liquid.properties
    assert mixture.freezes_pure < mixture.freezes


def test_water_is_a_solution_of_nothing():
    water, glycol = Liquid(name="w", properties="water"), Liquid(name="g", properties="ethylene glycol 40 %")
    mixture = mixed(water, glycol, 0.1, 288.15, 101325.0)

    assert mixture.liquid.properties.startswith("ethylene glycol 36")


def test_liquids_without_a_law_of_mixing_are_judged_by_the_worse_of_both():
    glycol, other = (Liquid(name=n, properties=f"{n} glycol 35 %") for n in ("ethylene", "propylene"))
    mixture = mixed(glycol, other, 0.05, 288.15, 101325.0)
    declared = mixed(ICY, THIN, 0.02, 288.15, 101325.0)

    assert mixture.rule == declared.rule == WORSE_OF_BOTH
    assert mixture.freezes == max(mixture.freezes_pure, mixed(other, glycol, 0.0, 288.15, 1e5).freezes_pure)
    assert declared.freezes == ICY.freezes
    assert declared.boils == ICY.boils
    assert mixed(ICY, THIN, 0.0, 288.15, 101325.0).freezes == THIN.freezes


def test_heat_goes_by_mass_and_space_by_volume():
    made = mixed(ICY, THIN, 0.4, 288.15, 101325.0).liquid
    masses = 0.4 * ICY.density, 0.6 * THIN.density

    assert made.density == pytest.approx(sum(masses))
    assert made.heat_capacity * sum(masses) == pytest.approx(masses[0] * 4100.0 + masses[1] * 4000.0)


# ---- a change of liquid --------------------------------------------------------------------


@pytest.fixture(scope="module")
def thin(ridge):
    return bw.change_liquid(ridge, WIDE, liquid="thin-liquor")


def test_the_new_set_points_keep_the_supply(ridge, thin):
    """T_s = supply + f drop with f the fraction of a pass beyond the whole ones: laws of passes."""
    mean = thin.passes[1]
    declared = declared_plant(LoopCase(ridge, KETTLE))
    assert isinstance(declared, Declared)
    wanted = passes.set_point_for(declared.closed_form().mean_supply, 9.0, mean)
    moved = {one.tag: one.then - one.now for one in thin.set_points}

    assert set(moved) == {"TSH-110", "TSH-120"}
    assert [one.by_closed_form for one in thin.set_points] == pytest.approx([wanted, wanted])
    assert moved["TSH-110"] == pytest.approx(moved["TSH-120"])
    # more heat to the kilogram: fewer passes
    assert thin.passes[1] < thin.passes[0]


def test_the_supply_of_the_run_stays_where_the_set_points_were_to_keep_it(thin):
    (supply,) = (f.values for f in thin.comparison.figures if (f.group, f.quantity) == ("supply", "mean"))

    assert supply[1] == pytest.approx(supply[0], abs=0.1)


def test_heat_is_flow_times_capacity_times_rise(thin):
    before, after = thin.heat_capacity

    assert thin.rise_ratio * after == pytest.approx(before)
    assert thin.flow_ratio == thin.rise_ratio
    assert (before, after) == (3600.0, pytest.approx(4000.0, abs=10.0))


def test_a_liquid_that_freezes_in_the_chillers_is_refused(ridge):
    answer = bw.change_liquid(ridge, WIDE, liquid="icy-liquor")
    codes = [fault.code for fault in answer.serious]

    assert answer.freeze_margin < 3.0
    assert "BW-F01" in codes
    assert answer.is_serious


def test_margins_are_those_of_the_run_with_the_new_liquid(thin):
    result = thin.comparison.results[1]
    coldest = min(
        result[tag][name].min
        for tag in result
        for name in ("inlet temperature", "outlet temperature")
        if name in result[tag]
    )

    assert thin.coldest == coldest
    assert thin.freeze_margin == pytest.approx(coldest - thin.mixture.freezes)
    assert keeps_to_schema(thin, "liquid")


def test_water_in_a_real_plant_is_found_to_freeze_at_the_evaporator():
    told = bw.change_liquid(
        bw.read_loop(DEEPSTEAD), liquid="plain-water", circuit="house", left=0.05, duration=6 * 3600.0
    )

    assert told.residues == pytest.approx((0.05, 0.0025))
    assert told.is_serious
    assert told.viscosity[1] < told.viscosity[0]
    assert any("Back-flow" in text for text in told.recheck)


def test_what_cannot_be_known_is_asked_for(ridge):
    flat = replace(ridge, lines=tuple(replace(line, levels=None) for line in ridge.lines))

    with pytest.raises(InputError, match="--left"):
        bw.change_liquid(flat, WIDE, liquid="thin-liquor")
    with pytest.raises(InputError, match="house, field"):
        bw.change_liquid(bw.read_loop(DEEPSTEAD), liquid="plain-water")
    with pytest.raises(UnknownNameError, match="thin-liquor"):
        bw.change_liquid(ridge, WIDE, liquid="thin-liquid")


# ---- an extension --------------------------------------------------------------------------


def test_a_small_load_more_is_carried(ridge):
    told = bw.extend(ridge, more_load={"MC-604": "+5 kW"})
    (mean,) = (need for need in told.needs if need.what == "mean load")

    assert told.carries
    assert told.growth == ()
    assert mean.then - mean.now == pytest.approx(5.0)
    assert keeps_to_schema(told, "extension")


def test_what_must_grow_is_tried_and_holds(ridge):
    told = bw.extend(ridge, addition=NEW_MACHINE.format(heat="60 kW"))

    assert told.carried_before
    assert not told.carries
    assert told.carries_grown
    assert told.growth[-1].holds
    assert told.growth[-1].worst_margin >= 0.0
    assert told.comparison.names[-1] == "Kettle Ridge grown"
    assert not [one for one in told.comparison.upsets if one.design == 2]


def test_an_addition_stands_in_the_loop_as_its_file_would(ridge):
    wider, tags = with_addition(ridge, KETTLE, NEW_MACHINE.format(heat="60 kW"))
    again, _ = with_addition(wider, KETTLE, NEW_MACHINE.format(heat="70 kW"))

    assert set(tags) == {"MC-605", "L-605", "L-615"}
    assert len(wider.parts) == len(ridge.parts) + 1 == len(again.parts)
    assert simulate(wider, KETTLE, duration=600.0)["MC-605"].heat.last == pytest.approx(60e3)
    assert simulate(again, KETTLE, duration=600.0)["MC-605"].heat.last == pytest.approx(70e3)
    with pytest.raises(InputError, match="T-609"):
        with_addition(ridge, KETTLE, NEW_MACHINE.format(heat="1 kW").replace("T-601", "T-609"))
    with pytest.raises(InputError, match="no TOML"):
        with_addition(ridge, KETTLE, "[[part]")


def test_load_is_added_at_every_hour(ridge):
    more = with_more_load(ridge, KETTLE, "ZN-601", "+80 kW")
    share = with_more_load(ridge, KETTLE, "MC-604", "+20 %")
    gains = [simulate(loop, KETTLE)["ZN-601"].gains for loop in (ridge, more)]

    assert gains[1].min - gains[0].min == pytest.approx(80e3)
    assert gains[1].max - gains[0].max == pytest.approx(80e3)
    assert simulate(share, KETTLE, duration=600.0)["MC-604"].heat.last == pytest.approx(252e3)
    with pytest.raises(InputError, match="less load"):
        with_more_load(ridge, KETTLE, "ZN-601", "-80 kW")
    with pytest.raises(UnknownNameError, match="ZN-601"):
        with_more_load(ridge, KETTLE, "ZN-610", "+80 kW")


# ---- as-built --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def built(ridge):
    loop = ridge
    for name, value in (
        ("ZN-601.capacity", "5 kg/s"), ("L-104.length", "21 m"), ("BT-901.energy", "200 kWh"),
        ("P-103.heat_share", "25 %"), ("TSH-120.set", "19 degC"), ("CH-201.count", "6"),
    ):  # fmt: skip
        loop = bw.with_value(loop, KETTLE, name, value)
    return bw.as_built(ridge, loop)


def test_every_number_that_differs_is_listed_with_both_values(built):
    told = {(one.subject, one.parameter): (one.design, one.built) for one in built.deviations}
    stated = {row["tag"]: row for row in tomllib.loads(RIDGE.read_text(encoding="utf-8"))["part"]}

    assert told == {
        ("ZN-601", "capacity"): ("6 kg/s", "5 kg/s"),
        ("L-104", "length"): ("20 m", "21 m"),
        ("P-103", "heat_share"): ("50 % (rulebook)", "25 %"),
        ("BT-901", "energy"): (stated["BT-901"]["energy"], "200 kWh"),
        ("TSH-120", "set"): ("18 degC", "19 degC"),
        ("CH-201", "count"): ("5", "6"),
    }


def test_what_matters_comes_first_and_says_what_it_does(ridge, built):
    alone = bw.with_value(ridge, KETTLE, "ZN-601.capacity", "5 kg/s")
    result = simulate(alone, KETTLE)["ZN-601"].temperature.max
    found = {one.subject: one for one in built.deviations}
    scores = [one.score for one in built.deviations]

    assert scores == sorted(scores, reverse=True)
    assert found["ZN-601"].matters
    assert f"{303.15 - result:.1f} K: out of its limit" in found["ZN-601"].effect
    assert not found["L-104"].matters
    assert found["BT-901"].matters
    assert "battery" in found["BT-901"].effect
    assert built.matters
    assert keeps_to_schema(built, "as-built")


def test_the_same_loop_has_no_difference(ridge):
    told = bw.as_built(ridge, ridge, duration=3600.0)

    assert told.deviations == ()
    assert not told.matters
    assert not told.serious


# ---- the verb ---------------------------------------------------------------------------------


def test_the_verb_answers_each_question_and_one_at_a_time(tmp_path, capsys):
    more = tmp_path / "more.toml"
    more.write_text(NEW_MACHINE.format(heat="2 kW"), encoding="utf-8")
    asked = ["drain", str(RIDGE), "--for", "2h"]

    assert main([*asked, "--add", str(more), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["format"] == "brinewright/extension/1"
    assert main([*asked, "--more-load", "MC-604=+5 kW"]) == 0
    assert "carries it as it is" in capsys.readouterr().out
    assert main([*asked, "--as-built", str(bw.scenario("kettle-ridge-hot-rock"))]) == 0
    assert "HR-801: not there drawn" in capsys.readouterr().out
    assert main([*asked, "--change-to", "ridge-liquor"]) == 0
    assert "l come out" in capsys.readouterr().out
    assert main([*asked, "--change-to", "ridge-liquor", "--add", str(more)]) == 2
