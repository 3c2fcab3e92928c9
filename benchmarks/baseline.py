"""The baseline to beat: this plant alone, hard-coded and compiled.

Cells of 1 m, upwind, one tick of 1 s; no tables, no generality.  Lines, order of
claims, switches and devices stand in the code.  The ledger takes every exchange once.
"""

import math
import time

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import expm

from benchmarks import plant
from benchmarks.plant import DAY, Outcome, frozen, outcome_of

CELLS = 5  # per run
COURANT = 1.0 / plant.LINEAR_MASS  # per kg/s
CELL_HEAT = plant.LINEAR_MASS * plant.HEAT_CAPACITY
HEAT_CAPACITY = plant.HEAT_CAPACITY

# Share of the distance to the neighbour that is left after one tick
PIPE_STAYS = math.exp(-plant.PIPE_CONDUCTANCE / (plant.RUN_MASS * HEAT_CAPACITY))
HOT_STAYS = math.exp(-plant.HOT_CONDUCTANCE / (plant.RUN_MASS * HEAT_CAPACITY))
ROOM_STAYS = tuple(math.exp(-ua / (plant.RUN_MASS * HEAT_CAPACITY)) for ua in plant.ROOM_CONDUCTANCE)

# One tick of a room: (air, wall) after it, from (air, wall, ambient, power into the air)
_RATES = np.zeros((4, 4))
_RATES[0] = np.array([-plant.AIR_WALL - plant.AIR_AMBIENT, plant.AIR_WALL, plant.AIR_AMBIENT, 1.0])
_RATES[0] /= plant.AIR_CAPACITY
_RATES[1] = np.array([plant.AIR_WALL, -plant.AIR_WALL - plant.WALL_AMBIENT, plant.WALL_AMBIENT, 0.0])
_RATES[1] /= plant.WALL_CAPACITY
_ROOM = expm(_RATES)
AIR_AIR, AIR_WALL, AIR_OUT, AIR_POWER = (float(value) for value in _ROOM[0])
WALL_AIR, WALL_WALL, WALL_OUT, WALL_POWER = (float(value) for value in _ROOM[1])

FIRST_CELL = 0  # where the first switch senses: the inlet of L0
GUARD_CELL = 29  # the inlet of the chiller: the outlet of the first run of L3
RING_CELL = 34  # where the ring switch senses: the outlet of L3


@frozen
def _advect(cells, low, high, flow, inlet):
    """Move the cells low..high-1 on by one tick of upwind flow."""
    courant = flow * COURANT
    for cell in range(high - 1, low, -1):
        cells[cell] += courant * (cells[cell - 1] - cells[cell])
    cells[low] += courant * (inlet - cells[low])


@frozen
def _exchange(cells, low, high, node, stays):
    """Let cells meet a node that keeps its temperature in the tick; heat taken from them [J]."""
    total = 0.0
    for cell in range(low, high):
        distance = cells[cell] - node
        total += distance
        cells[cell] = node + stays * distance
    return total * (1.0 - stays) * CELL_HEAT


@frozen
def flows(is_first, is_ring, spare_a, spare_b):
    """Flow of L1, L2, L3, L4, L6 [kg/s] by the order of claims; L5 has that of L1, L0 and L7 have sums.

    What the tanks can spare in the tick [kg/s] bounds what they give beyond what they get.
    """
    flow_1 = 0.0
    if is_first and not is_ring:
        flow_1 = min(plant.CAPACITY, spare_a + min(plant.CONSUMER_CAPACITY, spare_b + plant.CAPACITY))
    flow_4 = plant.CAPACITY if is_ring else 0.0
    flow_6 = min(plant.CONSUMER_CAPACITY, spare_b + flow_1)
    flow_2 = 0.0 if is_first else min(plant.CONSUMER_CAPACITY - flow_6, spare_a + plant.CONSUMER_CAPACITY)
    return flow_1, flow_2, flow_1 + flow_4, flow_4, flow_6


@frozen
def _tank(mass, temperature, inflow, inlet, outflow):
    """One tick of a mixed tank: its temperature after it, and the mean of what left it."""
    after = mass + inflow - outflow
    end = (mass * temperature + inflow * inlet - 0.5 * outflow * temperature) / (after + 0.5 * outflow)
    return end, 0.5 * (temperature + end)


@frozen
def _march(
    ticks,
    replays,
    signals,
    minutes,
    steam_first,
    steam_step,
    steam_temperature,
    steam_enthalpy,
    vessel_start,
    final,
):
    """Run `ticks` ticks from the start state; record signals and minutes, fill `final`."""
    cells = np.full(24 * CELLS, plant.PIPE_START)
    air = np.full(8, plant.AIR_START)
    wall = np.full(8, plant.WALL_START)
    mass_a, mass_b = plant.TANK_MASS, plant.TANK_MASS
    tank_a, tank_b = plant.TANK_A_START, plant.TANK_B_START
    casing, source_1, source_2 = plant.CASING_START, plant.SOURCE_START, plant.SOURCE_START
    vessel, battery = vessel_start, plant.BATTERY_START
    is_first, is_ring, may_chill, is_on = False, False, False, False
    lag_first, lag_ring = plant.PIPE_START, plant.PIPE_START
    inverse_step = 1.0 / steam_step
    entered, left, moved = 0.0, 0.0, 0.0

    start = vessel + battery + casing * plant.CASING_CAPACITY + (source_1 + source_2) * plant.SOURCE_CAPACITY
    start += HEAT_CAPACITY * (mass_a * tank_a + mass_b * tank_b) + CELL_HEAT * np.sum(cells)
    start += plant.AIR_CAPACITY * np.sum(air) + plant.WALL_CAPACITY * np.sum(wall)

    for tick in range(ticks):
        hour = tick // 3600 % 24
        within = tick % 3600 + 0.5
        ambient = plant.AMBIENT[hour] + (plant.AMBIENT[hour + 1] - plant.AMBIENT[hour]) * within / 3600.0
        gain, power_2 = plant.ROOM_GAIN[hour], plant.SOURCE_2_POWER[hour]

        # Signals
        place = (vessel - steam_first) * inverse_step
        index = int(place)
        share = place - index
        steam = steam_temperature[index] + share * (steam_temperature[index + 1] - steam_temperature[index])
        if replays:
            bits = signals[tick]
            is_first, is_ring = bits & 1 != 0, bits & 2 != 0
            may_chill, is_on = bits & 4 != 0, bits & 8 != 0
        else:
            lag_first += plant.LAG_GAIN * (cells[FIRST_CELL] - lag_first)
            lag_ring += plant.LAG_GAIN * (cells[RING_CELL] - lag_ring)
            is_first = lag_first > (plant.FIRST_BREAKS if is_first else plant.FIRST_MAKES)
            is_ring = lag_ring > (plant.RING_BREAKS if is_ring else plant.RING_MAKES)
            inlet = cells[GUARD_CELL]
            may_chill = inlet >= plant.GUARD_STOPS if may_chill else inlet > plant.GUARD_RESTARTS
            is_on = steam >= plant.TURBINE_OFF if is_on else steam > plant.TURBINE_ON
            if signals.size > 0:
                signals[tick] = is_first + 2 * is_ring + 4 * may_chill + 8 * is_on

        # Flows
        flow_1, flow_2, flow_3, flow_4, flow_6 = flows(
            is_first, is_ring, mass_a - plant.TANK_LEAST, mass_b - plant.TANK_LEAST
        )
        flow_7 = flow_6 + flow_2

        # Water moves; lines that stand still are left alone
        out_0, out_1, out_2, out_3 = cells[9], cells[19], cells[24], cells[34]
        out_4, out_5, out_6, out_7 = cells[44], cells[54], cells[59], cells[119]
        inlet = cells[GUARD_CELL]
        ended, from_a = _tank(mass_a, tank_a, flow_7, out_7, flow_1 + flow_2)
        mass_a += flow_7 - flow_1 - flow_2
        tank_a = ended
        ended, from_b = _tank(mass_b, tank_b, flow_1, out_5, flow_6)
        mass_b += flow_1 - flow_6
        tank_b = ended
        drop = plant.CHILLER_DROP if may_chill else 0.0
        if flow_1 + flow_2 > 0.0:
            _advect(cells, 0, 10, flow_1 + flow_2, from_a)
        if flow_1 > 0.0:
            _advect(cells, 10, 20, flow_1, out_0)
            _advect(cells, 45, 55, flow_1, out_3)
        if flow_2 > 0.0:
            _advect(cells, 20, 25, flow_2, out_0)
        if flow_3 > 0.0:
            _advect(cells, 30, 35, flow_3, inlet - drop)
            _advect(cells, 25, 30, flow_3, out_4 if flow_4 > 0.0 else out_1)
        if flow_4 > 0.0:
            _advect(cells, 35, 45, flow_4, out_3)
        if flow_6 > 0.0:
            _advect(cells, 55, 60, flow_6, from_b)
        if flow_7 > 0.0:
            _advect(cells, 60, 120, flow_7, (flow_6 * out_6 + flow_2 * out_2) / flow_7)

        # Pipes and tanks meet their surroundings
        lost = _exchange(cells, 0, 65, ambient, PIPE_STAYS)
        heat = plant.TANK_CONDUCTANCE * (tank_a - ambient)
        tank_a -= heat / (mass_a * HEAT_CAPACITY)
        lost += heat
        heat = plant.TANK_CONDUCTANCE * (tank_b - ambient)
        tank_b -= heat / (mass_b * HEAT_CAPACITY)
        lost += heat

        # Rooms
        for room in range(8):
            heat = gain + _exchange(cells, 65 + 5 * room, 70 + 5 * room, air[room], ROOM_STAYS[room])
            old_air, old_wall = air[room], wall[room]
            new_air = AIR_AIR * old_air + AIR_WALL * old_wall + AIR_OUT * ambient + AIR_POWER * heat
            new_wall = WALL_AIR * old_air + WALL_WALL * old_wall + WALL_OUT * ambient + WALL_POWER * heat
            lost += heat - plant.AIR_CAPACITY * (new_air - old_air)
            lost -= plant.WALL_CAPACITY * (new_wall - old_wall)
            air[room] = new_air
            wall[room] = new_wall

        # Vessel and turbine
        running = flow_3 > 0.0 and may_chill
        chilled = HEAT_CAPACITY * flow_3 * drop
        load = plant.BASE_LOAD
        if running:
            load += plant.CHILLER_POWER
            vessel += chilled + plant.CHILLER_POWER
        heat = plant.VESSEL_AMBIENT * (steam - ambient)
        vessel -= heat
        lost += heat
        electric, waste = 0.0, 0.0
        if is_on:
            enthalpy = steam_enthalpy[index] + share * (steam_enthalpy[index + 1] - steam_enthalpy[index])
            work = plant.STEAM_FLOW * (enthalpy - plant.CONDENSATE_ENTHALPY)
            electric = plant.ELECTRIC_SHARE * work
            waste = work - electric
            vessel -= work

        # Hot masses
        heat = plant.CASING_AMBIENT * (casing - ambient)
        lost += heat
        waste += _exchange(cells, 105, 110, casing, HOT_STAYS)
        casing += (waste - heat) / plant.CASING_CAPACITY
        heat = plant.SOURCE_1_POWER + _exchange(cells, 110, 115, source_1, HOT_STAYS)
        source_1 += heat / plant.SOURCE_CAPACITY
        heat = power_2 + _exchange(cells, 115, 120, source_2, HOT_STAYS)
        source_2 += heat / plant.SOURCE_CAPACITY

        # Bus and battery
        surplus = electric - load
        if surplus > 0.0:
            stored = min(plant.BATTERY_EFFICIENCY * surplus, plant.BATTERY_SIZE - battery)
            battery += stored
            left += surplus - stored
        else:
            drawn = min(-surplus / plant.BATTERY_EFFICIENCY, battery)
            battery -= drawn
            given = plant.BATTERY_EFFICIENCY * drawn
            left += drawn - given
            entered += -surplus - given
        left += plant.BASE_LOAD + lost
        entered += 8.0 * gain + plant.SOURCE_1_POWER + power_2
        moved += chilled + electric
        if minutes.size > 0 and tick % 60 == 59:
            minutes[tick // 60] = air

    end = vessel + battery + casing * plant.CASING_CAPACITY + (source_1 + source_2) * plant.SOURCE_CAPACITY
    end += HEAT_CAPACITY * (mass_a * tank_a + mass_b * tank_b) + CELL_HEAT * np.sum(cells)
    end += plant.AIR_CAPACITY * np.sum(air) + plant.WALL_CAPACITY * np.sum(wall)
    final[0:8] = air
    final[8:16] = wall
    final[16], final[17], final[18] = casing, source_1, source_2
    final[19], final[20], final[21], final[22] = mass_a, tank_a, mass_b, tank_b
    final[23], final[24] = vessel, battery
    final[25] = (end - start - entered + left) / (entered + left + moved)


class Baseline:
    """The compiled baseline, ready to run any number of times."""

    def __init__(self) -> None:
        self.table, self.start = plant.steam_vessel()
        self.run(ticks=1)

    def run(
        self, ticks: int = DAY, *, records: bool = False, signals: NDArray[np.uint8] | None = None
    ) -> Outcome:
        """Run from the start state.

        Parameters
        ----------
        ticks : length of the run [s]
        records : keep the signals of every tick and the rooms of every minute
        signals : replay this sequence instead of deciding (OPEN); its length bounds the run
        """
        replays = signals is not None
        kept = signals if signals is not None else np.zeros(ticks if records else 0, np.uint8)
        minutes = np.zeros((ticks // 60 if records else 0, plant.ROOMS))
        final = np.zeros(26)
        begin = time.perf_counter()
        _march(ticks, replays, kept, minutes, *self.table, self.start, final)
        wall = time.perf_counter() - begin
        return outcome_of(final, self.table, seconds=ticks, wall=wall, signals=kept, minutes=minutes)


if __name__ == "__main__":
    print(Baseline().run(records=True))
