"""How a kind lays itself down into the engine's primitives.

`lower(part, builder)` of a kind reads its own numbers from the part and asks the builder
for nodes, contents, conductances, signals and a record for its law.  The builder knows no
kinds, the kinds know no arrays.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from brinewright.model.rulebook import Gas, Liquid, Material


class Place(int):
    """An index into the state; the compiler renumbers it when the plant is complete."""


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


class PartView(Protocol):
    """A part with its numbers resolved: stated at the part, else in the rulebook, else default."""

    tag: str
    kind: str
    law: str
    count: int
    section: str

    def number(self, name: str) -> float:
        """Return a parameter in SI; 0.0 for an optional one that is not stated."""

    def word(self, name: str) -> str:
        """Return a parameter that is a word or text; "" if optional and not stated."""

    def flag(self, name: str) -> bool:
        """Return a parameter that is a flag."""

    def has(self, name: str) -> bool:
        """Tell whether a parameter has a value (stated or default)."""

    def rows(self, name: str) -> Sequence[Sequence[float]]:
        """Return a table parameter."""

    def start(self, name: str) -> float:
        """Return what `[start]` states for this part, else the declared default, in SI."""

    def refers(self, name: str) -> tuple[str, ...]:
        """Return the tags of the parts that a reference names (empty if none)."""

    def connected(self, port: str) -> bool:
        """Tell whether a line ends on this port."""

    @property
    def material(self) -> Material | None:
        """The material stated for this part."""

    @property
    def inside(self) -> str:
        """Tag of the part in which this one is sited, or ""."""

    @property
    def height(self) -> float:
        """Height at which it is sited above the floor of what it is in [m]."""

    @property
    def liquid(self) -> Liquid:
        """The liquid of the circuit in which this part stands."""

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of that liquid at the circuit's working mean [J/(kg K)]."""

    @property
    def density(self) -> float:
        """Density of that liquid at the circuit's working mean [kg/m3]."""

    @property
    def viscosity(self) -> float:
        """Dynamic viscosity of that liquid at the circuit's working mean [Pa s]; 0 if undeclared."""

    @property
    def conductivity(self) -> float:
        """Thermal conductivity of that liquid at the working mean [W/(m K)]; 0 if undeclared."""

    @property
    def pressure_driven(self) -> bool:
        """Whether this circuit's flow follows pressures (real) instead of ranks (stylised)."""


class Builder(Protocol):
    """What a kind may ask for.  Tags are implied: channels belong to the part being lowered."""

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

    def series(self, name: str) -> Place:
        """Return a value that follows the part's schedule parameter `name` (constant if it is plain)."""

    def node(self, name: str, capacity: float, start: float) -> Place:
        """Make a thermal node of `capacity` [J/K] at `start` [K]; its temperature is channel `name`."""

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
        """The ambient node (constant or from the weather)."""

    @property
    def sky(self) -> Place:
        """The sky's radiation temperature, a boundary node."""

    def account(self, name: str) -> Place:
        """Return a named account: heat given or taken without a temperature ("people and machines")."""

    def conductance(self, a: Place, b: Place, watts_per_kelvin: float) -> Place:
        """Join two nodes; return the place of the conductance, which a law may change."""

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
        record: tuple[Place, int] | None = None,
        steady: bool = False,
        capacity: Place | None = None,
        quadratic: Place | None = None,
        linear: Place | None = None,
        head: Place | None = None,
        droop: Place | None = None,
        check: bool = False,
        rise: float = 0.0,
        before: bool = True,
    ) -> Stream:
        """Put an element between two of this part's ports.

        It holds `mass` [kg] that exchanges with `node`; `law` and `record` name the
        crossing law met by the liquid (before its content, or after it if not `before`);
        `steady` says that the law's temperature change is constant between decisions.
        `capacity` is the place of its greatest flow [kg/s] (ranked circuits).  In pressure
        circuits: dp = quadratic q|q| + linear q - (head - droop q^2), `rise` [m] up from
        first to second port, `check` stops reverse flow.
        """

    def join(self, *ports: str, holds: bool = False) -> None:
        """Let all these ports meet in one point where liquid mixes."""

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
        base: float,
        height: float,
        gas_pressure: float,
        layers: int = 0,
        spread: float = 0.0,
    ) -> None:
        """Make a tank of the joined ports: masses in kg, heights in m, `law` mixed / first in first out / stratified."""

    def record(self, law: str, ints: Sequence[int], numbers: Sequence[float]) -> tuple[Place, int]:
        """Append a record to the kind's block `law`; return its handle (for `inline`)."""

    def position(self, name: str, start: float) -> Place:
        """Make a channel that forced signals may hold (valve position, running state)."""

    def command(self, start: float) -> Place:
        """Return the place of what the switches command this part (1: its first position word)."""

    def switch(
        self, name: str, reading: Place, sense: str, setting: float, differential: float, start: bool
    ) -> Place:
        """Make a switch inside this part (a turbine's threshold); return its signal."""

    def also(self, signal: Place) -> None:
        """Let the command of this part also need `signal` to be made."""

    def load(self, watts: Place, rated: float, starting: float = 0.0) -> Place:
        """Make this part an electrical load on its feeder; return whether it is powered (1 or 0)."""

    def generation(self, watts: Place) -> None:
        """Feed the bus of this part's feeder with `watts`."""

    def bus(self, *, grid: Place | None = None, back: float = 60.0) -> None:
        """Make this part a power bus; dropped loads may return after `back` [s]."""

    def feeder(
        self, up: str, *, limit: float, fixed_loss: float, load_loss: float, drop: float, opens: bool
    ) -> Place:
        """Make this part a feeder or transformer hung on part `up`; return its lost heat [W]."""

    def battery(self, bus: str, charge: Place, power: Place, numbers: Sequence[float]) -> None:
        """Hang a battery on a bus: capacity [J], floor [J], efficiencies in and out, limits in and out [W]."""

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
