"""What must be cooled, as numbers: each consumer's heat over the day, its limits and its contact."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from brinewright.model.brief import Brief, Consumer, Source
from brinewright.model.loop import Schedule
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.stock import Item

DAY = 86400.0
STEP = 600.0
"""Step at which a day's schedules are read [s]."""
CONTACT = 1e9
"""Conductance of a consumer that states none, [W/K]."""


@dataclass(frozen=True)
class Need:
    """One consumer: C dT/dt = heat + G_o (T_o - T) - Phi, Phi = G (T - T_k)."""

    consumer: Consumer
    item: Item
    heats: tuple[float, ...]
    """Given inside, over the day in steps of `STEP` [W]."""
    outside: float
    """Conductance G_o to what it loses heat to [W/K]."""
    around: float
    """Temperature T_o of that [K]."""
    contact: float
    """Conductance G to the coolant [W/K]."""
    highest: float
    """[K]"""
    lowest: float
    """[K]; 0 where cold does no harm."""
    most_flow: float
    """Largest flow through it [kg/s]."""
    capacity: float
    """Heat capacity C [J/K]."""

    @property
    def tag(self) -> str:
        """Return its tag."""
        return self.consumer.tag

    def cooling(self, heat: float, supply: float, resistance: float) -> float:
        """Heat that the coolant takes, [W].

        Phi = (heat + G_o (T_o - T_supply)) / (1 + G_o r),  r = 1/(q c) + 1/G
        """
        return (heat + self.outside * (self.around - supply)) / (1.0 + self.outside * resistance)

    def temperature(self, heat: float, supply: float, resistance: float) -> float:
        """Temperature at which it rests, [K].

        T = T_supply + Phi r
        """
        return supply + self.cooling(heat, supply, resistance) * resistance

    def resistance(self, flow: float, heat_capacity: float) -> float:
        """Kelvin between supply and consumer by watt, [K/W]."""
        return 1.0 / (flow * heat_capacity) + 1.0 / self.contact

    def least_flow(self, heat: float, supply: float, heat_capacity: float) -> float:
        """Flow that keeps it at its highest temperature, [kg/s]; infinite where none does.

        From T_highest = T_supply + Phi r with Phi = heat + G_o (T_o - T_highest)
        """
        taken = heat + self.outside * (self.around - self.highest)
        if taken <= 0.0:
            return 0.0
        room = (self.highest - supply) / taken - 1.0 / self.contact
        return 1.0 / (heat_capacity * room) if room > 0.0 else math.inf


@dataclass(frozen=True)
class Heating:
    """Heat from elsewhere into the vessel: a power over the day, and a contact."""

    source: Source
    item: Item
    powers: tuple[float, ...]
    """[W]"""
    conductance: float
    """[W/K]"""
    temperature: float
    """Of the contact [K]."""
    gives_only: bool


def profile(value: float | str, schedules: Iterable[Schedule]) -> tuple[float, ...]:
    """Return a quantity over the day in steps of `STEP`, [SI]."""
    count = int(DAY / STEP)
    if isinstance(value, int | float):
        return (float(value),) * count
    schedule = next(schedule for schedule in schedules if schedule.name == value)
    return tuple(_at(schedule, (k + 0.5) * STEP) for k in range(count))


def _at(schedule: Schedule, time: float) -> float:
    """Return a schedule at a time of the day."""
    times, values = schedule.times, schedule.values
    if schedule.repeats:
        time %= schedule.repeats
    place = sum(1 for start in times if start <= time) - 1
    if place < 0:
        place = len(times) - 1 if schedule.repeats else 0
    if not schedule.ramps or place + 1 >= len(times) or time < times[0]:
        return values[place]
    share = (time - times[place]) / (times[place + 1] - times[place])
    return values[place] + share * (values[place + 1] - values[place])


def needs_of(brief: Brief, rules: Rulebook, ambient: float) -> tuple[Need, ...]:
    """Return the consumers of a brief as numbers."""
    found = [_need(consumer, rules, brief.schedules, ambient) for consumer in brief.consumers]
    for source in brief.sources:
        if source.into:
            found = [
                _warmed(need, source, rules, brief.schedules) if need.tag == source.into else need
                for need in found
            ]
    return tuple(found)


def _need(consumer: Consumer, rules: Rulebook, schedules: tuple[Schedule, ...], ambient: float) -> Need:
    item = Item(rules.entry(consumer.use), consumer.values)
    given = next((item.values[name] for name in ("gains", "heat") if item.has(name)), 0.0)
    heat = consumer.heat if consumer.heat is not None else given
    outside, around = item.number("outside_conductance", 0.0), ambient
    highest = item.number("highest_temperature")
    if item.has("stream_heat_capacity"):
        return _stream(consumer, item, schedules)
    contact = item.number("coil_conductance", 0.0) or item.number("conductance", 0.0)
    return Need(
        consumer=consumer,
        item=item,
        heats=profile(heat, schedules),  # type: ignore[arg-type]
        outside=outside,
        around=around,
        contact=contact or CONTACT,
        highest=highest,
        lowest=item.number("lowest_temperature", 0.0),
        most_flow=item.number("capacity", math.inf),
        capacity=item.number("heat_capacity", 0.0) or item.number("air_heat_capacity", 0.0),
    )


def _stream(consumer: Consumer, item: Item, schedules: tuple[Schedule, ...]) -> Need:
    """Return a stream: what it loses heat to is itself, as it comes in."""
    capacity = item.number("stream_heat_capacity")
    inlets = profile(item.values["inlet_temperature"], schedules)  # type: ignore[arg-type]
    wanted = item.number("wanted_temperature")
    inlet = max(inlets)
    if consumer.heat is not None:
        heats = profile(consumer.heat, schedules)
        flows = tuple(heat / (capacity * max(inlet - wanted, 1e-6)) for heat in heats)
    else:
        flows = profile(item.values["flow"], schedules)  # type: ignore[arg-type]
    passing = max(flows) * capacity
    return Need(
        consumer=consumer,
        item=item.with_values(flow=max(flows)),
        heats=tuple(
            flow * capacity * (inlet - wanted) - passing * (inlet - wanted) + passing * (came - inlet)
            for flow, came in zip(flows, inlets, strict=True)
        ),
        outside=passing,
        around=inlet,
        contact=item.number("conductance"),
        highest=min(wanted, item.number("highest_temperature")),
        lowest=item.number("lowest_temperature", 0.0),
        most_flow=item.number("capacity", math.inf),
        capacity=item.number("content") * capacity,
    )


def _warmed(need: Need, source: Source, rules: Rulebook, schedules: tuple[Schedule, ...]) -> Need:
    """Return a consumer that a source of heat warms as well."""
    heating = heating_of(source, rules, schedules)
    heats = tuple(heat + power for heat, power in zip(need.heats, heating.powers, strict=True))
    outside = need.outside + heating.conductance
    around = need.around
    if outside > 0.0:
        around = (need.outside * need.around + heating.conductance * heating.temperature) / outside
    return replace(need, heats=heats, outside=outside, around=around)


def heating_of(source: Source, rules: Rulebook, schedules: tuple[Schedule, ...]) -> Heating:
    """Return a source of heat as numbers."""
    item = Item(rules.entry(source.use), source.values)
    powers = profile(item.values.get("power", 0.0), schedules)  # type: ignore[arg-type]
    contact = profile(item.values.get("contact_temperature", 0.0), schedules)  # type: ignore[arg-type]
    return Heating(
        source=source,
        item=item,
        powers=powers,
        conductance=item.number("conductance", 0.0),
        temperature=max(contact),
        gives_only=item.values.get("gives_only") is True,
    )


def hours(needs: tuple[Need, ...]) -> Iterator[tuple[float, ...]]:
    """Yield the heat of each consumer, step after step of the day [W]."""
    yield from zip(*(need.heats for need in needs), strict=True)
