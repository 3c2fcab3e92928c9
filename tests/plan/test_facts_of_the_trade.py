"""Facts of the trade that come out of `size`: common practice, no source.

The soft alloy that stands 175 degC, the 125 and 95 degC of the turbine and the 14 K of the chiller are
common practice too; all other numbers are invented.  Nothing in the package names these facts: each
follows from the laws of the place, as the control beside it shows.
"""

from functools import cache

import pytest

from brinewright.checks import check
from brinewright.files import with_value
from tests.plan.places import consumer, counts, figure, materials, place, sized

ZERO = 273.15
RELIEF = """
[relief-valve.lift]
law = "declared"
materials = ["steel"]
opens_at = "171 degC"
differential = "4 K"
relief_flow = "1 kg/s"
discharge = "safe place"
"""
OPEN_CASINGS = (
    ('hall_conductance = "0 W/K"', 'hall_conductance = "150 W/K"'),
    ('jacket_conductance = "28 kW/K"', 'jacket_conductance = "0 W/K"'),
)
"""Casings without jackets, which give their heat to the hall."""
GASES = """
[gas.still-air]
factor = 1.0
[gas.light-gas]
factor = 2.2
[enclosure.shell]
law = "conductance"
conductance = "300 W/K"
gas = "still-air"
gas_pressure = "1 bar abs"
gas_volume = "20 m3"
shell_mass = "900 kg"
shell_conductance = "600 W/K"
"""
ROCK = """
[heat-source.rock]
law = "fixed power"
power = "1300 kW"
"""
HALLS = consumer("MC-601", "420 kW") + consumer("MC-602", "180 kW")
POWER = '[at_hand]\npower = "1 MW"\n'


@cache
def chillers_only():
    wanted = '[wanted]\nmatters = ["least material"]\n[survive]\nturbines = 1\n'
    return sized(HALLS + POWER + wanted, place(more=RELIEF))


def test_a_vessel_that_only_chillers_heat_has_them_in_the_alloy_and_its_valve_in_steel():
    made = materials(chillers_only())
    chillers = {material for tag, material in made.items() if tag.startswith("CH-")}

    assert chillers_only().is_met
    assert chillers == {"alloy-a"}
    assert made["PSV-301"] == "steel"
    assert {material for tag, material in made.items() if tag.startswith("TV-")} <= {"steel"}


HOT = f'{HALLS}[[source]]\ntag = "HR-801"\nuse = "heat-source.rock"\n'
THREE = POWER + 'equipment = { "turbine.threshold" = 3 }\n[survive]\nturbines = 1\n'


@cache
def hot_rock():
    return sized(HOT + THREE, place(*OPEN_CASINGS, more=RELIEF + GASES + ROCK))


def test_hot_rock_at_200_degrees_with_three_turbines_at_full_power_gets_steel_and_a_gas_enclosure():
    answer = hot_rock()
    made = materials(answer)

    assert answer.is_met
    assert counts(answer)["turbine.threshold"] == 3
    # each gives its full 260 kW above 170 degC
    assert figure(answer, "power", "P_t") == pytest.approx(3 * 260e3)
    assert figure(answer, "turbines", "T_eq") == pytest.approx(200.0 + ZERO, abs=10.0)
    assert {made[tag] for tag in ("VE-301", "ST-401", "CH-201")} == {"steel"}
    assert counts(answer)["enclosure.shell"] >= 1


def test_in_the_open_hall_its_casings_would_be_too_hot_even_for_steel():
    others = {other.name: other for other in hot_rock().decision("casings").alternatives}

    assert not others["in the open hall"].is_legal
    assert others["in the open hall"].lost_by > 0.0


def test_one_lightly_loaded_turbine_stands_in_the_open():
    answer = sized(consumer("MC-601", "200 kW") + POWER, place(*OPEN_CASINGS, more=RELIEF + GASES))

    assert answer.is_met
    assert counts(answer).get("turbine.threshold") == 1
    assert "enclosure.shell" not in counts(answer)
    assert answer.decision("casings").chosen == "in the open hall"


@cache
def two_decisions():
    return sized(HALLS + POWER + '[wanted]\nlayouts = ["L6"]\n', place())


def test_both_switches_carry_one_set_point_and_make_on_rise():
    switches = {switch.tag: switch for switch in two_decisions().loop.switches}
    first, second = switches["TSH-110"], switches["TSH-120"]

    assert two_decisions().is_met
    assert (first.setting, first.sense) == (second.setting, second.sense)
    assert first.sense == "high"


def test_a_loop_with_two_different_set_points_is_found():
    loop, rules = two_decisions().loop, place()
    apart = with_value(loop, rules, "TSH-120.set", "27 degC")
    before = {finding.code for finding in check(loop, rules).findings}
    after = {finding.code for finding in check(apart, rules).findings}

    assert after - before


def test_the_outlet_of_the_ring_goes_before_the_direct_line():
    ranks = {(line.start, line.end): line.rank for line in two_decisions().loop.lines}

    assert ranks["TV-120.b", "J-131.in"] == 1
    assert ranks["TV-110.b", "J-131.in"] == 2


@pytest.mark.parametrize("answer", [two_decisions, chillers_only, hot_rock])
def test_the_tanks_together_can_take_the_drained_loop(answer):
    assert figure(answer(), "tanks", "V_free") >= figure(answer(), "tanks", "V_drain")


def test_valves_and_chillers_draw_from_the_main_bus_by_feeders_of_their_own():
    loop = two_decisions().loop
    feeders = {part.tag for part in loop.parts if part.tag.startswith("FD-")}
    buses = [part.tag for part in loop.parts if part.use.startswith("bus.")]
    valves = {part.feeder for part in loop.parts if part.tag.startswith("TV-")}
    chillers = {part.feeder for part in loop.parts if part.tag.startswith("CH-")}

    assert len(buses) == 1
    assert valves | chillers <= feeders
    assert not valves & chillers
