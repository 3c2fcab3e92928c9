"""The layered run against general libraries and hand calculation."""

import math

import fluids
import ht
import pytest

from tests.plants import REAL, closes, line, part, started, starts

DENSITY, VISCOSITY, CONDUCTIVITY, HEAT_CAPACITY = 1100.0, 2e-3, 0.5, 3500.0
BORE, LENGTH = 0.06, 40.0
AMBIENT = 293.15

LAYERS = {
    "bare": "",
    "insulated": 'insulation_thickness = "25 mm"\ninsulation_conductivity = "0.04 W/(m K)"',
    "finned": 'fin_height = "20 mm"\nfin_thickness = "0.6 mm"\nfin_pitch = "6 mm"',
}


def rules(style: str) -> str:
    return (
        REAL
        + f"""
[buffer-tank.wide]
law = "mixed"
volume = "50 m3"
[pump.curve]
law = "curve"
shut_off_pressure = "220 kPa"
duty_flow = "25 m3/h"
duty_pressure = "150 kPa"
when_off = "stops"
[pipe-run.plain]
law = "layered"
wall_thickness = "3 mm"
wall_conductivity = "50 W/(m K)"
outer_coefficient = "10 W/(m2 K)"
roughness = "0.1 mm"
fittings = 6
{LAYERS[style]}
"""
    )


LOOP = (
    part("TK-1", "buffer-tank.wide")
    + part("P-1", "pump.curve")
    + line("L-1", "TK-1.out", "P-1.in", 1.0, 0.1)
    + line("L-2", "P-1.out", "TK-1.in", LENGTH, BORE, levels='["0 m", "2 m"]')
    + starts(TK_1=(0.5, 60.0))
)


def run(style: str):
    simulation = started(rules(style), LOOP)
    simulation.advance(300.0)
    return simulation


def outer_resistance(style: str) -> float:
    """Wall, layers and surface by length of run, after ISO 12241 and fins with an adiabatic tip [m K/W]."""
    radius = 0.5 * BORE
    total = math.log((radius + 0.003) / radius) / (2.0 * math.pi * 50.0)
    radius += 0.003
    if style == "insulated":
        total += math.log((radius + 0.025) / radius) / (2.0 * math.pi * 0.04)
        radius += 0.025
    surface = 2.0 * math.pi * radius
    if style == "finned":
        m = math.sqrt(2.0 * 10.0 / (50.0 * 6e-4))
        efficiency = math.tanh(m * 0.02) / (m * 0.02)
        surface = surface * (1.0 - 0.6 / 6.0) + efficiency * 2.0 * surface * 0.02 / 6e-3
    return total + 1.0 / (10.0 * surface)


@pytest.mark.parametrize("style", LAYERS)
def test_the_loss_of_heat_follows_film_wall_layers_and_surface_in_series(style):
    simulation = run(style)
    flow = simulation.value("L-2", "flow")
    reynolds = 4.0 * flow / (math.pi * BORE * VISCOSITY)
    prandtl = HEAT_CAPACITY * VISCOSITY / CONDUCTIVITY
    friction = (0.79 * math.log(reynolds) - 1.64) ** -2  # Petukhov
    nusselt = ht.turbulent_Gnielinski(reynolds, prandtl, friction)
    film = 1.0 / (math.pi * nusselt * CONDUCTIVITY)
    conductance = LENGTH / (film + outer_resistance(style))
    mean = simulation.value("L-2", "temperature")

    assert closes(simulation)
    assert reynolds > 4000.0
    # the film is kept until the flow has moved by 1 %, the tank cools by 0.1 K in a minute
    assert simulation.value("L-2", "loss") == pytest.approx(conductance * (mean - AMBIENT), rel=3e-3)


def test_the_pressure_loss_is_that_of_the_reference_library():
    simulation = run("bare")
    flow = simulation.value("L-2", "flow")
    speed = flow / (DENSITY * 0.25 * math.pi * BORE**2)
    reynolds = DENSITY * speed * BORE / VISCOSITY
    factor = fluids.friction_factor(reynolds, 1e-4 / BORE, Method="Churchill_1977")
    expected = (factor * LENGTH / BORE + 6.0) * 0.5 * DENSITY * speed**2

    # friction is kept until the flow has moved by 1 %: the error is of the square of that
    assert simulation.value("L-2", "pressure loss") == pytest.approx(expected, rel=1e-4)


def test_the_pressure_where_a_run_begins_is_that_of_pump_and_height():
    simulation = run("bare")
    surface = 9e4 + DENSITY * 8.0 * simulation.value("TK-1", "level") * 3.9929
    suction = simulation.value("L-1", "pressure")
    delivery = simulation.value("L-2", "pressure")

    # a tank as high as it is wide: (4 V / pi)^(1/3) = 3.9929 m
    assert suction == pytest.approx(surface, rel=1e-4)
    assert delivery == pytest.approx(
        suction - simulation.value("L-1", "pressure loss") + simulation.value("P-1", "pressure rise"),
        rel=1e-6,
    )


def test_slow_liquid_is_the_better_insulator():
    loop = LOOP.replace("[start]", '[[force]]\ntarget = "P-1.running"\nvalue = 0.25\nstart = "0 s"\n[start]')
    slow = started(rules("finned"), loop)
    slow.advance(600.0)
    fast = run("finned")

    def conductance(simulation):
        return simulation.value("L-2", "loss") / (simulation.value("L-2", "temperature") - AMBIENT)

    assert slow.value("L-2", "flow") < 0.3 * fast.value("L-2", "flow")
    assert conductance(slow) < 0.98 * conductance(fast)
