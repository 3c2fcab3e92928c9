"""The plant as an engineer would hand it to a general integrator.

Method of lines on cells of 1 m, a numpy right-hand side, scipy's `solve_ivp` with
LSODA, and a terminal event for every switch, threshold and tank limit; no tick
lattice.  A day takes the better part of a minute, so a stated share of it can be
timed and scaled up.
"""

import time
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from benchmarks import plant
from benchmarks.plant import DAY, ICE, ROOMS, Outcome

CELLS = 120
FIRST_CELL, GUARD_CELL, RING_CELL = 0, 29, 34
CELL_HEAT = plant.LINEAR_MASS * plant.HEAT_CAPACITY
EDGES = (8, 12, 14, 18, 22)  # hours at which a schedule jumps
AIR = slice(120, 128)
WALL = slice(128, 136)
HOT = slice(136, 139)
MASS_A, TANK_A, MASS_B, TANK_B, VESSEL, BATTERY, LAG_FIRST, LAG_RING = range(139, 147)
SIZE = 147

_CONDUCTANCE = np.full(CELLS, plant.PIPE_CONDUCTANCE / 5.0)
_CONDUCTANCE[65:105] = np.repeat(np.array(plant.ROOM_CONDUCTANCE) / 5.0, 5)
_CONDUCTANCE[105:120] = plant.HOT_CONDUCTANCE / 5.0
_LINE_START = np.array([0, 10, 20, 25, 35, 45, 55, 60])
_LINE_OF = np.repeat(np.arange(8), np.array(plant.LINE_RUNS) * 5)


@dataclass(frozen=True)
class Mode:
    """What stays the same between two events."""

    is_first: bool = False
    is_ring: bool = False
    may_chill: bool = False
    is_on: bool = False
    a_is_empty: bool = False
    b_is_empty: bool = False
    battery_rests: bool = False

    def flows(self) -> NDArray[np.float64]:
        """Return the flow of each line [kg/s], by the order of claims."""
        flow = np.zeros(8)
        if self.is_first and not self.is_ring:
            flow[1] = plant.CONSUMER_CAPACITY if self.a_is_empty else plant.CAPACITY
        flow[4] = plant.CAPACITY if self.is_ring else 0.0
        flow[3] = flow[1] + flow[4]
        flow[5] = flow[1]
        flow[6] = min(plant.CONSUMER_CAPACITY, flow[5]) if self.b_is_empty else plant.CONSUMER_CAPACITY
        flow[2] = 0.0 if self.is_first else plant.CONSUMER_CAPACITY - flow[6]
        flow[7] = flow[6] + flow[2]
        flow[0] = flow[1] + flow[2]
        return flow


class Integrator:
    """The plant behind `solve_ivp`."""

    def __init__(self) -> None:
        self.table, self.start = plant.steam_vessel()
        self.energies = self.table.first + self.table.step * np.arange(len(self.table.temperature))
        self.mode = Mode()
        self.flow = self.mode.flows()

    def steam(self, energy: float) -> float:
        """Return the temperature of the vessel [degC]."""
        return float(np.interp(energy, self.energies, self.table.temperature))

    def rates(self, seconds: float, state: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the rate of change of every state."""
        flow, mode = self.flow, self.mode
        hour = int(self.middle // 3600) % 24
        ambient = plant.ambient_at(seconds)
        gain, power_2 = plant.ROOM_GAIN[hour], plant.SOURCE_2_POWER[hour]
        cells, air, wall, hot = state[:CELLS], state[AIR], state[WALL], state[HOT]
        rate = np.empty(SIZE)

        before = np.empty(CELLS)
        before[1:] = cells[:-1]
        before[0] = state[TANK_A]
        before[10] = before[20] = cells[9]
        before[25] = cells[44] if mode.is_ring else cells[19]
        drop = plant.CHILLER_DROP if mode.may_chill else 0.0
        before[30] = cells[GUARD_CELL] - drop
        before[35] = before[45] = cells[34]
        before[55] = state[TANK_B]
        if flow[7] > 0.0:
            before[60] = (flow[6] * cells[59] + flow[2] * cells[24]) / flow[7]
        node = np.full(CELLS, ambient)
        node[65:105] = np.repeat(air, 5)
        node[105:120] = np.repeat(hot, 5)
        heat = _CONDUCTANCE * (cells - node)
        rate[:CELLS] = flow[_LINE_OF] / plant.LINEAR_MASS * (before - cells) - heat / CELL_HEAT
        given = heat[65:120].reshape(11, 5).sum(axis=1)

        through = plant.AIR_WALL * (air - wall)
        out = plant.AIR_AMBIENT * (air - ambient)
        rate[AIR] = (gain + given[:8] - through - out) / plant.AIR_CAPACITY
        rate[WALL] = (through - plant.WALL_AMBIENT * (wall - ambient)) / plant.WALL_CAPACITY

        steam = self.steam(state[VESSEL])
        electric = waste = 0.0
        rate[VESSEL] = -plant.VESSEL_AMBIENT * (steam - ambient)
        load = plant.BASE_LOAD
        if mode.may_chill and flow[3] > 0.0:
            load += plant.CHILLER_POWER
            rate[VESSEL] += plant.CHILLER_POWER + flow[3] * plant.HEAT_CAPACITY * drop
        if mode.is_on:
            enthalpy = np.interp(state[VESSEL], self.energies, self.table.steam_enthalpy)
            work = plant.STEAM_FLOW * (enthalpy - plant.CONDENSATE_ENTHALPY)
            electric = plant.ELECTRIC_SHARE * work
            waste = work - electric
            rate[VESSEL] -= work
        rate[136] = (waste + given[8] - plant.CASING_AMBIENT * (hot[0] - ambient)) / plant.CASING_CAPACITY
        rate[137] = (plant.SOURCE_1_POWER + given[9]) / plant.SOURCE_CAPACITY
        rate[138] = (power_2 + given[10]) / plant.SOURCE_CAPACITY

        tank_heat = plant.TANK_CONDUCTANCE / plant.HEAT_CAPACITY
        rate[MASS_A] = flow[7] - flow[0]
        rate[MASS_B] = flow[5] - flow[6]
        rate[TANK_A] = flow[7] * (cells[119] - state[TANK_A]) - tank_heat * (state[TANK_A] - ambient)
        rate[TANK_B] = flow[5] * (cells[54] - state[TANK_B]) - tank_heat * (state[TANK_B] - ambient)
        rate[TANK_A] /= state[MASS_A]
        rate[TANK_B] /= state[MASS_B]

        surplus = electric - load
        rate[BATTERY] = (
            plant.BATTERY_EFFICIENCY * surplus if surplus > 0.0 else surplus / plant.BATTERY_EFFICIENCY
        )
        if mode.battery_rests:
            rate[BATTERY] = 0.0
        rate[LAG_FIRST] = (cells[FIRST_CELL] - state[LAG_FIRST]) / plant.LAG
        rate[LAG_RING] = (cells[RING_CELL] - state[LAG_RING]) / plant.LAG
        return rate

    def decide(self, state: NDArray[np.float64]) -> Mode:
        """Return the mode that the thresholds ask for, seen from the present one."""
        mode, nudge = self.mode, 1e-9
        first = state[LAG_FIRST] - (plant.FIRST_BREAKS if mode.is_first else plant.FIRST_MAKES)
        ring = state[LAG_RING] - (plant.RING_BREAKS if mode.is_ring else plant.RING_MAKES)
        guard = state[GUARD_CELL] - (plant.GUARD_STOPS if mode.may_chill else plant.GUARD_RESTARTS)
        turbine = self.steam(state[VESSEL]) - (plant.TURBINE_OFF if mode.is_on else plant.TURBINE_ON)
        made = [
            bool(value > (nudge if was else -nudge))
            for value, was in (
                (first, mode.is_first),
                (ring, mode.is_ring),
                (guard, mode.may_chill),
                (turbine, mode.is_on),
            )
        ]
        new = Mode(*made)
        empty_a = state[MASS_A] <= plant.TANK_LEAST + 1e-6
        empty_b = state[MASS_B] <= plant.TANK_LEAST + 1e-6
        flow = new.flows()
        return replace(
            new,
            a_is_empty=bool(empty_a and flow[0] >= flow[7]),
            b_is_empty=bool(empty_b and flow[6] > flow[5]),
            battery_rests=bool(
                state[BATTERY] >= plant.BATTERY_SIZE - 1.0 if new.is_on else state[BATTERY] <= 1.0
            ),
        )

    def events(self) -> list:  # type: ignore[type-arg]
        """Return the terminal events that can end the present mode."""
        mode = self.mode
        steam_at = plant.TURBINE_OFF if mode.is_on else plant.TURBINE_ON
        energy_at = float(np.interp(steam_at, self.table.temperature, self.energies))
        watched = [
            (LAG_FIRST, plant.FIRST_BREAKS if mode.is_first else plant.FIRST_MAKES, mode.is_first),
            (LAG_RING, plant.RING_BREAKS if mode.is_ring else plant.RING_MAKES, mode.is_ring),
            (GUARD_CELL, plant.GUARD_STOPS if mode.may_chill else plant.GUARD_RESTARTS, mode.may_chill),
            (VESSEL, energy_at, mode.is_on),
        ]
        if self.flow[0] > self.flow[7]:
            watched.append((MASS_A, plant.TANK_LEAST, True))
        if self.flow[6] > self.flow[5]:
            watched.append((MASS_B, plant.TANK_LEAST, True))
        if not mode.battery_rests:
            watched.append((BATTERY, plant.BATTERY_SIZE if mode.is_on else 0.0, not mode.is_on))
        found = []
        for index, level, falls in watched:

            def event(
                _: float, state: NDArray[np.float64], index: int = index, level: float = level
            ) -> float:
                return float(state[index] - level)

            event.terminal = True  # type: ignore[attr-defined]
            event.direction = -1.0 if falls else 1.0  # type: ignore[attr-defined]
            found.append(event)
        return found

    def run(self, seconds: float = DAY) -> Outcome:
        """Run from the start state; there is no ledger and no tick to record."""
        state = np.full(SIZE, plant.PIPE_START)
        state[AIR], state[WALL] = plant.AIR_START, plant.WALL_START
        state[HOT] = np.array([plant.CASING_START, plant.SOURCE_START, plant.SOURCE_START])
        state[MASS_A] = state[MASS_B] = plant.TANK_MASS
        state[TANK_A], state[TANK_B] = plant.TANK_A_START, plant.TANK_B_START
        state[VESSEL], state[BATTERY] = self.start, plant.BATTERY_START
        self.mode = Mode()
        changes = dict.fromkeys(plant.SIGNALS, 0)
        begin, now = time.perf_counter(), 0.0
        while now < seconds:
            new = self.decide(state)
            for name, was, will in zip(changes, vars(self.mode).values(), vars(new).values(), strict=False):
                changes[name] += int(was != will)
            self.mode, self.flow = new, new.flows()
            edge = min([hour * 3600.0 for hour in EDGES if hour * 3600.0 > now] + [seconds])
            edge = min(edge, seconds)
            self.middle = 0.5 * (now + edge)
            answer = solve_ivp(
                self.rates, (now, edge), state, method="LSODA", events=self.events(), rtol=1e-6, atol=1e-6
            )
            if not answer.success:
                raise RuntimeError(answer.message)
            now, state = float(answer.t[-1]), answer.y[:, -1].copy()
        wall = time.perf_counter() - begin
        tanks = state[MASS_A : TANK_B + 1] + np.array([0.0, ICE, 0.0, ICE])
        return Outcome(
            seconds=seconds,
            wall=wall,
            changes=changes,
            air=state[AIR] + ICE,
            wall_nodes=state[WALL] + ICE,
            hot=state[HOT] + ICE,
            tanks=tanks,
            vessel=self.steam(state[VESSEL]) + ICE,
            battery=float(state[BATTERY]),
            residual=float("nan"),
            minutes=np.zeros((0, ROOMS)),
        )

    def day(self, share: float = 1.0 / 48.0) -> float:
        """Return the time of a whole day [s], scaled up from the first `share` of one."""
        return self.run(DAY * share).wall / share


if __name__ == "__main__":
    import sys

    if "--day" in sys.argv:
        print(Integrator().run())
    else:
        print(f"{Integrator().day():.1f} s a day, scaled up from the first half hour")
