"""How a kind lays itself down into the engine's primitives.

`lower(part, builder)` of a kind reads its own numbers from the part and asks the builder
for nodes, contents, conductances, signals and a record for its law.  The builder knows no
kinds, the kinds know no arrays.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from brinewright.model.part_view import Filling, PartView
from brinewright.model.rulebook import Gas


class Place(int):
    """An index into the state; the compiler renumbers it when the plant is complete."""


Names = tuple[str | Place, str | Place, str | Place]
"""Channels, or places, of flow and of the temperatures at both ports."""


@dataclass(frozen=True)
class Stream:
    """Where the engine keeps what flows through an inline element."""

    flow: Place
    """[kg/s], positive from the first port to the second"""
    inlet: Place
    """temperature at the first port [K]"""
    outlet: Place
    """temperature at the second port [K]"""
    conductance: Place
    """conductance between content and node [W/K]; a law may change it"""
    heat: Place
    """heat flow from the node into the content [W]"""


@dataclass(frozen=True)
class BusPlaces:
    """Where the engine keeps what a bus tells."""

    drawn: Place
    """[W]"""
    short: Place
    """asked for and not given [W]"""
    live: Place
    dip: Place
    """1 while what starts pulls the voltage below what contactors hold at"""


@dataclass(frozen=True)
class PowerWay:
    """Where the engine keeps what a feeder or a transformer carries, and whether it opened by itself."""

    power: Place
    tripped: Place


class Builder(Protocol):
    """What a kind may ask for.  Tags are implied: channels belong to the part being lowered."""

    needs_water: bool
    """Set by a kind whose law reads the tables of water and steam."""

    def site(self, name: str) -> float:
        """Return a number of the site in SI ("gravity", "ambient_pressure", ...)."""

    def choice(self, name: str) -> str:
        """Return a stylised choice of the rulebook (such as "stagnant_sensor")."""

    def gas(self, name: str) -> Gas:
        """Return a gas of the rulebook."""

    def channel(self, name: str, unit: str, start: float = 0.0) -> Place:
        """Make a recorded value of this part."""

    def channel_of(self, tag: str, name: str) -> Place:
        """Return the channel of another part; it may be lowered later."""

    def hidden(self, count: int = 1, start: float = 0.0) -> Place:
        """Make `count` unrecorded values that follow each other; return the first."""

    def shared(self, name: str, start: float = 0.0) -> Place:
        """Make an unrecorded value that other parts may ask for, on top of what they added to it."""

    def shared_of(self, tag: str, name: str) -> Place:
        """Return a value that another part shares; it may be lowered later."""

    def add_to(self, place: Place, amount: float) -> None:
        """Raise the start of a value, as each of several parts does."""

    def table(self, numbers: Sequence[float]) -> Any:
        """Keep numbers behind the records; return what stands for their start in P in a record."""

    def places(self, places: Sequence[Place]) -> Any:
        """Keep a list of places behind the records; return what stands for its start in I in a record."""

    def mass(self, place: Place) -> None:
        """Count the value at `place` [kg] in the mass ledger."""

    def follow_into(self, place: Place, name: str) -> None:
        """Let a place follow the part's schedule parameter `name` (it keeps the number if it is plain)."""

    def series(self, name: str) -> Place:
        """Return a value that follows the part's schedule parameter `name` (constant if it is plain)."""

    def node(self, name: str, capacity: float, start: float | Place) -> Place:
        """Make a thermal node of `capacity` [J/K] at `start` [K]; its temperature is channel `name`.

        A place as `start` begins at that node's own start; without a name no channel is made.
        """

    def free_node(self, name: str, energy: float, inverse_capacity: float, start: float) -> Place:
        """Make a node whose temperature the kind's own `settle` law derives from its energy [J]."""

    def boundary(self, name: str, start: float) -> Place:
        """Make a node that keeps its temperature whatever it takes (the law may set it)."""

    def node_of(self, tag: str, name: str = "temperature") -> Place:
        """Return a node of another part; it may be lowered later."""

    def surroundings(self) -> Place:
        """Return the node this part is sited in (its vessel, its room), else the ambient node."""

    @property
    def ambient(self) -> Place:
        """The node of what surrounds the plant: a hall, rock."""

    @property
    def outside(self) -> Place:
        """The node of the air outside, from the weather; without weather it is like the ambient."""

    def ambient_humidity(self) -> Place | None:
        """Return the relative humidity of the air outside, None where the site tells none."""

    @property
    def sky(self) -> Place:
        """The sky's radiation temperature, a boundary node."""

    def account(self, name: str) -> Place:
        """Return a named account: heat given or taken without a temperature ("people and machines")."""

    def conductance(self, a: Place, b: Place, watts_per_kelvin: float, *, name: str = "") -> Place:
        """Join two nodes; return the place of the conductance, which a law may change.

        A conductance with a name can be taken over by a part that stands in its way.
        """

    def take_over(self, tag: str, name: str) -> None:
        """Cut a named conductance of another part: this part stands in its way now."""

    def heat(self, node: Place, watts: Place, account: Place) -> None:
        """Let `watts` flow from an account into a node all the time."""

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
        begin: float | None = None,
    ) -> Stream:
        """Put an element between two of this part's ports.

        It holds `mass` [kg] that exchanges with `node`; `law` and `record` name the
        crossing law met by the liquid (before its content, or after it if not `before`);
        `steady` says that the law's temperature change is constant between decisions,
        `ahead` that the law must know beforehand how warm is what will meet it.
        `capacity` is the place of its greatest flow [kg/s]; 0 is shut, in any circuit.

        In pressure circuits the element loses quadratic q|q| + linear q - (head - droop q|q|),
        and what `friction` takes: length [m], bore [m], roughness [m] and the sum of loss
        coefficients.  `check` stops reverse flow.  `pressure` [Pa] gets the static pressure
        where it begins, `pressure_loss` [Pa] what is lost in it.

        `mean` and `loss` get the mean temperature of its content [K] and the heat flow that
        the content loses [W].  `names` are the channels of flow and of the temperatures at
        both ports ("" for none, or a place that is there already), `heat` that of the heat
        flow into the content.  `begin` is the temperature of the content at the start [K], by
        default the circuit's working mean.
        """

    def level(self, port: str) -> float:
        """Return the height of a port above the datum of the site [m], from the ends of its lines."""

    def hold_pressure(self, tag: str, pressure: float) -> None:
        """Let a circuit without a tank have this pressure at a part or line [Pa]."""

    def join(self, *ports: str, flow: Place | None = None, temperature: Place | None = None) -> None:
        """Let all these ports meet in one point where liquid mixes; what passes it goes to both places."""

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
        """Make a tank of the joined ports, mixed, first in first out or stratified.

        Masses in kg, heights in m, flows in kg/s.  `outlet` [K], `inflow` and `outflow` get
        what they say.  A tank that does not mix loses heat by `conductance` [W/K] to
        `around`, parcel by parcel, and `loss` [W] gets it; `spread` is conductivity times
        cross-section [W m/K].
        """

    def supplied(self) -> Place:
        """Return whether this part has power: always, unless it names a feeder."""

    def constant(self, value: float) -> Place:
        """Make a value that nothing changes."""

    def record(
        self,
        law: str,
        ints: Sequence[Any],
        numbers: Sequence[float],
        *,
        apart: Sequence[Place] | None = None,
    ) -> tuple[str, int]:
        """Append a record to the kind's block `law`; return its handle (for `inline`).

        `ints` are places, whole numbers, and what `table` and `places` returned.  `apart` says that
        the law may tick by itself inside a longer step of the liquid, and names the nodes that it
        reads or takes heat from; to others it only gives.
        """

    def position(self, name: str, start: float, *, moves: bool = True) -> Place:
        """Make a channel that forced signals may hold (valve position, running state).

        One that no law `moves` comes back to its value when a force lets it go.
        """

    def command(self, start: float) -> Place:
        """Return the place of what the switches command this part (1: its first position word)."""

    def switch(
        self, name: str, reading: Place, sense: str, setting: float, differential: float, start: bool
    ) -> Place:
        """Make a switch inside this part (a turbine's threshold); return its signal."""

    def also(self, signal: Place) -> None:
        """Let the command of this part also need `signal` to be made."""

    def load(self, watts: Place, rated: float, starting: float = 0.0) -> Place:
        """Make this part an electrical load on its feeder; return whether it is powered (1 or 0).

        `watts` is the channel of what it draws, `rated` the most it draws [W], `starting`
        its starting current as a multiple of the running one.
        """

    def generation(self, watts: Place) -> None:
        """Feed the bus of this part, or of its feeder, with `watts`."""

    def bus(
        self, *, sheds: bool, back: float, nominal: float = 0.0, lowest: float = 0.0, strength: float = 0.0
    ) -> BusPlaces:
        """Make this part a power bus that sheds loads, or stops, and takes them back after `back` [s].

        With a `nominal` voltage [V] what starts pulls it down against the short-circuit
        power `strength` [V A]; below the share `lowest` of it contactors let go.
        """

    def bus_for(self, named: tuple[str, ...]) -> str:
        """Return the bus that is named, or the only one of the loop."""

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
        """Make this part a feeder of a bus; at its limit it loses `load_loss` [W] and `load_drop` [1].

        It `opens` when above its limit for longer than `after` [s]; it closes by itself
        `again` [s] later, never if 0.
        """

    def transformer(
        self, supply: str, bus: str, *, rating: float, core: float, winding: float, opens: bool, loss: Place
    ) -> PowerWay:
        """Make this part a way between two buses; it loses `core`, and `winding` at its rating [W]."""

    def battery(
        self, bus: str, *, stored: Place, power: Place, charge: Place, loss: Place, numbers: Sequence[float]
    ) -> None:
        """Hang this part on a bus as a store.

        Its numbers: capacity and floor [J], efficiencies in and out, limits in and out [W],
        standing loss [W].
        """

    def is_named_by(self, reference: str) -> bool:
        """Tell whether another part names this one by a reference."""

    def grid(self, bus: str, *, power: Place, most_in: float, most_out: float) -> None:
        """Join a bus, or the transformers that name it if "", to a grid with its limits [W]."""

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
        """Report an event when `value` passes `limit` ("above" or "below") for more than `after` [s]."""

    def part(self, tag: str) -> Any:
        """Return the view of another part (to read its numbers)."""


__all__ = ["Builder", "BusPlaces", "Filling", "Names", "PartView", "Place", "PowerWay", "Stream"]
