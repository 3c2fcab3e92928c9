"""The reference for accuracy: parcels of 6.25 cm, 32 thermal steps to a tick.

Water moves in parcels that keep their size; nothing mixes along a pipe but the two
ends of a line.  A run and the mass it meets exchange heat by the exact solution of
the two bodies, split symmetrically from the flow (Strang), so that the error falls
with the square of the thermal step.  Control stays on the 1 s lattice, so that the
sequence of signals can be recorded and replayed by any candidate.
"""

import time
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import expm

from benchmarks import plant
from benchmarks.plant import DAY, Outcome, changes_of, frozen, outcome_of

STORED = Path(__file__).with_name("reference.npz")

SPLIT = 32  # thermal steps to a tick
SLOTS = 80  # parcels to a run
SLOT_MASS = plant.RUN_MASS / SLOTS
SLOT_HEAT = SLOT_MASS * plant.HEAT_CAPACITY
HEAT_CAPACITY = plant.HEAT_CAPACITY
STEP = 1.0 / SPLIT

# Stretches of pipe in which parcels pass from run to run; the chiller parts L3 in two
L0, L1, L2, L3_BEFORE, L3_AFTER, L4, L5, L6, L7 = range(9)
STRETCH_RUNS = (2, 2, 1, 1, 1, 2, 2, 1, 12)
CONDUCTANCE = (plant.PIPE_CONDUCTANCE, *plant.ROOM_CONDUCTANCE, *(plant.HOT_CONDUCTANCE,) * 3)  # of L7
NODE_HEAT = (0.0, *(plant.AIR_CAPACITY,) * 8, plant.CASING_CAPACITY, *(plant.SOURCE_CAPACITY,) * 2)


def _room_matrix() -> NDArray[np.float64]:
    """Exact step of (air, wall) from (air, wall, ambient, power into the air)."""
    rates = np.zeros((4, 4))
    rates[0] = np.array([-plant.AIR_WALL - plant.AIR_AMBIENT, plant.AIR_WALL, plant.AIR_AMBIENT, 1.0])
    rates[1] = np.array([plant.AIR_WALL, -plant.AIR_WALL - plant.WALL_AMBIENT, plant.WALL_AMBIENT, 0.0])
    rates[0] /= plant.AIR_CAPACITY
    rates[1] /= plant.WALL_CAPACITY
    matrix: NDArray[np.float64] = expm(rates * STEP)[:2]
    return matrix


@frozen
def _push(slots, last, fill, flow, inlet):
    """Push one step of water in at one end of a stretch and out at the other.

    Slot 0 holds `fill` of a parcel and is growing; slot `last` holds the rest of one
    and is draining.  Returns the new fill; what leaves is what `_leaving` said.
    """
    portion = flow * STEP / SLOT_MASS
    if fill + portion < 1.0:
        if portion > 0.0:
            slots[0] = (fill * slots[0] + portion * inlet) / (fill + portion)
        return fill + portion
    slots[0] = fill * slots[0] + (1.0 - fill) * inlet
    for slot in range(last, 0, -1):
        slots[slot] = slots[slot - 1]
    slots[0] = inlet
    return fill + portion - 1.0


@frozen
def _leaving(slots, last, fill, flow):
    """Mean temperature of what leaves a stretch in one step."""
    portion = flow * STEP / SLOT_MASS
    draining = 1.0 - fill
    if portion <= draining:
        return slots[last]
    return (draining * slots[last] + (portion - draining) * slots[last - 1]) / portion


@frozen
def _meet(slots, run, runs, fill, node, ratio, conductance, step, gains):
    """Let one run and its neighbour exchange heat for `step` seconds; heat to the neighbour [J].

    Two bodies, M c and C, at a conductance K:  their distance decays with
    K/(M c) + K/C, the spread within the water with K/(M c).  `ratio` is M c / C, zero
    for a neighbour that keeps its temperature.  The parcels at the borders belong to
    two runs by their shares; their change waits in `gains` until both have had a say.
    The two end parcels of a stretch are partial and belong to one run.
    """
    low, high = run * SLOTS, run * SLOTS + SLOTS  # slot `low` by its share fill, slot `high` by 1 - fill
    total_0 = fill * slots[low] + (1.0 - fill) * slots[high]
    total_1, total_2, total_3 = slots[low + 1], slots[low + 2], slots[low + 3]
    for slot in range(low + 4, high, 4):
        total_0 += slots[slot]
        total_1 += slots[slot + 1]
        total_2 += slots[slot + 2]
        total_3 += slots[slot + 3]
    mean = (total_0 + total_1 + total_2 + total_3) / SLOTS
    rate = conductance / (SLOTS * SLOT_HEAT)
    share = -np.expm1(-rate * (1.0 + ratio) * step) / (1.0 + ratio)
    cooled = share * (mean - node)
    stays = np.exp(-rate * step)
    target = mean - cooled
    for slot in range(low + 1, high):
        slots[slot] = target + stays * (slots[slot] - mean)
    share_low = 1.0 if run == 0 else fill
    share_high = 1.0 if run == runs - 1 else 1.0 - fill
    gains[run] += share_low * (target - slots[low] + stays * (slots[low] - mean))
    gains[run + 1] += share_high * (target - slots[high] + stays * (slots[high] - mean))
    return cooled * SLOTS * SLOT_HEAT


@frozen
def _content(slots, last, fill):
    """Energy of a stretch over 0 degC [J]."""
    return SLOT_HEAT * (np.sum(slots[1:last]) + fill * slots[0] + (1.0 - fill) * slots[last])


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
    room,
    final,
):
    """Run `ticks` ticks from the start state; record signals and minutes, fill `final`."""
    slots = np.full((9, 12 * SLOTS + 1), plant.PIPE_START)
    fill = np.zeros(9)
    flow = np.zeros(9)
    leaving = np.zeros(9)
    inlet = np.zeros(9)
    gains = np.zeros(13)
    nodes = np.full(12, plant.AIR_START)  # of L7: none, eight rooms, casing, two sources
    nodes[9], nodes[10], nodes[11] = plant.CASING_START, plant.SOURCE_START, plant.SOURCE_START
    wall = np.full(8, plant.WALL_START)
    mass = np.array([plant.TANK_MASS, plant.TANK_MASS])
    tank = np.array([plant.TANK_A_START, plant.TANK_B_START])
    tank_in, tank_out, tank_inlet = np.zeros(2), np.zeros(2), np.zeros(2)
    vessel, battery = vessel_start, plant.BATTERY_START
    is_first, is_ring, may_chill, is_on = False, False, False, False
    lag_first, lag_ring = plant.PIPE_START, plant.PIPE_START
    all_entered, all_left, all_moved = 0.0, 0.0, 0.0
    start = end = 0.0

    for tick in range(ticks + 1):
        energy = vessel + battery + HEAT_CAPACITY * (mass[0] * tank[0] + mass[1] * tank[1])
        if tick == 0 or tick == ticks:
            for stretch in range(9):
                energy += _content(slots[stretch], STRETCH_RUNS[stretch] * SLOTS, fill[stretch])
            for which in range(1, 12):
                energy += NODE_HEAT[which] * nodes[which]
            energy += plant.WALL_CAPACITY * np.sum(wall)
            if tick == 0:
                start = energy
            if tick == ticks:
                end = energy
                break

        entered, left, moved = 0.0, 0.0, 0.0  # of this tick: one long sum would lose digits
        hour = tick // 3600 % 24
        gain, power_2 = plant.ROOM_GAIN[hour], plant.SOURCE_2_POWER[hour]

        # Signals
        place = (vessel - steam_first) / steam_step
        index = int(place)
        share = place - index
        steam = (1.0 - share) * steam_temperature[index] + share * steam_temperature[index + 1]
        if replays:
            bits = signals[tick]
            is_first, is_ring = bits & 1 != 0, bits & 2 != 0
            may_chill, is_on = bits & 4 != 0, bits & 8 != 0
        else:
            lag_first += plant.LAG_GAIN * (slots[L0, 0] - lag_first)
            lag_ring += plant.LAG_GAIN * (slots[L3_AFTER, SLOTS] - lag_ring)
            is_first = lag_first > (plant.FIRST_BREAKS if is_first else plant.FIRST_MAKES)
            is_ring = lag_ring > (plant.RING_BREAKS if is_ring else plant.RING_MAKES)
            at_chiller = slots[L3_BEFORE, SLOTS]
            may_chill = at_chiller >= plant.GUARD_STOPS if may_chill else at_chiller > plant.GUARD_RESTARTS
            is_on = steam >= plant.TURBINE_OFF if is_on else steam > plant.TURBINE_ON
            if signals.size > 0:
                signals[tick] = is_first + 2 * is_ring + 4 * may_chill + 8 * is_on

        # Flows of the tick, in the order of claims L1, L3, L6, L2, L7
        spare_a, spare_b = mass[0] - plant.TANK_LEAST, mass[1] - plant.TANK_LEAST
        flow[:] = 0.0
        if is_ring:
            flow[L4] = plant.CAPACITY
        elif is_first:
            flow[L1] = min(plant.CAPACITY, spare_a + min(plant.CONSUMER_CAPACITY, spare_b + plant.CAPACITY))
        flow[L5] = flow[L1]
        flow[L3_BEFORE] = flow[L3_AFTER] = flow[L1] + flow[L4]
        flow[L6] = min(plant.CONSUMER_CAPACITY, spare_b + flow[L5])
        if not is_first:
            flow[L2] = plant.CONSUMER_CAPACITY - flow[L6]
        flow[L7] = flow[L6] + flow[L2]
        flow[L0] = flow[L1] + flow[L2]
        tank_in[0], tank_out[0] = flow[L7], flow[L0]
        tank_in[1], tank_out[1] = flow[L5], flow[L6]
        drop = plant.CHILLER_DROP if may_chill else 0.0
        running = may_chill and flow[L3_AFTER] > 0.0

        for part in range(SPLIT + 1):
            within = tick % 3600 + (part + 0.5) * STEP
            ambient = plant.AMBIENT[hour] + (plant.AMBIENT[hour + 1] - plant.AMBIENT[hour]) * within / 3600.0

            # Water meets its neighbours: half a step at both ends of the tick
            step = 0.5 * STEP if part == 0 or part == SPLIT else STEP
            for stretch in range(9):
                runs = STRETCH_RUNS[stretch]
                gains[:] = 0.0
                for run in range(runs):
                    has_node = stretch == L7 and run > 0
                    node = nodes[run] if has_node else ambient
                    ratio = plant.RUN_MASS * HEAT_CAPACITY / NODE_HEAT[run] if has_node else 0.0
                    conductance = CONDUCTANCE[run] if has_node else plant.PIPE_CONDUCTANCE
                    line = slots[stretch]
                    heat = _meet(line, run, runs, fill[stretch], node, ratio, conductance, step, gains)
                    if has_node:
                        nodes[run] += heat / NODE_HEAT[run]
                        moved += abs(heat)
                    else:
                        left += heat
                for border in range(runs + 1):
                    slots[stretch, border * SLOTS] += gains[border]
            if part == SPLIT:
                break

            # Water moves
            for stretch in range(9):
                last = STRETCH_RUNS[stretch] * SLOTS
                leaving[stretch] = _leaving(slots[stretch], last, fill[stretch], flow[stretch])
            tank_inlet[0], tank_inlet[1] = leaving[L7], leaving[L5]
            for which in range(2):
                gained, drawn = tank_in[which] * STEP, tank_out[which] * STEP
                old = tank[which]
                after = mass[which] + gained - drawn
                kept = (mass[which] - 0.5 * drawn) * old + gained * tank_inlet[which]
                tank[which] = kept / (after + 0.5 * drawn)
                inlet[L0 if which == 0 else L6] = 0.5 * (old + tank[which])
                mass[which] = after
                heat = plant.TANK_CONDUCTANCE * (tank[which] - ambient) * STEP
                tank[which] -= heat / (after * HEAT_CAPACITY)
                left += heat
            inlet[L1] = inlet[L2] = leaving[L0]
            inlet[L3_BEFORE] = leaving[L4] if is_ring else leaving[L1]
            inlet[L3_AFTER] = leaving[L3_BEFORE] - drop
            inlet[L4] = inlet[L5] = leaving[L3_AFTER]
            if flow[L7] > 0.0:
                inlet[L7] = (flow[L6] * leaving[L6] + flow[L2] * leaving[L2]) / flow[L7]
            for stretch in range(9):
                last = STRETCH_RUNS[stretch] * SLOTS
                fill[stretch] = _push(slots[stretch], last, fill[stretch], flow[stretch], inlet[stretch])

            # Rooms
            for which in range(8):
                air, old = nodes[which + 1], wall[which]
                new_air = room[0, 0] * air + room[0, 1] * old + room[0, 2] * ambient + room[0, 3] * gain
                new_wall = room[1, 0] * air + room[1, 1] * old + room[1, 2] * ambient + room[1, 3] * gain
                left += gain * STEP - plant.AIR_CAPACITY * (new_air - air)
                left -= plant.WALL_CAPACITY * (new_wall - old)
                nodes[which + 1] = new_air
                wall[which] = new_wall

            # Vessel and turbine, by the midpoint rule
            chilled = HEAT_CAPACITY * flow[L3_AFTER] * drop * STEP
            load = plant.BASE_LOAD * STEP
            given = chilled
            if running:
                load += plant.CHILLER_POWER * STEP
                given += plant.CHILLER_POWER * STEP
            heat = work = 0.0
            for _ in range(2):
                place = (vessel + 0.5 * (given - heat - work) - steam_first) / steam_step
                index = int(place)
                share = place - index
                steam = (1.0 - share) * steam_temperature[index] + share * steam_temperature[index + 1]
                heat = plant.VESSEL_AMBIENT * (steam - ambient) * STEP
                if is_on:
                    enthalpy = (1.0 - share) * steam_enthalpy[index] + share * steam_enthalpy[index + 1]
                    work = plant.STEAM_FLOW * (enthalpy - plant.CONDENSATE_ENTHALPY) * STEP
            vessel += given - heat - work
            left += heat
            electric = plant.ELECTRIC_SHARE * work

            # Hot masses
            nodes[9] += (work - electric) / plant.CASING_CAPACITY
            heat = plant.CASING_AMBIENT * (nodes[9] - ambient) * STEP
            nodes[9] -= heat / plant.CASING_CAPACITY
            left += heat
            nodes[10] += plant.SOURCE_1_POWER * STEP / plant.SOURCE_CAPACITY
            nodes[11] += power_2 * STEP / plant.SOURCE_CAPACITY

            # Bus and battery
            surplus = electric - load
            if surplus > 0.0:
                stored = min(plant.BATTERY_EFFICIENCY * surplus, plant.BATTERY_SIZE - battery)
                battery += stored
                left += surplus - stored
            else:
                drawn = min(-surplus / plant.BATTERY_EFFICIENCY, battery)
                battery -= drawn
                left += drawn - plant.BATTERY_EFFICIENCY * drawn
                entered += -surplus - plant.BATTERY_EFFICIENCY * drawn
            left += plant.BASE_LOAD * STEP
            entered += (8.0 * gain + plant.SOURCE_1_POWER + power_2) * STEP
            moved += chilled + electric

        all_entered += entered
        all_left += left
        all_moved += moved
        if minutes.size > 0 and tick % 60 == 59:
            minutes[tick // 60] = nodes[1:9]

    final[0:8] = nodes[1:9]
    final[8:16] = wall
    final[16:19] = nodes[9:12]
    final[19], final[20], final[21], final[22] = mass[0], tank[0], mass[1], tank[1]
    final[23], final[24] = vessel, battery
    final[25] = (end - start - all_entered + all_left) / (all_entered + all_left + all_moved)


class Reference:
    """The compiled reference, ready to run any number of times."""

    def __init__(self) -> None:
        self.table, self.start = plant.steam_vessel()
        self.room = _room_matrix()
        self.run(ticks=1)

    def run(
        self, ticks: int = DAY, *, records: bool = True, signals: NDArray[np.uint8] | None = None
    ) -> Outcome:
        """Run from the start state; see `Baseline.run`."""
        replays = signals is not None
        kept = signals if signals is not None else np.zeros(ticks if records else 0, np.uint8)
        minutes = np.zeros((ticks // 60 if records else 0, plant.ROOMS))
        final = np.zeros(26)
        begin = time.perf_counter()
        _march(ticks, replays, kept, minutes, *self.table, self.start, self.room, final)
        wall = time.perf_counter() - begin
        return outcome_of(final, self.table, seconds=ticks, wall=wall, signals=kept, minutes=minutes)


def store(outcome: Outcome) -> None:
    """Write signals and minutes of a run beside this file; the minutes to 2 microkelvin."""
    minutes = (outcome.minutes - plant.ICE).astype(np.float32)
    np.savez_compressed(STORED, signals=outcome.signals, minutes_degc=minutes)


def stored() -> Outcome:
    """Return the stored run: signals of every tick and rooms of every minute, the rest unknown."""
    with np.load(STORED) as data:
        signals, minutes = data["signals"], data["minutes_degc"].astype(np.float64) + plant.ICE
    return Outcome(
        seconds=float(len(signals)),
        wall=np.nan,
        changes=changes_of(signals),
        air=minutes[-1],
        wall_nodes=np.full(plant.ROOMS, np.nan),
        hot=np.full(3, np.nan),
        tanks=np.full(4, np.nan),
        vessel=np.nan,
        battery=np.nan,
        residual=np.nan,
        signals=signals,
        minutes=minutes,
    )


if __name__ == "__main__":
    day = Reference().run()
    store(day)
    print(day)
