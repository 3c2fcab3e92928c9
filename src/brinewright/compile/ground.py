"""The ground of an assembly: its values, its channels, its thermal nodes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from brinewright.compile.elements import Element, Join, Load, Row, SwitchRecord, TankRecord
from brinewright.compile.view import View
from brinewright.model.loop import Loop, Schedule
from brinewright.model.lowering import Place
from brinewright.model.rulebook import Rulebook

SITE = "SITE"


@dataclass
class Ground:
    """Lists that grow while kinds lower themselves; values, channels and nodes among them."""

    loop: Loop
    rules: Rulebook
    views: Mapping[str, View]
    site_values: Mapping[str, Any]

    values: list[float] = field(default_factory=lambda: [0.0, 1.0, 0.0, 0.0])
    recorded: list[bool] = field(default_factory=lambda: [True, True, True, True])
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
    apart: list[tuple[str, int, tuple[Place, ...]]] = field(default_factory=list)
    """Records of laws that may tick by themselves, and the nodes that they act on."""
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
    of_forces: list[Place] = field(default_factory=list)
    """Values that serve only what is forced."""
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
            first, last = line.levels or (0.0, 0.0)
            for port, level in ((line.start, first), (line.end, last)):
                self.levels.setdefault(port, level)
            self.levels[f"{line.tag}.in"], self.levels[f"{line.tag}.out"] = first, last

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

    def let_force(self, tag: str, names: Sequence[str], place: Place, *, comes_back: bool = False) -> None:
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
        self.deratings[key] = (capacity, self.late(1.0), self.late(self.values[capacity]))
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
    def outside(self) -> Place:
        return self.channels[(SITE, "outside temperature")]

    def ambient_humidity(self) -> Place | None:
        """Return the relative humidity of the air outside, None where the site tells none."""
        return self.channels.get((SITE, "humidity"))

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

    def command(self, start: float) -> Place:
        tag = self.here.tag
        if tag not in self.commands:
            self.commands[tag] = self.hidden(start=start)
            self.let_force(tag, ("", "command"), self.commands[tag], comes_back=True)
        return self.commands[tag]

    def integrated(self) -> Place:
        """Return a value that is no channel but is added up over a run."""
        return self._place(0.0, recorded=True)

    def constant(self, value: float) -> Place:
        return self.hidden(start=value)

    def late(self, start: float = 0.0) -> Place:
        """Return a value that stands behind all others, so that a plant is the same without it."""
        place = self._place(start, recorded=False)
        self.of_forces.append(place)
        return place
