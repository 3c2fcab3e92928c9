"""Numbers of the benchmark plant, in one place, and what a candidate hands back.

The plant serves measurement only; it is never demo data.  SI units, but temperatures
in degC here and in the solvers: energies then count from 0 degC, and the ledger loses
fewer digits.  `Outcome` speaks in kelvin.  The solvers beside this file are hard-coded
for it: its topology is in their code, its numbers are here.  They compile these numbers
in as constants, which is why `frozen` keeps no cache on disk: a cache would not notice
an edit here.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import exp, pi, sin
from typing import Any, TypeVar

import numba
import numpy as np
from numpy.typing import NDArray

from benchmarks.saturation import Vessel, read_saturation, vessel_energy, vessel_table

F = TypeVar("F", bound=Callable[..., Any])

ICE = 273.15
DAY = 86_400  # ticks of 1 s

# Coolant and pipes
HEAT_CAPACITY = 4186.0  # J/(kg K)
LINEAR_MASS = 12.27  # kg per metre of pipe
RUN_LENGTH = 5.0  # m
RUN_MASS = LINEAR_MASS * RUN_LENGTH
LINE_RUNS = (2, 2, 1, 2, 2, 2, 1, 12)
CAPACITY, CONSUMER_CAPACITY = 10.0, 6.0  # kg/s; the second for L2, L6, L7
PIPE_CONDUCTANCE = 2.5  # W/K per run, to ambient
ROOM_CONDUCTANCE = tuple(600.0 * (1.0 + 0.02 * room) for room in range(8))
HOT_CONDUCTANCE = 2000.0  # casing and sources
PIPE_START = 25.0

# Tanks
TANK_MASS, TANK_LEAST = 2500.0, 20.0
TANK_CONDUCTANCE = 10.0
TANK_A_START, TANK_B_START = 40.0, 25.0

# Switches (centred differential), chiller and its guard
FIRST_MAKES, FIRST_BREAKS = 18.25, 17.75
RING_MAKES, RING_BREAKS = 17.25, 16.75
LAG = 2.0
LAG_GAIN = 1.0 - exp(-1.0 / LAG)  # of one tick
CHILLER_DROP, CHILLER_POWER = 14.0, 120e3  # common practice, no source
GUARD_STOPS, GUARD_RESTARTS = 15.0, 15.5

# Rooms: an air node and a wall node each
ROOMS = 8
AIR_CAPACITY, WALL_CAPACITY = 1.2e6, 20e6
AIR_WALL, WALL_AMBIENT, AIR_AMBIENT = 400.0, 60.0, 30.0
AIR_START, WALL_START = 24.0, 25.0

# Hot masses: turbine casing, source 1, source 2
CASING_CAPACITY, SOURCE_CAPACITY = 2e6, 0.5e6
CASING_AMBIENT = 15.0
CASING_START, SOURCE_START = 60.0, 50.0
SOURCE_1_POWER = 60e3

# Steam vessel, turbine
VESSEL_VOLUME, VESSEL_MASS, VESSEL_AMBIENT = 40.0, 900.0, 20.0
VESSEL_START = 120.0
TURBINE_ON, TURBINE_OFF = 125.0, 123.0
STEAM_FLOW, ELECTRIC_SHARE = 2.0, 0.9
CONDENSATE_ENTHALPY = float(read_saturation().enthalpy_liquid(ICE + 95.0))  # common practice, no source

# Bus
BATTERY_SIZE, BATTERY_START, BATTERY_EFFICIENCY = 500 * 3.6e6, 250 * 3.6e6, 0.95
BASE_LOAD = 60e3

# By the hour of the day: ambient at its start (straight between), room gain, power of source 2
AMBIENT = tuple(30.0 + 6.0 * sin(2.0 * pi * (hour - 9.0) / 24.0) for hour in range(25))
ROOM_GAIN = tuple(9e3 if 8 <= hour < 18 else 5e3 if 18 <= hour < 22 else 2e3 for hour in range(24))
SOURCE_2_POWER = tuple(300e3 if 12 <= hour < 14 else 40e3 for hour in range(24))

# Bits of the signals of one tick
FIRST, RING, GUARD, TURBINE = 1, 2, 4, 8
SIGNALS = {"first": FIRST, "ring": RING, "guard": GUARD, "turbine": TURBINE}
SIGNALS_START = 0  # switches broken, machines off; the first tick decides at once
SENSED_AT = {"first": ("L0", 0.0), "ring": ("L3", 10.0), "guard": ("L3", 5.0)}  # line, metres along it


def frozen(function: F) -> F:
    """Compile a solver with the plant's numbers in it; never cached on disk."""
    compile_it: Any = numba.njit(error_model="numpy", nogil=True)
    wrapped: F = compile_it(function)
    return wrapped


def steam_vessel() -> tuple[Vessel, float]:
    """Return the tables of the steam vessel, in degC, and its energy at the start [J]."""
    table = vessel_table(VESSEL_VOLUME, VESSEL_MASS)
    start = vessel_energy(read_saturation(), VESSEL_VOLUME, VESSEL_MASS, ICE + VESSEL_START)
    return table._replace(temperature=table.temperature - ICE), float(start)


def ambient_at(seconds: float) -> float:
    """Return the temperature of the surroundings [degC]."""
    hour, rest = divmod(seconds % DAY, 3600.0)
    return AMBIENT[int(hour)] + (AMBIENT[int(hour) + 1] - AMBIENT[int(hour)]) * rest / 3600.0


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What one candidate says about one run from the start state.

    Attributes
    ----------
    seconds : simulated time [s]
    wall : time that the run took, compiling apart [s]
    changes : how often each signal changed, by name
    air, wall_nodes : final temperatures of the rooms [K]
    hot : final temperatures of casing, source 1, source 2 [K]
    tanks : mass [kg] and temperature [K] of tank A, then of tank B
    vessel : final temperature of the steam vessel [K]
    battery : energy in the battery [J]
    residual : energy that appeared or vanished, over all that was exchanged [-]
    signals : signal bits of every tick, if recorded
    minutes : air temperature of each room at the end of each minute [K], if recorded
    """

    seconds: float
    wall: float
    changes: dict[str, int]
    air: NDArray[np.float64]
    wall_nodes: NDArray[np.float64]
    hot: NDArray[np.float64]
    tanks: NDArray[np.float64]
    vessel: float
    battery: float
    residual: float
    signals: NDArray[np.uint8] = field(default_factory=lambda: np.zeros(0, np.uint8), repr=False)
    minutes: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, ROOMS)), repr=False)


def outcome_of(
    final: NDArray[np.float64],
    table: Vessel,
    *,
    seconds: int,
    wall: float,
    signals: NDArray[np.uint8],
    minutes: NDArray[np.float64],
) -> Outcome:
    """Return the outcome that the 26 numbers of a compiled solver stand for.

    They are 8 rooms' air, 8 walls, casing and 2 sources, mass and temperature of tanks
    A and B, energies of vessel and battery, and the residual of the ledger.
    """
    energies = table.first + table.step * np.arange(len(table.temperature))
    tanks = final[19:23] + np.array([0.0, ICE, 0.0, ICE])
    return Outcome(
        seconds=float(seconds),
        wall=wall,
        changes=changes_of(signals[:seconds]),
        air=final[0:8] + ICE,
        wall_nodes=final[8:16] + ICE,
        hot=final[16:19] + ICE,
        tanks=tanks,
        vessel=float(np.interp(final[23], energies, table.temperature)) + ICE,
        battery=float(final[24]),
        residual=float(final[25]),
        signals=signals,
        minutes=minutes + ICE,
    )


def changes_of(signals: NDArray[np.uint8]) -> dict[str, int]:
    """Return how often each signal changed in a recorded sequence, the start state included."""
    before = np.concatenate((np.array([SIGNALS_START], np.uint8), signals))
    return {name: int(np.count_nonzero(np.diff(before & bit))) for name, bit in SIGNALS.items()}


def room_deviation(outcome: Outcome, reference: Outcome) -> tuple[float, float]:
    """Return root mean square and greatest deviation of the rooms' air, minute by minute [K]."""
    count = min(len(outcome.minutes), len(reference.minutes))
    deviation = outcome.minutes[:count] - reference.minutes[:count]
    return float(np.sqrt(np.mean(deviation**2))), float(np.max(np.abs(deviation)))
