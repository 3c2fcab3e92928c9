"""A part as its kind sees it: every number resolved, the liquid it stands in known."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from brinewright.model.rulebook import Liquid, Material

if TYPE_CHECKING:
    from brinewright.model.kind import Kind


@dataclass(frozen=True)
class Filling:
    """The liquid of a circuit at its working mean, SI."""

    name: str
    liquid: Liquid
    heat_capacity: float
    density: float
    viscosity: float = 0.0
    conductivity: float = 0.0
    temperature: float = 293.15


class PartView(Protocol):
    """A part with its numbers resolved: stated at the part, else in the rulebook, else default."""

    @property
    def tag(self) -> str:
        """Its tag."""

    @property
    def declared(self) -> "Kind":
        """What its kind declares."""

    @property
    def kind(self) -> str:
        """Name of its kind."""

    @property
    def law(self) -> str:
        """Name of the law that it follows."""

    @property
    def count(self) -> int:
        """How many equal units it stands for."""

    @property
    def feeder(self) -> str:
        """The feeder or bus that it hangs on, or ""."""

    @property
    def section(self) -> str:
        """The section that it belongs to, or ""."""

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

    def raw(self, name: str) -> Any:
        """Return a parameter as it is: a number, or the name of a schedule."""

    def first(self, name: str) -> float:
        """Return the first value of a schedule parameter."""

    def peak(self, name: str) -> float:
        """Return the greatest value of a schedule parameter."""

    def declares(self, name: str) -> bool:
        """Tell whether the kind declares this parameter under the part's law."""

    def gives(self, channel: str) -> bool:
        """Tell whether the kind declares this channel."""

    def begins_at(self, name: str) -> float | None:
        """Return an optional start value, None where it is not stated."""

    def start_word(self, name: str) -> str:
        """Return a start word, "" where it is not stated."""

    def limit(self, name: str) -> float:
        """Return a stated temperature limit, else that of the part's material; 0 for none [K]."""

    def metal_heat_capacity(self, name: str) -> float:
        """Return a stated specific heat capacity, else that of the part's material [J/(kg K)]."""

    def wall_conductivity(self, name: str) -> float:
        """Return a stated conductivity, else that of the part's material [W/(m K)]."""

    def filling(self, port: str = "") -> Filling:
        """Return the liquid at a port (of its side, if the part has two)."""

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
    def working_mean(self) -> float:
        """The circuit's working mean temperature [K]."""

    @property
    def viscosity(self) -> float:
        """Dynamic viscosity of that liquid at the circuit's working mean [Pa s]; 0 if undeclared."""

    @property
    def conductivity(self) -> float:
        """Thermal conductivity of that liquid at the working mean [W/(m K)]; 0 if undeclared."""

    @property
    def pressure_driven(self) -> bool:
        """Whether this circuit's flow follows pressures (real) instead of ranks (stylised)."""
