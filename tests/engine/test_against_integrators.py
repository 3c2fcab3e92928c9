"""A whole small plant, without decisions, against general integrators on equations written by hand.

One tank, a pump, a chiller whose metal stands in a vessel, a turbine that always runs, a room with a
coil, and back.  The liquid on its way passes in plug flow; in the equations chains of lumps stand in for
it, which is as good while temperatures change slowly against the time it takes.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.engine.bench import HEAT_CAPACITY, ZERO, Bench, March

FLOW = 4.0
DROP, POWER, SHARE = 9.0, 100e3, 0.2
METAL, METAL_TO_VESSEL = 900.0 * 500.0, 30e3
VESSEL, VESSEL_LOSS = 7000.0 * 4200.0 + 6000.0 * 500.0, 200.0
STEAM, STEAM_HEAT, RETURN, EFFICIENCY, CASING_SHARE, CASING_HEAT = 0.35, 4200.0, 70.0, 0.4, 0.05, 1e3
CASING, CASING_TO_HALL = 2000.0 * 500.0, 80.0
ROOM, ROOM_TO_OUTSIDE, COIL = 5e6, 400.0, 12e3
GAIN, GAIN_SLOPE = 120e3, 10.0
TANK, TANK_LOSS = 2000.0, 50.0
AMBIENT = 18.0
PUMP_MASS = 2.0
CELLS = 30
"""Lumps in which a content passes, each way from one machine to the next."""
UNTIL = 5400.0
START = {"tank": 40.0, "room": 28.0, "metal": 150.0, "vessel": 146.0, "casing": 30.0}


@dataclass(frozen=True)
class Content:
    """Liquid in the chiller, in the coil and in each of the four lines [kg]."""

    chiller: float
    coil: float
    line: float


LITTLE = Content(4.0, 4.0, 4.4)
"""So little that one tick moves all of a line: the engine goes tick by tick."""
MUCH = Content(20.0, 50.0, 60.0)
"""So much that steps of many ticks are made."""


def plant(content: Content) -> Bench:
    bench = Bench(ambient=AMBIENT, warm=START["tank"])
    bench.tank("TK-1", volume=4.0, level=TANK / 4000.0, degc=START["tank"], loss_conductance=TANK_LOSS)
    bench.part("P-1", "pump.mover", capacity=FLOW, hold_up=PUMP_MASS)
    bench.part(
        "VE-1", "steam-vessel.lump", loss_conductance=VESSEL_LOSS, start={"temperature": START["vessel"]}
    )
    bench.part(
        "CH-1",
        "chiller.drop",
        inside="VE-1",
        height=0.1,
        hold_up=content.chiller,
        start={"temperature": START["metal"]},
    )
    bench.part(
        "ST-1", "turbine.wheel", threshold=120.0 + ZERO, steam_flow=STEAM, refers={"vessel": "VE-1"},
        start={"running": 1.0, "temperature": START["casing"]},
    )  # fmt: skip
    bench.schedule(
        "gains", "power", [(0.0, GAIN), (UNTIL, GAIN + GAIN_SLOPE * UNTIL)], ramps=True, repeats=0.0
    )
    bench.part(
        "ZN-1", "room.cell", heat_capacity=ROOM, outside_conductance=ROOM_TO_OUTSIDE, gains="gains",
        coil_conductance=COIL, hold_up=content.coil, start={"temperature": START["room"]},
    )  # fmt: skip
    bench.line("L-1", "TK-1.out", "P-1.in", mass=content.line)
    bench.line("L-2", "P-1.out", "CH-1.in", mass=content.line)
    bench.line("L-3", "CH-1.out", "ZN-1.in", mass=content.line)
    bench.line("L-4", "ZN-1.out", "TK-1.in", mass=content.line)
    bench.circuit("TK-1")
    bench.part("GR-1", "grid.line")
    bench.part("SB-1", "bus.main")
    return bench


def slopes(t: float, y: np.ndarray, content: Content) -> np.ndarray:
    """The equations: five machines [degC], then four chains of lumps of liquid: to the chiller, on to
    the coil, in the coil, home.  A lump of the coil exchanges as much as plug flow does over its length."""
    tank, room, metal, vessel, casing = y[:5]
    out, cold, coil, warm = y[5:].reshape(4, CELLS)
    dy = np.zeros_like(y)
    reject = FLOW * HEAT_CAPACITY * DROP + SHARE * POWER * FLOW / 8.0
    steam = STEAM * STEAM_HEAT * (vessel - RETURN)
    lump = FLOW * HEAT_CAPACITY * np.expm1(COIL / (FLOW * HEAT_CAPACITY) / CELLS)
    to_coil = lump * (room - coil)
    dy[0] = FLOW / TANK * (warm[-1] - tank) - TANK_LOSS * (tank - AMBIENT) / (TANK * HEAT_CAPACITY)
    dy[1] = (GAIN + GAIN_SLOPE * t - ROOM_TO_OUTSIDE * (room - AMBIENT) - to_coil.sum()) / ROOM
    dy[2] = (reject - METAL_TO_VESSEL * (metal - vessel)) / METAL
    dy[3] = (METAL_TO_VESSEL * (metal - vessel) - steam - VESSEL_LOSS * (vessel - AMBIENT)) / VESSEL
    dy[4] = (CASING_SHARE * steam + CASING_HEAT - CASING_TO_HALL * (casing - AMBIENT)) / CASING
    ways = (
        (out, tank, 2.0 * content.line + PUMP_MASS),
        (cold, out[-1] - DROP, content.chiller + content.line),
        (coil, cold[-1], content.coil),
        (warm, coil[-1], content.line),
    )
    for k, (chain, enters, mass) in enumerate(ways):
        before = np.concatenate(([enters], chain[:-1]))
        dy[5 + k * CELLS : 5 + (k + 1) * CELLS] = FLOW * CELLS / mass * (before - chain)
    dy[5 + 2 * CELLS : 5 + 3 * CELLS] += to_coil * CELLS / (content.coil * HEAT_CAPACITY)
    return dy


def begin() -> np.ndarray:
    first = [START[name] for name in ("tank", "room", "metal", "vessel", "casing")]
    return np.array([*first, *[START["tank"]] * (4 * CELLS)])


TIMES = np.array([0.0, 60.0, 300.0, 900.0, 1800.0, 3600.0, UNTIL])
CHANNELS = [
    ("TK-1", "temperature"),
    ("ZN-1", "temperature"),
    ("CH-1", "metal temperature"),
    ("VE-1", "temperature"),
    ("ST-1", "metal temperature"),
]


@cache
def by_scipy(content: Content) -> np.ndarray:
    solution = solve_ivp(
        slopes, (0.0, UNTIL), begin(), method="BDF", t_eval=TIMES, rtol=1e-10, atol=1e-9, args=(content,)
    )  # fmt: skip
    assert solution.success
    return solution.y[:5]


@pytest.mark.parametrize("content", [LITTLE, MUCH])
def test_two_integrators_agree_on_the_equations(content):
    cvode = pytest.importorskip("sksundae.cvode")

    def right_side(t, y, yp):
        yp[:] = slopes(t, y, content)

    solution = cvode.CVODE(right_side, rtol=1e-10, atol=1e-9, max_num_steps=100_000).solve(TIMES, begin())
    assert solution.success
    # each keeps 1e-10 a step and makes some thousand steps
    assert np.abs(solution.y[:, :5].T - by_scipy(content)).max() < 1e-6


@pytest.mark.parametrize(
    ("content", "longest_step", "liquid"),
    # what meets liquid: chains of lumps smear what plug flow does not, and liquid and node take
    # turns; found 2 mK, and 12 mK where ten times as much liquid is on its way
    [(LITTLE, 1, 4e-3), (MUCH, 1, 20e-3), (MUCH, 11, 20e-3)],
)
def test_a_whole_plant_follows_the_integrators(content, longest_step, liquid):
    march = March(plant(content), longest_step)
    got = np.array([[march.to(time)(*channel) - ZERO for channel in CHANNELS] for time in TIMES]).T
    tank, room, *dry = np.abs(got - by_scipy(content)).max(axis=1)
    assert tank < liquid
    assert room < liquid
    # metal, vessel and casing meet no liquid: the midpoint rule in steps of 1 / 15 of the metal's
    # time constant, or in parts of a step of at most half of it
    assert max(dry) < (1e-4 if longest_step == 1 else 5e-3)
    # and the plant has gone through tens of kelvin, so the tolerances mean something
    assert np.ptp(got, axis=1).min() > 2.0
    assert (march.simulation.counters[2] < 0.3 * UNTIL) == (longest_step > 1)
