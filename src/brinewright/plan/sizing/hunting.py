"""How a plant hunts: two mixed tanks and a vessel, marched by hand with the decisions on each pass.

A fixed drop can't hold a temperature: the return tank swings about a pass boundary, and the
supply, the vessel and the bus swing with it.  The march leaves pipes and the consumers' own heat
capacity out, which make the swing of the supply smaller and its period longer.
"""

import math
from collections import deque
from dataclasses import dataclass

from brinewright.plan.sizing.design import Design
from brinewright.plan.sizing.steam import Steam

TICK = 4.0
"""Step of the march [s]."""
SPAN = 4.0 * 3600.0
"""Time marched; the second half is what counts [s]."""
LATE = 8.0
"""Dead time of sensor, valve and pipes [s]."""


@dataclass(frozen=True)
class Hunting:
    """What the march shows, over its second half."""

    ripple: float
    """Swing of the supply [K]."""
    fall: float
    """Deepest fall of the net energy from a peak [J]."""
    lowest: float
    """Least net power [W]."""
    vessel: tuple[float, float]
    """Least and greatest temperature of the vessel [K]."""


def hunt(design: Design, steam: Steam, heat_capacity: float, density: float, grid: float) -> Hunting:
    """March a design under its mean load, with a power that may come from outside [W]."""
    choice, bank = design.choice, design.bank
    state = design.mean
    drop = choice.chiller.number("drop")
    rated = choice.chiller.number("capacity")
    flow = design.flow
    through = bank.circulated if choice.layout == "L5" else flow
    bath = choice.layout == "L4"
    levels = design.levels
    masses = {name: volume * density * levels[name] for name, volume in design.tanks.items()}
    hot_mass, cold_mass = masses["return"], masses.get("supply", 1.0)
    stages = max(bank.stages, math.ceil(state.passes + 1e-9)) if not bath else len(bank.groups)
    one = through * heat_capacity * drop
    power_by_cooling = state.chillers_power / state.load
    reject_by_cooling = state.rejected / state.load
    metal = choice.vessel.number("metal_mass") * 450.0
    capacity = choice.vessel.number("water_mass") * steam.heat_capacity + metal
    hot, cold, vessel = state.hot + 0.1, state.supply, state.vessel
    made = [False] * stages
    waiting = deque([0.0] * max(1, round(LATE / TICK)))
    low, high, coldest_vessel, hottest_vessel = math.inf, -math.inf, math.inf, -math.inf
    energy = best = fall = 0.0
    lowest = math.inf
    running = True
    threshold, stops = steam.threshold, steam.stops
    for k in range(int(SPAN / TICK)):
        cooling = 0.0
        at = hot
        for stage in range(stages):
            setting = choice.set_point + (stage * design.step if bath else 0.0)
            made[stage] = at > setting if made[stage] else at > setting + design.differential
            if made[stage]:
                cooling += bank.groups[stage] * rated * heat_capacity * drop if bath else one
                at -= 0.0 if bath else drop
        waiting.append(cooling)
        cooling = waiting.popleft()
        running = vessel >= stops if running else vessel >= threshold
        turbines = choice.turbines if running else 0
        generated = turbines * steam.power(steam.taken(vessel)) if turbines else 0.0
        net = generated - cooling * power_by_cooling - design.auxiliaries
        if bath:
            hot += TICK * (state.load - cooling) / (hot_mass * heat_capacity)
            supplied = hot
        else:
            back = cold + state.load / (flow * heat_capacity)
            mixed = (flow * back + (through - flow) * cold) / through
            sent = hot - cooling / (through * heat_capacity)
            hot += TICK * through / hot_mass * (mixed - hot)
            cold += TICK * through / cold_mass * (sent - cold)
            supplied = cold
        vessel += TICK * steam.balance(cooling * reject_by_cooling, vessel, turbines) / capacity
        if 2 * k * TICK >= SPAN:
            low, high = min(low, supplied), max(high, supplied)
            coldest_vessel, hottest_vessel = min(coldest_vessel, vessel), max(hottest_vessel, vessel)
            energy += (net if net > 0.0 else min(net + grid, 0.0)) * TICK
            best = max(best, energy)
            fall = max(fall, best - energy)
            lowest = min(lowest, net)
    return Hunting(high - low, fall, lowest, (coldest_vessel, hottest_vessel))
