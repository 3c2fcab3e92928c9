"""From words to fluids, and what is said when the words or the conditions are wrong."""

import dataclasses
import pickle

import pytest

from brinewright.errors import InputError, PropertyRangeError, UnknownNameError
from brinewright.fluids import PropertyValue, fluid, fluid_names, property_value
from brinewright.fluids.properties import PROPERTIES, find_property


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("water", "water"), ("steam", "water"), ("H2O", "water"),
        ("ethylene glycol 30 %", "ethylene glycol 30 %"),
        ("30 % ethylene glycol in water", "ethylene glycol 30 %"),
        ("Monoethylene glycol 30% by mass", "ethylene glycol 30 %"),
        ("MEG 12.5 %", "ethylene glycol 12.5 %"), ("MPG 40 percent", "propylene glycol 40 %"),
        ("propylene glycol 30 % by volume", "propylene glycol 30 % by volume"),
        ("calcium chloride brine 20 %", "calcium chloride brine 20 %"),
        ("CaCl2 20 %", "calcium chloride brine 20 %"),
        ("sodium-chloride brine 10 %", "sodium chloride brine 10 %"),
        ("ammonia water 18 %", "ammonia water 18 %"),
        ("air", "air"), ("O2", "oxygen"), ("N2", "nitrogen"), ("CO2", "carbon dioxide"),
        ("He", "helium"), ("H2", "hydrogen"),
    ],
)  # fmt: skip
def test_words_of_the_trade_find_their_fluid(words: str, name: str) -> None:
    assert fluid(words).name == name


def test_every_listed_name_is_understood_and_comes_back() -> None:
    for name in fluid_names():
        assert fluid(name).name == name
        assert fluid(fluid(name).name) is not None


def test_an_unknown_fluid_lists_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match=r'no fluid "ethylen glycl 30 %".*ethylene glycol'):
        fluid("ethylen glycl 30 %")
    with pytest.raises(UnknownNameError, match="no fluid"):
        fluid("phlogiston")


def test_a_solution_without_a_share_says_what_to_write() -> None:
    with pytest.raises(InputError, match=r'write for example "calcium chloride brine 20 %"'):
        fluid("calcium chloride brine")
    with pytest.raises(InputError, match="by mass only"):
        fluid("calcium chloride brine 20 % by volume")


def test_a_share_outside_the_table_is_refused_with_its_range() -> None:
    with pytest.raises(PropertyRangeError, match=r"70 % lies outside 0 to 60 % \(Melinder"):
        fluid("ethylene glycol 70 %")
    with pytest.raises(PropertyRangeError, match=r"-5 % lies outside"):
        fluid("ethylene glycol -5 %")


@pytest.mark.parametrize(
    ("name", "conditions", "words"),
    [
        ("water", {"T": 700.0, "p": 1e5}, "temperature 426.85 degC lies outside 0 degC to 400 degC (IAPWS"),
        ("water", {"T": 650.0, "p": 2e7}, "pressure 200 bar abs lies outside"),
        ("water", {"T": 300.0, "p": 4e7}, "pressure 400 bar abs lies outside"),
        ("water", {"T": 590.0, "x": 1.0}, "temperature 316.85 degC lies outside"),
        ("ethylene glycol 30 %", {"T": 430.0}, "156.85 degC lies outside -14.58 degC to 150 degC (Melinder"),
        ("ethylene glycol 30 %", {"T": 250.0}, "it freezes at -14.58 degC"),
        ("ethylene glycol 30 %", {"T": 390.0, "p": 1e5}, "it boils there (Raoult"),
        ("calcium chloride brine 20 %", {"T": 330.0}, "56.85 degC lies outside -18.26 degC to 40 degC"),
        ("air", {"T": 700.0, "p": 1e5}, "426.85 degC lies outside -73.15 degC to 326.85 degC (Lemmon"),
        ("air", {"T": 300.0, "p": 5e6}, "pressure 50 bar abs lies outside 0.1 bar abs to 20 bar abs"),
        ("CO2", {"T": 230.0, "p": 1e5}, "-43.15 degC lies outside -18.15 degC to"),
    ],
)
def test_out_of_range_says_what_came_the_range_and_the_source(
    name: str, conditions: dict[str, float], words: str
) -> None:
    with pytest.raises(PropertyRangeError) as caught:
        fluid(name).value("density", **conditions)

    assert words in str(caught.value)
    assert str(caught.value).count("\n") == 0


@pytest.mark.parametrize(
    ("name", "asked", "conditions", "words"),
    [
        ("water", "density", {"T": 300.0}, "needs a temperature and a pressure"),
        ("water", "density", {"T": 300.0, "p": 1e5, "x": 0.0}, "not both"),
        ("water", "density", {"T": 300.0, "x": 1.5}, "lies between 0"),
        ("water", "viscosity", {"T": 400.0, "x": 0.5}, "not defined"),
        ("water", "saturation pressure", {"p": 1e5}, "needs a temperature"),
        ("water", "boiling point", {"T": 300.0}, "needs a pressure"),
        ("air", "density", {"T": 300.0}, "needs a pressure"),
        ("air", "density", {"T": 300.0, "p": 1e5, "x": 1.0}, "leave the dryness out"),
        ("air", "surface tension", {"T": 300.0, "p": 1e5}, "it has density"),
        ("MEG 30 %", "density", {}, "needs a temperature"),
        ("MEG 30 %", "density", {"T": 300.0, "x": 0.0}, "leave the dryness out"),
        ("methanol 20 %", "boiling point", {"p": 1e5}, "No boiling point is known"),
    ],
)
def test_wrong_conditions_say_what_is_needed(
    name: str, asked: str, conditions: dict[str, float], words: str
) -> None:
    with pytest.raises(InputError) as caught:
        fluid(name).value(asked, **conditions)

    assert words in str(caught.value)


def test_a_state_on_the_boiling_line_asks_for_a_dryness() -> None:
    p = fluid("water").value("saturation pressure", T=400.0)
    with pytest.raises(InputError, match="on the boiling line"):
        fluid("water").value("density", T=400.0, p=p)

    assert fluid("water").evaluate("density", T=400.0, p=p * 1.001).phase == "liquid"
    assert fluid("water").evaluate("density", T=400.0, p=p * 0.999).phase == "steam"


def test_every_property_of_every_fluid_gives_a_finite_number_and_an_error() -> None:
    for name in fluid_names():
        one = fluid(name)
        for entry in one.properties:
            conditions = {"T": 300.0, "p": 3e5}
            if name == "water" and entry in ("surface tension", "enthalpy of evaporation"):
                conditions = {"T": 300.0}

            assert abs(one.value(entry, **conditions)) > 0.0
            assert 0.0 < one.error(entry) < 0.5
            assert entry in PROPERTIES


def test_short_forms_of_properties_are_understood() -> None:
    found = [find_property(word).name for word in ("rho", "cp", "mu", "k", "Pr", "h", "psat", "latent heat")]

    assert found == [
        "density", "heat capacity", "viscosity", "conductivity", "Prandtl number", "enthalpy",
        "saturation pressure", "enthalpy of evaporation",
    ]  # fmt: skip
    with pytest.raises(UnknownNameError, match="no property"):
        find_property("flavour")


def test_a_property_value_says_everything_needed_to_trust_it() -> None:
    found = property_value("steam", "cp", temperature=473.15, pressure=2e5)

    assert (found.fluid, found.property, found.unit, found.phase) == (
        "water",
        "heat capacity",
        "J/(kg K)",
        "steam",
    )
    assert found.conditions == {"temperature": 473.15, "pressure": 2e5}
    assert found.source == "IAPWS R6-95(2018)"
    assert 0.0 < found.error < 1e-4
    assert found.range.temperature == (273.15, 673.15)
    assert pickle.loads(pickle.dumps(found)) == found
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.value = 0.0  # type: ignore[misc]
    assert isinstance(found, PropertyValue)


def test_a_value_by_rule_says_so() -> None:
    inside = property_value("ethylene glycol 30 %", "viscosity", temperature=370.0)
    above = property_value("ethylene glycol 30 %", "viscosity", temperature=400.0)

    assert "Vogel" not in inside.source
    assert "continued above 100 degC" in above.source
    assert inside.error < 1e-6 < 0.05 < above.error < 0.2
