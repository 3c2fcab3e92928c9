"""One mistake in a sound loop each, about the vessel, its turbines and metal: its own code finds it."""

import pytest

from brinewright.model.loop import Sited
from tests.checks.seeds import (
    Seed,
    boils,
    found,
    judged,
    made_of,
    part,
    senses,
    site,
    starts,
    straight,
    values,
    without,
)
from tests.checks.seeds import both as together

RIDGE, ROCK, DEEP = "kettle-ridge", "kettle-ridge-hot-rock", "deepstead"
ALLOY, BATH = "alloy-s", "bath-s"
ZERO = 273.15

SEEDS = [
    Seed(
        "BW-F03",
        DEEP,
        "no frost guard and a timid flow proof",
        "CH-201",
        values(
            CH_201__flow_proof="0.8 kg/s",
            CH_201__lowest_evaporation="-60 degC",
            CH_202__lowest_evaporation="-60 degC",
        ),
    ),
    Seed(
        "BW-F41",
        "series-s",
        "one decision for two chillers, set for ice",
        "CH-202",
        together(straight(), values(TSH_110__set="-6 degC")),
    ),
    Seed("BW-F44", DEEP, "no timer", "CH-201", values(CH_201__shortest_rest="20 s")),
    Seed("BW-F31", RIDGE, "filled for the first trial only", "CH-201", values(VE_301__water_mass="1500 kg")),
    Seed("BW-F39", DEEP, "a chiller from a brochure", "CH-201", values(CH_201__second_law_efficiency="90 %")),
    Seed(
        "BW-F47",
        RIDGE,
        "chillers hung high",
        "VE-301",
        part("CH-201", sited=Sited(inside="VE-301", height=1.6)),
    ),
    Seed("BW-F47", DEEP, "hardly any water", "VE-301", values(VE_301__water_mass="900 kg")),
    Seed("BW-F48", RIDGE, "filled to the brim", "VE-301", values(VE_301__water_mass="13.5 t")),
    Seed("BW-F55", DEEP, "built for pressure alone", "VE-301", values(VE_301__lowest_pressure="50 kPa abs")),
    Seed("BW-F65", RIDGE, "a narrow threshold", "ST-401", values(ST_401__differential="1 K")),
    Seed(
        "BW-F66",
        RIDGE,
        "a vessel in the galleries",
        "VE-301",
        together(part("VE-301", sited=Sited(inside="ZN-601")), values(VE_301__loss_conductance="300 W/K")),
    ),
    Seed(
        "BW-F73",
        ROCK,
        "no gas and no jacket",
        "EN-501",
        values(EN_501__gas="vacuum", ST_401__jacket_conductance="0 W/K"),
    ),
    Seed("BW-F75", ROCK, "a shell hung in nothing", "EN-501", values(EN_501__shell_conductance="0 W/K")),
    Seed(
        "BW-F90",
        RIDGE,
        "small tanks and a slow ring",
        "TK-101",
        values(TK_101__volume="7 m3", TK_102__volume="4 m3", P_102__capacity="10 kg/s"),
    ),
    Seed(
        "BW-F92",
        RIDGE,
        "little cold and a slow return",
        "MC-604",
        together(values(TK_103__volume="1 m3"), values(SB_901__restores_after="15 min")),
    ),
    Seed("BW-F116", RIDGE, "two turbines' worth of power", "SB-901", values(ST_401__efficiency="40 %")),
    Seed("BW-F116", RIDGE, "hardly any battery", "SB-901", values(BT_901__energy="20 kWh")),
    Seed("BW-F117", RIDGE, "a battery for an hour", "SB-901", values(BT_901__energy="400 kWh")),
    Seed("BW-F118", RIDGE, "no battery", "SB-901", without("BT-901")),
    Seed(
        "BW-F124",
        RIDGE,
        "a turbine that runs cold",
        "ST-401",
        starts("ST-401", running=True, vessel="VE-301", temperature=ZERO + 60.0),
    ),
    Seed("BW-F125", DEEP, "a battery that loses much", "BT-901", values(BT_901__standing_loss="5 kW")),
    Seed("BW-F01", RIDGE, "set 27 K lower", "CH-201", values(TSH_110__set="-9 degC", TSH_120__set="-9 degC")),
    Seed("BW-F04", RIDGE, "a cold hill", "L-100", site(ambient_temperature=ZERO - 40.0)),
    # both machines on the hot side give it back at 33 degC, the first a little warmer
    Seed("BW-F05", RIDGE, "a liquid that boils early", "MC-603", boils(ZERO + 41.0)),
    Seed("BW-F10", RIDGE, "set 7 K higher", "ZN-601", values(TSH_110__set="25 degC", TSH_120__set="25 degC")),
    Seed(
        "BW-F11", RIDGE, "people who feel each kelvin", "ZN-601", values(ZN_601__lowest_temperature="23 degC")
    ),
    Seed(
        "BW-F13", RIDGE, "halls that stand no chill", "ZN-602", values(ZN_602__lowest_temperature="21 degC")
    ),
    Seed("BW-F33", RIDGE, "one chiller less", "CH-201", part("CH-201", count=4)),
    Seed("BW-F34", RIDGE, "three chillers, not five", "CH-201", part("CH-201", count=3)),
    Seed(
        "BW-F35",
        RIDGE,
        "four chillers and more work",
        "CH-201",
        together(part("CH-201", count=4), values(MC_604__heat="260 kW")),
    ),
    Seed("BW-F36", BATH, "a narrow differential", "CH-202", values(TSH_101__differential="0.1 K")),
    Seed(
        "BW-F37",
        BATH,
        "hardly any load at a small tank",
        "CH-202",
        together(values(MC_601__heat="50 kW"), values(TK_101__volume="3 m3")),
    ),
    Seed(
        "BW-F43",
        BATH,
        "a stage that senses its own outlet",
        "TSH-101",
        senses("TSH-101", "L-105 at 1 m", differential=0.5),
    ),
    Seed("BW-F91", BATH, "a small tank", "TK-101", values(TK_101__volume="8 m3")),
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


@pytest.mark.parametrize(
    ("name", "stated", "code"),
    [
        ("warm_up", "1 h", "BW-F49"),
        ("threshold_to_limit", "80 K", "BW-F64"),
        ("time_to_act", "40 min", "BW-F53"),
    ],
)
def test_a_loop_that_states_a_wider_margin_is_held_to_it(name, stated, code):
    stricter = values(**{f"margin__{name}": stated})

    assert judged(RIDGE).of(code) == ()
    assert found(RIDGE, stricter, {code}).of(code)
