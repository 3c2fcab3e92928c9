"""What must be cooled under real laws: each consumer's heat, the liquid that it needs, and its flow."""

import math
from dataclasses import dataclass

from brinewright.laws import effectiveness
from brinewright.model.brief import Brief, Consumer
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.needs import profile
from brinewright.plan.sizing.stock import Item

VAPORISATION = 2.45e6
"""Heat that a kilogram of moisture gives where it condenses on a coil near 20 degC [J/kg], from memory."""
USUAL_RISE = 8.0
"""Temperature rise of the coolant in a consumer that states no flow [K]; 5 to 10 is common practice."""
ROOM_BELOW_LIMIT = 0.5
"""Where between its limits a room is held, from the lowest [-]."""
MACHINE_BELOW_LIMIT = 10.0
"""How far below its limit a machine is kept [K], common practice."""
USUAL_LOSS = 35e3
"""Pressure loss of a coil or jacket that states none, at its own flow [Pa], common practice."""


@dataclass(frozen=True)
class Load:
    """One consumer at its greatest heat."""

    consumer: Consumer
    item: Item
    peak: float
    """Heat to be taken away at the worst hour [W]."""
    mean: float
    """Over the day [W]."""
    held: float
    """Temperature at which it is to be held [K]."""
    conductance: float
    """To the coolant [W/K]."""
    flow: float
    """Coolant at the worst hour [kg/s]."""
    loss: float
    """Pressure lost in it at that flow [Pa]."""
    takes_signal: bool
    """Whether it can be stopped and started by a switch on its own temperature."""

    def warmest_supply(self, heat_capacity: float) -> float:
        """Return the warmest supply that still holds it, [K].

        T_s = T - Phi / (eps q c),  eps = 1 - exp(-G/(q c))
        """
        capacity = self.flow * heat_capacity
        return self.held - self.peak / (
            capacity * effectiveness.one_side_constant(self.conductance / capacity)
        )


def load_of(consumer: Consumer, brief: Brief, rules: Rulebook, heat_capacity: float, outside: float) -> Load:
    """Return a consumer as a load.

    Parameters
    ----------
    consumer, brief, rules : as read
    heat_capacity : of the coolant [J/(kg K)]
    outside : warmest temperature around the consumer [K]
    """
    item = Item(rules.entry(consumer.use), consumer.values)
    given = next((item.values[name] for name in ("gains", "heat") if item.has(name)), 0.0)
    heats = profile(consumer.heat if consumer.heat is not None else given, brief.schedules)  # type: ignore[arg-type]
    highest = item.number("highest_temperature")
    lowest = item.number("lowest_temperature", 0.0)
    is_room = item.has("coil_conductance")
    held = _held(highest, lowest, is_room=is_room)
    extra = 0.0
    if is_room:
        wall = 1.0 / (
            1.0 / item.number("air_wall_conductance") + 1.0 / item.number("wall_outside_conductance")
        )
        through = wall + item.number("air_outside_conductance", 0.0)
        moisture = max(profile(item.values.get("moisture_gain", 0.0), brief.schedules))  # type: ignore[arg-type]
        extra = through * (outside - held) + VAPORISATION * moisture + item.number("fan_power", 0.0)
    peak = (max(heats) + extra) * (1.0 + brief.wanted.margin)
    flow = item.number("rated_flow", 0.0) or peak / (heat_capacity * USUAL_RISE)
    return Load(
        consumer=consumer,
        item=item,
        peak=peak,
        mean=sum(heats) / len(heats) + extra,
        held=held,
        conductance=item.number("coil_conductance", 0.0) or item.number("conductance", math.inf),
        flow=flow,
        loss=item.number("rated_loss", 0.0) or USUAL_LOSS,
        takes_signal=is_room,
    )


def _held(highest: float, lowest: float, *, is_room: bool) -> float:
    if is_room and lowest > 0.0:
        return lowest + ROOM_BELOW_LIMIT * (highest - lowest)
    return highest - MACHINE_BELOW_LIMIT
