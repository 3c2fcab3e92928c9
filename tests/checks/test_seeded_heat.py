"""One mistake in a sound loop each, about the vessel, its turbines and metal: its own code finds it."""

import pytest

from tests.checks.seeds import Seed, found, judged, made_of, part, values, without
from tests.checks.seeds import both as together

RIDGE, ROCK, DEEP, ALLOY = "kettle-ridge", "kettle-ridge-hot-rock", "deepstead", "alloy-s"

SEEDS = [
    Seed("BW-F49", RIDGE, "hardly insulated", "VE-301", values(VE_301__loss_conductance="7.6 kW/K")),
    Seed("BW-F50", RIDGE, "not insulated", "VE-301", values(VE_301__loss_conductance="9 kW/K")),
    Seed(
        "BW-F51", ROCK, "in the weaker metal", "ST-401", made_of("ridge-bronze", "VE-301", "CH-201", "ST-401")
    ),
    Seed("BW-F52", ALLOY, "three turbines, not four", "ST-401", part("ST-401", count=2)),
    Seed(
        "BW-F53",
        RIDGE,
        "a small vessel",
        "VE-301",
        values(VE_301__water_mass="1 t", VE_301__metal_mass="1 t"),
    ),
    Seed("BW-F64", RIDGE, "a late turbine", "ST-401", values(ST_401__threshold="185 degC")),
    Seed("BW-F67", ROCK, "in the weaker metal", "HR-801", made_of("ridge-bronze", "VE-301", "CH-201")),
    Seed(
        "BW-F67",
        DEEP,
        "hotter rock and no high switch",
        "HR-801",
        together(values(HR_801__store_temperature="195 degC"), without("TSH-301")),
    ),
    Seed("BW-F68", ROCK, "cold rock", "HR-801", values(HR_801__contact_temperature="120 degC")),
    Seed("BW-F72", RIDGE, "no jacket", "ST-401", values(ST_401__jacket_conductance="0 W/K")),
    Seed("BW-F74", RIDGE, "chillers for the consumers alone", "CH-201", values(CH_201__capacity="5.1 kg/s")),
    Seed("BW-F82", ROCK, "chillers in the weaker metal", "CH-201", made_of("ridge-bronze", "CH-201")),
    Seed("BW-F83", ROCK, "chillers in the weaker metal", "CH-201", made_of("ridge-bronze", "CH-201")),
]


@pytest.mark.parametrize("seed", SEEDS, ids=lambda seed: seed.label)
def test_a_mistake_is_found_by_its_own_code_and_names_its_place(seed):
    findings = found(seed.name, seed.change, {seed.code}).of(seed.code)

    assert seed.tag in {finding.subject[0] for finding in findings}


@pytest.mark.parametrize("seed", SEEDS, ids=lambda seed: seed.label)
def test_the_loop_before_the_mistake_does_not_raise_its_code(seed):
    assert judged(seed.name).of(seed.code) == ()
