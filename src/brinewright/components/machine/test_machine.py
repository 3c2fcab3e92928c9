"""A machine makes heat while it runs, and its coolant takes it."""

import math

import pytest

from tests.electric.parts import told
from tests.plants import STYLISED, closes, started

RULES = (
    STYLISED
    + """
[machine.bench]
law = "lump"
heat = "20 kW"
electric_power = "25 kW"
heat_capacity = "2 MJ/K"
conductance = "1 kW/K"
outside_conductance = "200 W/K"
hold_up = "5 kg"
highest_temperature = "35 degC"
lowest_temperature = "10 degC"
when_stopped = "dead end"
[pump.mover]
law = "fixed capacity"
capacity = "2 kg/s"
power = "0 kW"
heat_share = "0 %"
when_off = "stops"
[pipe-run.hose]
law = "declared"
style = "bare"
capacity = "9 kg/s"
conductance = "0 W/(m K)"
[buffer-tank.big]
law = "mixed"
volume = "5000 m3"
"""
)
ALONE = '[[part]]\ntag = "MC-1"\nuse = "machine.bench"\n'
START = '[start.MC-1]\ntemperature = "20 degC"\n'
COOLED = (
    ALONE
    + """
[[part]]
tag = "TK-1"
use = "buffer-tank.big"
[[part]]
tag = "P-1"
use = "pump.mover"
"""
    + "".join(
        f'[[line]]\ntag = "L-{k}"\nfrom = "{start}"\nto = "{end}"\n'
        'use = "pipe-run.hose"\nlength = "5 m"\nbore = "50 mm"\n'
        for k, (start, end) in enumerate(
            [("TK-1.out", "P-1.in"), ("P-1.out", "MC-1.in"), ("MC-1.out", "TK-1.in")]
        )
    )
)
COLD = START + '[start.TK-1]\nlevel = 0.5\ntemperature = "15 degC"\n'


def test_alone_it_warms_towards_its_balance_with_its_surroundings():
    """T - T_o = (Phi / G) (1 - e^(-G t / C))."""
    plant = started(RULES, ALONE + START)
    plant.advance(5000.0)

    assert plant.value("MC-1", "temperature") - 293.15 == pytest.approx(
        100.0 * (1 - math.exp(-0.5)), rel=1e-6
    )
    assert told(plant) == [("MC-1", "too-warm")]
    assert closes(plant)


def test_its_coolant_takes_by_the_effectiveness_of_a_plug_at_one_temperature():
    """Phi = q c (1 - e^(-G / (q c))) (T - T_in), one side at one temperature (Incropera, NTU method)."""
    plant = started(RULES, COOLED + COLD)
    plant.advance(40000.0)
    stream = 2.0 * 3500.0
    effective = stream * (1.0 - math.exp(-1000.0 / stream))
    arriving = plant.value("TK-1", "temperature")
    expected = (20e3 + effective * arriving + 200.0 * 293.15) / (effective + 200.0)

    assert plant.value("MC-1", "temperature") == pytest.approx(expected, abs=0.02)
    assert plant.value("MC-1", "cooling") == pytest.approx(effective * (expected - arriving), rel=2e-3)
    assert closes(plant)


def test_an_idle_machine_gives_no_heat_and_its_coolant_finds_a_dead_end():
    stop = '\n[[force]]\ntarget = "MC-1.command"\nvalue = "stop"\n'
    plant = started(RULES, COOLED + COLD + stop)
    plant.advance(600.0)

    assert [plant.value("MC-1", name) for name in ("running", "heat", "power", "flow", "cooling")] == [
        0.0
    ] * 5


def test_without_power_it_makes_no_heat_but_its_coolant_still_passes():
    lost = '\n[[force]]\ntarget = "MC-1.powered"\nvalue = "0 %"\n'
    plant = started(RULES, COOLED + COLD + lost)
    plant.advance(600.0)

    assert plant.value("MC-1", "heat") == 0.0
    assert plant.value("MC-1", "flow") == pytest.approx(2.0)
    assert plant.value("MC-1", "temperature") < 293.15
