"""What kinds ask for while they lower themselves, kept as lists until the plant is complete."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile.view import View
from brinewright.errors import InputError, UnknownNameError
from brinewright.fluids import water_tables
from brinewright.kernel.layout import NATURE_SLOW
from brinewright.model.loop import Loop, Schedule
from brinewright.model.lowering import BusPlaces, Names, Place, PowerWay, Stream
from brinewright.model.rulebook import Gas, Rulebook

SITE = "SITE"


@dataclass
class Element:
    """Something inline between two ports: a law met by the liquid, and a content."""

    tag: str
    start: str
    end: str
    mass: float
    node: Place | None
    law: str
    record: int
    steady: bool
    capacity: Place | None
    quadratic: Place | None
    linear: Place | None
    head: Place | None
    droop: Place | None
    check: bool
    friction: tuple[float, float, float, float] | None
    pressure: Place | None
    pressure_loss: Place | None
    level: float
    before: bool
    ahead: bool
    mean: Place | None
    loss: Place | None
    stream: Stream
    rank: int = 0


@dataclass
class Join:
    """Ports that meet in one point, and the channels of what passes it."""

    ports: tuple[str, ...]
    flow: Place | None
    temperature: Place | None


@dataclass
class TankRecord:
    tag: str
    ports: tuple[str, ...]
    law: str
    node: Place
    mass: Place
    level: Place
    least: float
    most: float
    full: float
    base: float
    height: float
    gas_pressure: float
    outlet: Place
    inflow: Place
    outflow: Place
    loss: Place
    around: Place | None
    conductance: Place
    layers: int
    spread: float
    inlet_height: float
    outlet_height: float


@dataclass
class SwitchRecord:
    tag: str
    reading: Place
    sense: int
    inclusive: bool
    setting: Place
    differential: float
    lag: float
    out: Place
    filtered: Place
    count: Place
    slope: Place
    nature: int
    sensor: int


@dataclass(frozen=True)
class Row:
    """Values of any number that a record points to: numbers, or places where `of_places`."""

    values: tuple[Any, ...]
    of_places: bool = False


@dataclass(frozen=True)
class Load:
    """What draws power: where it says how much [W], whether it has it, and how hard it starts."""

    tag: str
    power: Place
    powered: Place
    rated: float
    multiple: float


@dataclass
class Assembly:
    """The builder: it knows no kinds, only primitives."""

    loop: Loop
    rules: Rulebook
    views: Mapping[str, View]
    site_values: Mapping[str, Any]

    values: list[float] = field(default_factory=lambda: [0.0, 1.0, 0.0])
    recorded: list[bool] = field(default_factory=lambda: [True, True, True])
    channels: dict[tuple[str, str], Place] = field(default_factory=dict)
    units: dict[tuple[str, str], str] = field(default_factory=dict)
    shares: dict[tuple[str, str], Place] = field(default_factory=dict)
    shared_by: set[tuple[str, str]] = field(default_factory=set)
    asked: set[tuple[str, str]] = field(default_factory=set)
    energy: dict[int, float] = field(default_factory=dict)
    inverse: dict[int, float] = field(default_factory=dict)
    plain: list[Place] = field(default_factory=list)
    free: list[Place] = field(default_factory=list)
    nodes: set[int] = field(default_factory=set)
    accounts: dict[str, Place] = field(default_factory=dict)
    edges: list[tuple[Place, Place, Place]] = field(default_factory=list)
    heats: list[tuple[Place, Place, Place]] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)
    joins: list[Join] = field(default_factory=list)
    tanks: list[TankRecord] = field(default_factory=list)
    records: dict[str, list[tuple[tuple[int | Row, ...], tuple[float, ...]]]] = field(default_factory=dict)
    schedules: list[tuple[Place, Schedule]] = field(default_factory=list)
    commands: dict[str, Place] = field(default_factory=dict)
    needs: dict[str, list[tuple[Place, bool]]] = field(default_factory=dict)
    switches: list[SwitchRecord] = field(default_factory=list)
    sensors: list[tuple[Any, ...]] = field(default_factory=list)
    watches: list[tuple[Place, float, int, str, str, str, float, float, Place]] = field(default_factory=list)
    loads: list[Load] = field(default_factory=list)
    generators: list[tuple[str, Place]] = field(default_factory=list)
    buses: dict[str, dict[str, Any]] = field(default_factory=dict)
    feeders: dict[str, dict[str, Any]] = field(default_factory=dict)
    transformers: dict[str, dict[str, Any]] = field(default_factory=dict)
    batteries: dict[str, dict[str, Any]] = field(default_factory=dict)
    grids: dict[str, dict[str, Any]] = field(default_factory=dict)
    forceable: dict[tuple[str, str], tuple[Place, bool]] = field(default_factory=dict)
    """What can be forced, by tag and name: its place, and whether its value comes back afterwards."""
    capacities: set[tuple[str, str]] = field(default_factory=set)
    """Names of capacities of which a share can be forced."""
    deratings: dict[tuple[str, str], tuple[Place, Place, Place]] = field(default_factory=dict)
    """Capacities that are forced: as they are, the share of them, their product."""
    named_edges: dict[tuple[str, str], Place] = field(default_factory=dict)
    taken_over: list[tuple[str, str]] = field(default_factory=list)
    masses: list[Place] = field(default_factory=list)
    begins_like: list[tuple[Place, Place]] = field(default_factory=list)
    needs_water: bool = False
    current: View | None = None
    levels: dict[str, float] = field(default_factory=dict)
    """Height of each port at which a line ends [m]."""
    held_pressures: dict[str, float] = field(default_factory=dict)
    """Pressure that something holds at a part of a circuit without a tank [Pa]."""

    def __post_init__(self) -> None:
        for line in self.loop.lines:
            for port, level in ((line.start, line.levels[0]), (line.end, line.levels[1])):
                self.levels.setdefault(port, level)
            self.levels[f"{line.tag}.in"], self.levels[f"{line.tag}.out"] = line.levels

    @property
    def is_pressure_driven(self) -> bool:
        """Whether flows follow from pressures (a real place) instead of claims (a stylised one)."""
        return self.rules.world == "real"

    @cached_property
    def zero(self) -> Place:
        """A place that holds 0 for all who need one."""
        return self.hidden()

    @cached_property
    def one(self) -> Place:
        """A place that holds 1 for all who need one."""
        return self.hidden(start=1.0)

    # places ------------------------------------------------------------------------

    @property
    def here(self) -> View:
        """The part that is being lowered."""
        if self.current is None:
            raise RuntimeError("no part is being lowered")
        return self.current

    def _place(self, start: float, recorded: bool) -> Place:
        self.values.append(float(start))
        self.recorded.append(recorded)
        return Place(len(self.values) - 1)

    def _channel(self, tag: str, name: str, unit: str, start: float) -> Place:
        key = (tag, name)
        place = self.channels.get(key)
        if place is None:
            place = self._place(start, recorded=True)
            self.channels[key] = place
        elif key in self.units:
            raise RuntimeError(f"{tag}: channel {name!r} is made twice")
        else:
            self.values[place] = float(start)
        self.units[key] = unit
        return place

    def channel(self, name: str, unit: str, start: float = 0.0) -> Place:
        return self._channel(self.here.tag, name, unit, start)

    def position(self, name: str, start: float, *, moves: bool = True) -> Place:
        place = self.channel(name, "1", start)
        self.let_force(self.here.tag, (name,), place, comes_back=not moves)
        return place

    def let_force(
        self, tag: str, names: Sequence[str], place: Place, *, comes_back: bool = False
    ) -> None:
        """Let a value be forced by these names of a tag; one that nothing else writes comes back."""
        for name in names:
            self.forceable[(tag, name)] = (place, comes_back)

    def _derated(self, start: str, end: str, capacity: Place) -> Place:
        """Return where an element finds its capacity: its own place, or what a forced share leaves of it."""
        tag = self.here.tag
        taken = (tag, "capacity") in self.capacities
        key = (tag, f"capacity {end if start == 'in' else start}" if taken else "capacity")
        self.capacities.add(key)
        targets = {force.target.replace("_", " ") for force in self.loop.forces}
        if f"{key[0]}.{key[1]}" not in targets:
            return capacity
        self.deratings[key] = (capacity, self.constant(1.0), self.hidden(start=self.values[capacity]))
        return self.deratings[key][2]

    def channel_of(self, tag: str, name: str) -> Place:
        key = (tag, name)
        if key not in self.channels:
            self.channels[key] = self._place(0.0, recorded=True)
            self.asked.add(key)
        return self.channels[key]

    def hidden(self, count: int = 1, start: float = 0.0) -> Place:
        first = self._place(start, recorded=False)
        for _ in range(count - 1):
            self._place(start, recorded=False)
        return first

    def shared(self, name: str, start: float = 0.0) -> Place:
        """Make an unrecorded value that other parts may ask for, on top of what they added to it."""
        self.shared_by.add((self.here.tag, name))
        place = self.shared_of(self.here.tag, name)
        self.values[place] += start
        return place

    def shared_of(self, tag: str, name: str) -> Place:
        key = (tag, name)
        if key not in self.shares:
            self.shares[key] = self.hidden()
        return self.shares[key]

    def add_to(self, place: Place, amount: float) -> None:
        """Raise the start of a value, as each of several parts does."""
        self.values[place] += amount

    def table(self, numbers: Sequence[float]) -> Row:
        """Keep numbers behind the records; return what stands for their start in a record."""
        return Row(tuple(float(number) for number in numbers))

    def places(self, places: Sequence[Place]) -> Row:
        """Keep a list of places behind the records; return what stands for its start in a record."""
        return Row(tuple(places), of_places=True)

    def mass(self, place: Place) -> None:
        """Count the value at `place` [kg] in the mass ledger."""
        self.masses.append(place)

    # nodes -------------------------------------------------------------------------

    def node(self, name: str, capacity: float, start: float | Place) -> Place:
        """Make a thermal node [J/K]; a place as start begins at that node's own start."""
        like = start if isinstance(start, Place) else None
        begin = 0.0 if like is not None else float(start)
        place = self.channel(name, "K", begin) if name else self.hidden(start=begin)
        if like is not None:
            self.begins_like.append((place, like))
        self.energy[place] = capacity * self.values[place]
        self.inverse[place] = 1.0 / capacity
        self.plain.append(place)
        self.nodes.add(place)
        return place

    def free_node(self, name: str, energy: float, inverse_capacity: float, start: float) -> Place:
        place = self.channel(name, "K", start)
        self.energy[place] = energy
        self.inverse[place] = inverse_capacity
        self.free.append(place)
        self.nodes.add(place)
        return place

    def boundary(self, name: str, start: float) -> Place:
        place = self.channel(name, "K", start)
        self.nodes.add(place)
        return place

    def node_of(self, tag: str, name: str = "temperature") -> Place:
        place = self.channel_of(tag, name)
        self.nodes.add(place)
        return place

    def surroundings(self) -> Place:
        inside = self.here.inside
        return self.node_of(inside) if inside else self.ambient

    @property
    def ambient(self) -> Place:
        return self.channels[(SITE, "ambient temperature")]

    @property
    def sky(self) -> Place:
        return self.channels[(SITE, "sky temperature")]

    def account(self, name: str) -> Place:
        if name not in self.accounts:
            place = self.hidden()
            self.nodes.add(place)
            self.accounts[name] = place
        return self.accounts[name]

    def conductance(self, a: Place, b: Place, watts_per_kelvin: float, *, name: str = "") -> Place:
        place = self.hidden(start=watts_per_kelvin)
        self.edges.append((a, b, place))
        if name:
            self.named_edges[(self.here.tag, name)] = place
        return place

    def take_over(self, tag: str, name: str) -> None:
        """Cut a named conductance of another part: this part stands in its way now."""
        self.taken_over.append((tag, name))

    def begin_where_stated(self) -> None:
        """Let nodes that begin like another one take its start, once all are made."""
        for place, like in self.begins_like:
            self.values[place] = self.values[like]
            self.energy[place] = self.values[like] / self.inverse[place]

    def heat(self, node: Place, watts: Place, account: Place) -> None:
        self.heats.append((node, watts, account))

    # liquid ------------------------------------------------------------------------

    def inline(
        self,
        start: str,
        end: str,
        *,
        mass: float = 0.0,
        node: Place | None = None,
        conductance: float = 0.0,
        law: str = "",
        record: tuple[str, int] | None = None,
        steady: bool = False,
        capacity: Place | None = None,
        quadratic: Place | None = None,
        linear: Place | None = None,
        head: Place | None = None,
        droop: Place | None = None,
        check: bool = False,
        friction: tuple[float, float, float, float] | None = None,
        pressure: Place | None = None,
        pressure_loss: Place | None = None,
        before: bool = True,
        ahead: bool = False,
        mean: Place | None = None,
        loss: Place | None = None,
        rank: int = 0,
        names: Names | None = ("flow", "inlet temperature", "outlet temperature"),
        heat: str = "",
    ) -> Stream:
        tag = self.here.tag
        begin = self.here.filling(start).temperature
        flow, inlet, outlet = names or ("", "", "")
        stream = Stream(
            self._named(flow, "kg/s", 0.0),
            self._named(inlet, "K", begin),
            self._named(outlet, "K", begin),
            self.hidden(start=conductance),
            self._named(heat, "W", 0.0),
        )
        self.elements.append(
            Element(
                tag=tag,
                start=f"{tag}.{start}",
                end=f"{tag}.{end}",
                mass=mass,
                node=node,
                law=record[0] if record else law,
                record=record[1] if record else -1,
                steady=steady,
                capacity=self._derated(start, end, capacity) if capacity is not None else None,
                quadratic=quadratic,
                linear=linear,
                head=head,
                droop=droop,
                check=check,
                friction=friction,
                pressure=pressure,
                pressure_loss=pressure_loss,
                level=self.level(start),
                before=before,
                ahead=ahead,
                mean=mean,
                loss=loss,
                stream=stream,
                rank=rank,
            )
        )
        return stream

    def _named(self, name: str | Place, unit: str, begin: float) -> Place:
        """Return a channel of a name, an unrecorded value for no name, or the place that is given."""
        if isinstance(name, Place):
            return name
        return self.channel(name, unit, begin) if name else self.hidden(start=begin)

    def level(self, port: str) -> float:
        """Return the height of a port above the datum of the site [m], from the ends of its lines."""
        return self.levels.get(f"{self.here.tag}.{port}", 0.0)

    def hold_pressure(self, tag: str, pressure: float) -> None:
        """Let a circuit without a tank have this pressure at a part or line [Pa]."""
        self.held_pressures[tag] = pressure

    def join(self, *ports: str, flow: Place | None = None, temperature: Place | None = None) -> None:
        self.joins.append(Join(tuple(f"{self.here.tag}.{port}" for port in ports), flow, temperature))

    def tank(
        self,
        ports: Sequence[str],
        *,
        law: str,
        node: Place,
        mass: Place,
        level: Place,
        least: float,
        most: float,
        full: float,
        base: float,
        height: float,
        gas_pressure: float,
        outlet: Place,
        inflow: Place,
        outflow: Place,
        loss: Place,
        around: Place | None = None,
        conductance: float = 0.0,
        layers: int = 0,
        spread: float = 0.0,
        inlet_height: float = 1.0,
        outlet_height: float = 0.0,
    ) -> None:
        tag = self.here.tag
        if law != "mixed":
            # its own law brings its temperature in step with its energy
            self.plain.remove(node)
            self.free.append(node)
        if law != "first in first out":  # that one is counted as a queue of parcels
            self.mass(mass)
        self.tanks.append(
            TankRecord(
                tag=tag,
                ports=tuple(f"{tag}.{port}" for port in ports),
                law=law,
                node=node,
                mass=mass,
                level=level,
                least=least,
                most=most,
                full=full,
                base=base,
                height=height,
                gas_pressure=gas_pressure,
                outlet=outlet,
                inflow=inflow,
                outflow=outflow,
                loss=loss,
                around=around,
                conductance=self.hidden(start=conductance),
                layers=layers,
                spread=spread,
                inlet_height=inlet_height,
                outlet_height=outlet_height,
            )
        )

    # laws, signals -----------------------------------------------------------------

    def record(self, law: str, ints: Sequence[int | Row], numbers: Sequence[float]) -> tuple[str, int]:
        rows = self.records.setdefault(law, [])
        rows.append((tuple(ints), tuple(float(number) for number in numbers)))
        return (law, len(rows) - 1)

    def series(self, name: str) -> Place:
        """Return a hidden value that follows a schedule parameter; constant where it is a plain number."""
        place = self.hidden()
        self.follow_into(place, name)
        return place

    def follow_into(self, place: Place, name: str) -> None:
        """Let a place follow a schedule parameter; it keeps the number where it is a plain one."""
        raw = self.here.raw(name)
        self.let_force(self.here.tag, (name.replace("_", " "),), place, comes_back=True)
        if isinstance(raw, str):
            self.follow(place, raw)
        else:
            self.values[place] = float(raw or 0.0)

    def follow(self, place: Place, name: str) -> None:
        """Let a place follow the named schedule of the loop."""
        for schedule in self.loop.schedules:
            if schedule.name == name:
                self.schedules.append((place, schedule))
                return
        raise UnknownNameError(name, [schedule.name for schedule in self.loop.schedules], "schedule")

    def command(self, start: float) -> Place:
        tag = self.here.tag
        if tag not in self.commands:
            self.commands[tag] = self.hidden(start=start)
            self.let_force(tag, ("", "command"), self.commands[tag], comes_back=True)
        return self.commands[tag]

    def also(self, signal: Place) -> None:
        self.needs.setdefault(self.here.tag, []).append((signal, True))

    def switch(
        self, name: str, reading: Place, sense: str, setting: float, differential: float, start: bool
    ) -> Place:
        out = self.channel(name, "1", float(start))
        self.switches.append(
            SwitchRecord(
                tag=f"{self.here.tag}.{name}",
                reading=reading,
                sense=1 if sense == "high" else -1,
                inclusive=True,
                setting=self.hidden(start=setting),
                differential=differential,
                lag=0.0,
                out=out,
                filtered=self.hidden(),
                count=self.channel(f"{name} changes", "1"),
                slope=self.hidden(start=math.inf),
                nature=NATURE_SLOW,
                sensor=-1,
            )
        )
        return out

    def watch(
        self,
        value: Place,
        limit: float,
        sense: str,
        code: str,
        text: str,
        *,
        back: float = 0.0,
        after: float = 0.0,
    ) -> None:
        self.watches.append(
            (
                value,
                limit,
                1 if sense == "above" else -1,
                self.here.tag,
                code,
                text,
                back,
                after,
                self.hidden(),
            )
        )

    # electricity -------------------------------------------------------------------

    def load(self, watts: Place, rated: float, starting: float = 0.0) -> Place:
        if rated > 0.0 and not self.recorded[watts]:
            raise RuntimeError(f"{self.here.tag}: what it draws must be a channel, or the ledger misses it")
        powered = self.position("powered", 1.0)
        self.loads.append(Load(self.here.tag, watts, powered, rated, starting))
        return powered

    def generation(self, watts: Place) -> None:
        self.generators.append((self.here.tag, watts))

    def bus(
        self, *, sheds: bool, back: float, nominal: float = 0.0, lowest: float = 0.0, strength: float = 0.0
    ) -> BusPlaces:
        self.buses[self.here.tag] = {
            "sheds": sheds, "back": back, "nominal": nominal, "lowest": lowest, "strength": strength,
            "takes loads": True, "dip": self.hidden(), "live": self.position("live", 1.0),
            "generated": self.channel("generated", "W"), "drawn": self.channel("drawn", "W"),
            "balance": self.channel("balance", "W"), "imported": self.channel("imported", "W"),
            "short": self.channel("short", "W"), "spilled": self.channel("spilled", "W"),
            "voltage": self.channel("voltage", "V", nominal) if nominal > 0.0 else self.hidden(),
        }  # fmt: skip
        made = self.buses[self.here.tag]
        return BusPlaces(made["drawn"], made["short"], made["live"], made["dip"])

    def bus_for(self, named: tuple[str, ...]) -> str:
        """Return the bus that is named, or the only one of the loop."""
        if named:
            return named[0]
        buses = [tag for tag, view in self.views.items() if view.gives("balance")]
        if len(buses) == 1:
            return buses[0]
        raise InputError(
            f'{self.here.tag}: the loop has {len(buses)} buses; write bus = "…" to say which one.'
        )

    def feeder(
        self,
        bus: str,
        *,
        limit: float,
        opens: bool,
        after: float,
        again: float,
        load_loss: float = 0.0,
        load_drop: float = 0.0,
        power_factor: float = 1.0,
        loss: Place | None = None,
        drop: Place | None = None,
    ) -> PowerWay:
        tripped = self.hidden()
        self.feeders[self.here.tag] = {
            "bus": bus, "limit": limit, "opens": opens, "after": after, "again": again,
            "load loss": load_loss, "load drop": load_drop, "power factor": power_factor,
            "power": self.channel("power", "W"), "asked": self.channel("asked", "W"),
            "loss": loss or self.hidden(), "drop": drop or self.hidden(),
            "closed": self.position("closed", 1.0), "command": self.command(1.0), "tripped": tripped,
        }  # fmt: skip
        return PowerWay(self.feeders[self.here.tag]["power"], tripped)

    def transformer(
        self, supply: str, bus: str, *, rating: float, core: float, winding: float, opens: bool, loss: Place
    ) -> PowerWay:
        tripped = self.hidden()
        self.transformers[self.here.tag] = {
            "supply": supply, "bus": bus, "rating": rating, "core": core, "winding": winding, "opens": opens,
            "power": self.channel("power", "W"), "loss": loss, "closed": self.position("closed", 1.0),
            "command": self.command(1.0), "tripped": tripped,
        }  # fmt: skip
        return PowerWay(self.transformers[self.here.tag]["power"], tripped)

    def battery(
        self, bus: str, *, stored: Place, power: Place, charge: Place, loss: Place, numbers: Sequence[float]
    ) -> None:
        self.batteries[self.here.tag] = {
            "bus": bus, "stored": stored, "power": power, "charge": charge, "loss": loss,
            "command": self.command(1.0), "numbers": list(numbers),
        }  # fmt: skip

    def is_named_by(self, reference: str) -> bool:
        """Tell whether another part names this one by a reference."""
        return any(self.here.tag in view.refers(reference) for view in self.views.values())

    def grid(self, bus: str, *, power: Place, most_in: float, most_out: float) -> None:
        tag = self.here.tag
        if not bus:
            # a transformer takes it from here
            bus = tag
            numbers = dict.fromkeys(("back", "nominal", "lowest", "strength"), 0.0)
            told = ("generated", "drawn", "balance", "imported", "short", "spilled", "voltage", "dip")
            self.buses[tag] = {
                **numbers, **{name: self.integrated() for name in told},
                "sheds": False, "takes loads": False, "live": self.constant(1.0),
            }  # fmt: skip
        self.grids[tag] = {
            "bus": bus, "power": power, "exported": self.integrated(), "closed": self.position("closed", 1.0),
            "command": self.command(1.0), "import": most_in, "export": most_out,
        }  # fmt: skip

    def integrated(self) -> Place:
        """Return a value that is no channel but is added up over a run."""
        return self._place(0.0, recorded=True)

    def supplied(self) -> Place:
        """Return whether this part has power: always, unless it names a feeder."""
        return self.load(self.hidden(), 0.0) if self.here.feeder else self.constant(1.0)

    def constant(self, value: float) -> Place:
        return self.hidden(start=value)

    def water(self) -> NDArray[np.float64]:
        """Return the tables of water and steam, if a law of the plant reads them."""
        return water_tables() if self.needs_water else np.zeros(1)

    # reading the rest --------------------------------------------------------------

    def site(self, name: str) -> float:
        if name not in self.site_values:
            raise InputError(f'The site states no "{name}"; write it in [site] of the rulebook or the loop.')
        return float(self.site_values[name])

    def choice(self, name: str) -> str:
        if name not in self.rules.choices:
            raise InputError(
                f'The rulebook "{self.rules.name}" must state the choice "{name}" under [choice]: it changes the answer.'
            )
        return self.rules.choices[name]

    def gas(self, name: str) -> Gas:
        return self.rules.gas(name)

    def part(self, tag: str) -> View:
        if tag not in self.views:
            raise UnknownNameError(tag, self.views, "part")
        return self.views[tag]
