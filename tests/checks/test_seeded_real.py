"""Mistakes in pipes, pumps, relief, gas and supply: each is found by its own code, where it is made."""

from functools import cache

import pytest

import brinewright as bw
from brinewright.checks import Report, criterion_named
from brinewright.files import parse_design, parse_rulebook
from brinewright.files.lookup import find_rulebook
from brinewright.run import simulate
from tests.checks.seeded import SCENARIOS, Seed, add, field, leave_out, line, part, scenario_text, start, swap

HOUR = 3600.0
"""These faults show within an hour: a whole day of real physics takes ten seconds."""

EARTH = (
    find_rulebook("earth", SCENARIOS).read_text(encoding="utf-8")
    + """
[gas.thin-gas]
properties = "hydrogen"

[gas.heavy-gas]
properties = "carbon dioxide"

[purge-set.cabinet]
law = "ideal mixing"
purge_gas = "heavy-gas"
gas_flow = "40 m3/h"
interlocked = true

[expansion-vessel.cushion]
law = "gas cushion"
volume = "1.2 m3"
charge_pressure = "1.3 bar abs"
highest_pressure = "2.5 bar abs"

[drain-point.tap]
law = "hand valve"

[vent-point.tap]
law = "hand valve"
"""
)
THIN = EARTH.replace('"propylene glycol 30 %"', '"propylene glycol 15 %"')
KETTLE = (
    find_rulebook("kettle", SCENARIOS).read_text(encoding="utf-8")
    + """
[drain-point.tap]
law = "hand valve"

[vent-point.tap]
law = "hand valve"
"""
)

DEEP = scenario_text("deepstead")


def changed(text, *changes):
    for change in changes:
        text = change(text)
    return text


HYDROGEN = changed(
    DEEP,
    field("ZN-602", "ventilation", '"0.5 kg/s"'),
    add(
        part("EN-401", "enclosure.shell", gas='"thin-gas"', gas_pressure='"150 kPa abs"', purity='"98 %"',
             around='"ST-401"', sited='{ in = "ZN-602" }')
        + part("PU-401", "purge-set.cabinet", serves='["EN-401"]')
    ),
)  # fmt: skip
"""Deepstead with its turbine in hydrogen."""

CLOSED = changed(
    DEEP,
    field("TK-101", "closed_pressure", '"1.5 bar abs"'),
    add(part("EV-101", "expansion-vessel.cushion", on='"L-103"')),
)
"""Deepstead with a tank that is shut, and an expansion vessel."""

VALVES = changed(
    DEEP,
    swap('to = "MC-603.in"', 'to = "XV-603.in"'),
    add(
        part("XV-603", "shut-off-valve.plain")
        + line("L-604", "XV-603.out", "MC-603.in", bore="70 mm", section='"looms"')
    ),
)
"""Deepstead with one valve before its machine."""

DIP = """
format = "brinewright/loop/1"
name = "Dip"
rulebook = "kettle"
liquid = "ridge-liquor"
temperature = "24 degC"

""" + part("TK-1", "buffer-tank.mixing", elevation='"1 m"', volume='"8 m3"') \
    + part("TK-2", "buffer-tank.mixing", elevation='"0 m"', volume='"8 m3"') \
    + part("T-1", "tee.plain") + part("T-2", "tee.plain") \
    + part("DR-1", "drain-point.tap", on='"T-1"', into='"TK-2"', elevation='"1.5 m"') \
    + part("VN-2", "vent-point.tap", on='"T-2"') \
    + part("P-1", "pump.mover") \
    + line("L-1", "TK-1.out", "T-1.in", levels='["1 m", "0.2 m"]') \
    + line("L-2", "T-1.out", "P-1.in", levels='["0.2 m", "0.4 m"]') \
    + line("L-3", "P-1.out", "TK-2.in", levels='["0.4 m", "2 m"]') \
    + line("L-4", "TK-2.out", "T-2.in", levels='["0 m", "4 m"]') \
    + line("L-5", "T-2.out", "TK-1.in", levels='["4 m", "2 m"]') + """
[start]
TK-1 = { level = 0.5, temperature = "20 degC" }
TK-2 = { level = 0.5, temperature = "20 degC" }
"""  # fmt: skip
"""Two tanks, a dip that a tap drains and a hump that a tap vents."""

SOUND = {
    "deepstead": (DEEP, EARTH),
    "hydrogen": (HYDROGEN, EARTH),
    "closed": (CLOSED, EARTH),
    "valves": (VALVES, EARTH),
    "thin glycol": (DEEP, THIN),
    "dip": (DIP, KETTLE),
    "ridge": (scenario_text("kettle-ridge"), KETTLE),
}

SEEDS = [
    Seed(code="BW-F02", sound="deepstead", mistake="a frost guard below the freezing point", names="CH-201",
         changes=(field("CH-201", "lowest_evaporation", '"-14 degC"'),)),
    Seed(code="BW-F02", sound="deepstead", mistake="plain water, cooled to 3 degC", names="CH-201",
         changes=(swap('liquid = "house-liquid"', 'liquid = "plain-water"'),
                  field("CH-201", "cooling_capacity", '"180 kW"'))),
    Seed(code="BW-F07", sound="deepstead", mistake="a machine whose wall gets far hotter than glycol stands",
         names="MC-603", changes=(field("MC-603", "heat", '"900 kW"'),)),
    Seed(code="BW-F08", sound="deepstead", mistake="a run so wide that the glycol creeps", names="L-601",
         changes=(field("L-601", "bore", '"900 mm"'),)),
    Seed(code="BW-F12", sound="deepstead", mistake="a cold run left bare", names="L-205",
         changes=(field("L-205", "insulation_thickness", '"0 mm"'),)),
    Seed(code="BW-F26", sound="valves", mistake="a valve that snaps shut in a narrow run", names="XV-603",
         changes=(field("XV-603", "stroke_time", '"0.1 s"'), field("L-603", "bore", '"50 mm"'))),
    Seed(code="BW-F27", sound="ridge", mistake="a mixing body where the liquid parts", names="TV-110",
         changes=(field("TV-110", "use", '"three-way-valve.mixer"'),)),
    Seed(code="BW-F38", sound="deepstead", mistake="a machine that condenses up to 145 degC", names="CH-201",
         changes=(field("CH-201", "highest_condensation", '"145 degC"'),)),
    Seed(code="BW-F42", sound="deepstead", mistake="one of two branches to the chillers too narrow",
         names="CH-202", changes=(field("L-204", "bore", '"60 mm"'),)),
    Seed(code="BW-F54", sound="deepstead", mistake="no relief", names="VE-301",
         changes=(leave_out("PSV-301"),)),
    Seed(code="BW-F54", sound="deepstead", mistake="a valve under the relief", names="PSV-301",
         changes=(field("PSV-301", "isolated", '"single valve"'),)),
    Seed(code="BW-F54", sound="deepstead", mistake="relief that blows into the hall", names="PSV-301",
         changes=(field("PSV-301", "discharge", '"where it is sited"'),)),
    Seed(code="BW-F54", sound="deepstead", mistake="too small a relief", names="PSV-301",
         changes=(field("PSV-301", "flow_area", '"120 mm2"'),)),
    Seed(code="BW-F54", sound="deepstead", mistake="relief set above what the vessel stands", names="PSV-301",
         changes=(field("PSV-301", "set_pressure", '"12 bar abs"'),)),
    Seed(code="BW-F55", sound="deepstead", mistake="a vessel that does not stand vacuum", names="VE-301",
         changes=(field("VE-301", "lowest_pressure", '"0.5 bar abs"'),)),
    Seed(code="BW-F59", sound="deepstead", mistake="condensate cooled far below", names="VE-301",
         changes=(field("ST-401", "subcooling", '"40 K"'),)),
    Seed(code="BW-F61", sound="deepstead", mistake="an expansion from 20 to 0.05 bar", names="ST-401",
         changes=(field("ST-401", "design_inlet_pressure", '"20 bar abs"'),
                  field("ST-401", "design_exhaust_pressure", '"0.05 bar abs"'))),
    Seed(code="BW-F76", sound="hydrogen", mistake="hydrogen thinned with air", names="EN-401",
         changes=(field("EN-401", "purity", '"70 %"'),)),
    Seed(code="BW-F76", sound="hydrogen", mistake="no purge between air and hydrogen", names="EN-401",
         changes=(leave_out("PU-401"),)),
    Seed(code="BW-F76", sound="hydrogen", mistake="a purge set that can let in both", names="PU-401",
         changes=(field("PU-401", "interlocked", "false"),)),
    Seed(code="BW-F77", sound="hydrogen", mistake="hydrogen below the pressure of the hall", names="EN-401",
         changes=(field("EN-401", "gas_pressure", '"90 kPa abs"'),)),
    Seed(code="BW-F78", sound="hydrogen", mistake="a room that is not aired", names="EN-401",
         changes=(field("ZN-602", "ventilation", '"0 kg/s"'),)),
    Seed(code="BW-F88", sound="deepstead", mistake="a short thick copper pipe on a chiller", names="L-203",
         changes=(field("L-203", "length", '"0.05 m"'), field("L-203", "wall_thickness", '"20 mm"'),
                  field("L-203", "wall_conductivity", '"390 W/(m K)"'))),
    Seed(code="BW-F89", sound="deepstead", mistake="a vessel without insulation", names="VE-301",
         changes=(field("VE-301", "loss_conductance", '"300 W/K"'),)),
    Seed(code="BW-F97", sound="deepstead", mistake="a tank too full to drain into", names="TK-101",
         changes=(start("TK-101", 'level = 0.95, temperature = "7 degC"'),)),
    Seed(code="BW-F98", sound="dip", mistake="the tap at the dip left out", names="T-1",
         changes=(leave_out("DR-1"),)),
    Seed(code="BW-F98", sound="dip", mistake="the tap too high on the run that rises", names="T-1",
         changes=(field("DR-1", "on", '"L-2"'),)),
    Seed(code="BW-F99", sound="dip", mistake="the tap on the hump left out", names="T-2",
         changes=(leave_out("VN-2"),)),
    Seed(code="BW-F100", sound="dip", mistake="a drain into a tank that stands higher", names="DR-1",
         changes=(field("DR-1", "into", '"TK-1"'),)),
    Seed(code="BW-F102", sound="ridge", mistake="a tank whose outlet lies above its level", names="P-103",
         changes=(field("TK-103", "lowest_level", "0.8"),)),
    Seed(code="BW-F102", sound="deepstead", mistake="a tank that begins below its outlet", names="P-801",
         changes=(field("TK-801", "lowest_level", "0.5"),)),
    Seed(code="BW-F103", sound="deepstead", mistake="a pump eight metres above its tank", names="P-101",
         changes=(field("TK-101", "elevation", '"-8 m"'),)),
    Seed(code="BW-F104", sound="deepstead", mistake="a branch of half the bore", names="L-601",
         changes=(field("L-601", "bore", '"40 mm"'),)),
    Seed(code="BW-F105", sound="deepstead", mistake="a return run of four times the bore", names="L-103",
         changes=(field("L-103", "bore", '"400 mm"'),)),
    Seed(code="BW-F106", sound="deepstead", mistake="a pump for far less flow and more height", names="P-801",
         changes=(field("P-801", "duty_flow", '"140 m3/h"'), field("P-801", "shut_off_pressure", '"240 kPa"'),
                  field("P-801", "duty_pressure", '"180 kPa"'))),
    Seed(code="BW-F107", sound="deepstead", mistake="one branch laid in a third of the area", names="MC-603",
         changes=(field("L-603", "bore", '"40 mm"'), field("L-613", "bore", '"40 mm"'))),
    Seed(code="BW-F109", sound="valves", mistake="a valve at the other end too", names="L-603",
         changes=(swap('from = "T-601.out"\nto = "XV-603.in"', 'from = "XV-602.out"\nto = "XV-603.in"'),
                  add(part("XV-602", "shut-off-valve.plain")
                      + line("L-605", "T-601.out", "XV-602.in", bore="70 mm")))),
    Seed(code="BW-F110", sound="closed", mistake="no expansion vessel on a shut circuit", names="L-101",
         changes=(leave_out("EV-101"),)),
    Seed(code="BW-F110", sound="closed", mistake="an expansion vessel of a bucket's size", names="EV-101",
         changes=(field("EV-101", "volume", '"0.02 m3"'),)),
    Seed(code="BW-F110", sound="closed", mistake="a valve that can shut the expansion vessel off",
         names="EV-101", changes=(field("EV-101", "can_be_shut_off", "true"),)),
    Seed(code="BW-F111", sound="deepstead", mistake="the tank no higher than the pipes", names="L-801",
         changes=(field("TK-801", "elevation", '"0 m"'),)),
    Seed(code="BW-F114", sound="ridge", mistake="a valve that lets a tenth of its flow pass", names="TV-110",
         changes=(field("TV-110", "leak", '"10 %"'),)),
    Seed(code="BW-F119", sound="deepstead", mistake="a feeder for one small machine", names="FD-901",
         changes=(field("FD-901", "limit", '"100 kW"'),)),
    Seed(code="BW-F120", sound="deepstead", mistake="a long thin cable", names="FD-901",
         changes=(field("FD-901", "conductor_area", '"16 mm2"'), field("FD-901", "cables", "1"),
                  field("FD-901", "route_length", '"200 m"'))),
    Seed(code="BW-F120", sound="deepstead", mistake="a soft supply that a start pulls down", names="SB-901",
         changes=(field("SB-901", "short_circuit_power", '"2 MW"'),)),
    Seed(code="BW-F138", sound="deepstead", mistake="the pressure of another place", names="SITE",
         changes=(swap('ambient_pressure = "97.7 kPa abs"', 'ambient_pressure = "101.3 kPa abs"'),)),
]  # fmt: skip


@cache
def design(text, book):
    return parse_design(text, SCENARIOS, parse_rulebook(book))


@cache
def hour_of(text, book):
    loop, rules = design(text, book)
    return simulate(loop, rules, duration=HOUR, folder=SCENARIOS)


@cache
def report_of(text: str, book: str, code: str) -> Report:
    loop, rules = design(text, book)
    needs_run = criterion_named(code).method in ("run", "question")
    return bw.check(
        loop, rules, codes={code}, day=hour_of(text, book) if needs_run else None, folder=SCENARIOS
    )


@pytest.mark.parametrize("seed", SEEDS, ids=str)
def test_a_mistake_is_found_by_its_own_code_at_its_own_place(seed):
    text, book = SOUND[seed.sound]
    findings = report_of(seed.text(text), book, seed.code).findings

    assert any(seed.names in finding.subject for finding in findings)


@pytest.mark.parametrize("seed", {(seed.code, seed.sound): seed for seed in SEEDS}.values(), ids=str)
def test_the_sound_loop_does_not_raise_that_code(seed):
    assert report_of(*SOUND[seed.sound], seed.code).findings == ()


def test_a_glycol_thinned_to_fifteen_per_cent_is_found():
    assert [finding.subject for finding in report_of(DEEP, THIN, "BW-F08").findings] == [("house",)]
    assert report_of(DEEP, EARTH, "BW-F08").findings == ()


def test_numbers_without_a_source_are_counted_until_their_source_is_named():
    used = sorted({row.split('"')[1] for row in DEEP.splitlines() if row.startswith("use = ")})
    sourced = EARTH + "\n[provenance]\n" + "".join(f'"{key}" = "data sheet 12"\n' for key in used)

    assert report_of(DEEP, EARTH, "BW-F136").findings[0].measure.value == len(used)
    assert report_of(DEEP, sourced, "BW-F136").findings == ()
