"""A real circuit against independent solvers: two tanks that level out, one pump on its curve."""

import math

import fluids
import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from brinewright.run.simulation import Simulation
from tests.plants import REAL, closes, force, line, part, plant, started, starts

DENSITY, GRAVITY, VISCOSITY = 1100.0, 8.0, 2e-3
BORE, LENGTH, FITTINGS, ROUGHNESS = 0.05, 20.0, 4.0, 4.5e-5
AREA = 0.25 * math.pi * BORE**2
VOLUME, HEIGHT = 2.0, 2.0

RULES = (
    REAL
    + f"""
[buffer-tank.open]
law = "mixed"
volume = "{VOLUME} m3"
tank_height = "{HEIGHT} m"
[pipe-run.plain]
law = "layered"
wall_thickness = "4 mm"
wall_conductivity = "45 W/(m K)"
roughness = "{ROUGHNESS} m"
fittings = {FITTINGS}
[shut-off-valve.tight]
law = "flow coefficient"
flow_coefficient = "100 m3/h"
fail_position = "stays"
"""
)


def tanks(*order: int) -> str:
    """Two tanks, the second 0.3 m higher, a pipe from the first of the order to the second, one shut back."""
    a, b = order
    return (
        part("TK-1", "buffer-tank.open")
        + part("TK-2", "buffer-tank.open", elevation="0.3 m")
        + part("HV-1", "shut-off-valve.tight")
        + line("L-1", f"TK-{a}.out", f"TK-{b}.in", LENGTH, BORE)
        + line("L-2", f"TK-{b}.out", "HV-1.in", 1.0, BORE)
        + line("L-3", "HV-1.out", f"TK-{a}.in", 1.0, BORE)
        + starts(TK_1=(0.9, 50.0), TK_2=(0.2, 30.0))
        + 'HV-1 = { position = "shut" }\n'
    )


def loss(flow: float) -> float:
    """Pressure that the pipe takes at a mass flow, by the reference library [Pa]."""
    if flow == 0.0:
        return 0.0
    speed = abs(flow) / (DENSITY * AREA)
    reynolds = DENSITY * speed * BORE / VISCOSITY
    factor = fluids.friction_factor(reynolds, ROUGHNESS / BORE, Method="Churchill_1977")
    return math.copysign((factor * LENGTH / BORE + FITTINGS) * 0.5 * DENSITY * speed**2, flow)


def levelling(time: float) -> tuple[float, float]:
    """Levels of both tanks after a time, by a general solver."""

    def rate(_, levels):
        push = DENSITY * GRAVITY * (levels[0] * HEIGHT - 0.3 - levels[1] * HEIGHT)
        flow = brentq(lambda q: loss(q) - push, -50.0, 50.0, xtol=1e-12)
        return [-flow / (DENSITY * VOLUME), flow / (DENSITY * VOLUME)]

    found = solve_ivp(rate, (0.0, time), [0.9, 0.2], method="LSODA", rtol=1e-8, atol=1e-10)
    return found.y[0, -1], found.y[1, -1]


@pytest.mark.parametrize("time", [60.0, 200.0, 400.0])
def test_two_tanks_level_out_as_a_general_solver_says(time):
    simulation = started(RULES, tanks(1, 2))
    simulation.advance(time)

    assert closes(simulation)
    # a tick holds its flow: the levels run up to one tick of change, 1e-3 of a level, behind
    assert simulation.value("TK-1", "level") == pytest.approx(levelling(time)[0], abs=6e-4)
    assert simulation.value("TK-2", "level") == pytest.approx(levelling(time)[1], abs=6e-4)


def test_levelled_tanks_rest_at_equal_pressure_and_are_not_solved_again():
    simulation = started(RULES, tanks(1, 2))
    simulation.advance(900.0)
    solved = simulation.counters[3]
    simulation.advance(1200.0)

    assert simulation.value("L-1", "flow") == 0.0
    assert simulation.counters[3] == solved
    first, second = simulation.value("TK-1", "level"), simulation.value("TK-2", "level")
    assert first * HEIGHT == pytest.approx(0.3 + second * HEIGHT, abs=1e-6)


def test_a_line_laid_the_other_way_round_carries_the_mirrored_flow():
    forward, backward = started(RULES, tanks(1, 2)), started(RULES, tanks(2, 1))
    for time in (5.0, 100.0, 300.0):
        forward.advance(time)
        backward.advance(time)

        assert backward.value("L-1", "flow") == pytest.approx(-forward.value("L-1", "flow"), rel=1e-9)
        assert backward.value("L-1", "pressure loss") == pytest.approx(
            -forward.value("L-1", "pressure loss"), rel=1e-9
        )
        for tag in ("TK-1", "TK-2"):
            # parcels are merged at the end at which they enter
            assert backward.value(tag, "temperature") == pytest.approx(
                forward.value(tag, "temperature"), abs=2e-3
            )
    assert closes(backward)


def test_a_forced_valve_opens_a_second_way_and_shuts_it_again():
    loop = tanks(1, 2).replace("[start]", force("HV-1.position", 1.0, 20.0, 40.0) + "[start]")
    compiled = plant(RULES, loop)
    simulation = Simulation(compiled, samples=np.arange(0.0, 60.5))
    simulation.advance(60.0)
    column = next(k for k, (tag, name, *_) in enumerate(compiled.channels) if (tag, name) == ("L-2", "flow"))
    flow = simulation.trace[:, column]

    assert closes(simulation)
    assert np.all(flow[:20] == 0.0)
    assert np.all(flow[22:40] < -1.0)  # back to the lower pressure
    assert np.all(flow[42:] == 0.0)
