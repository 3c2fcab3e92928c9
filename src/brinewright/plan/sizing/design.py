"""One design: what was chosen, and what follows from it in closed form."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from brinewright.model.frozen import EMPTY
from brinewright.model.rulebook import Liquid
from brinewright.plan.sizing.layouts import Bank
from brinewright.plan.sizing.steam import Casings, Cooled
from brinewright.plan.sizing.stock import Item

LEVELS: Mapping[str, float] = MappingProxyType({"return": 0.5, "waiting": 0.5, "supply": 0.6})
"""Level at which each tank is run."""
BEFORE_RINGS: Mapping[str, str] = MappingProxyType({"L2": "return", "L6": "waiting"})
"""The tank from which a ring draws: the supply tank must be full before that one is empty."""
FILLS_FIRST = 0.5
"""Room in the supply tank behind a ring, as a share of what stands before the ring."""


def levels_of(layout: str, tanks: Mapping[str, float]) -> dict[str, float]:
    """Return the level at which each tank is run.

    A ring gives more than the consumers take.  Where the supply tank could take all that stands
    before the ring, its pump would draw that tank dry; a supply tank that is full first holds the
    ring back instead.

    >>> levels_of("L6", {"return": 10.0, "waiting": 10.0, "supply": 25.0})
    {'return': 0.5, 'waiting': 0.5, 'supply': 0.9}
    """
    found = {use: LEVELS[use] for use in tanks}
    before = BEFORE_RINGS.get(layout)
    if before is not None:
        room = FILLS_FIRST * LEVELS[before] * tanks[before]
        found["supply"] = max(round(1.0 - room / tanks["supply"], 3), 0.0)
    return found


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What the search is free to choose."""

    layout: str
    liquid: Liquid
    chiller: Item
    vessel: Item
    turbine: Item | None
    turbines: int
    cooled: Cooled
    set_point: float
    """[K]"""
    spread: float
    """Flow of the consumers as a multiple of the least that keeps them cool."""
    tank_size: float = 1.0
    """Supply tank as a multiple of the usual."""


@dataclass(frozen=True, kw_only=True)
class State:
    """The plant at rest under one load, in SI."""

    load: float
    """Taken by the chillers [W]."""
    consumers: tuple[float, ...]
    """Of that, from each consumer [W]."""
    passes: float
    supply: float
    returned: float
    """From the consumers, before the casings' jackets [K]."""
    hot: float
    """Where the return tank rests [K]."""
    rejected: float
    """Into the vessel [W]."""
    vessel: float
    """[K]"""
    duty: float
    """Share of the time that turbines run."""
    taken: float
    """By the turbines [W]."""
    generated: float
    casing: Casings
    chillers_power: float
    net_power: float
    """Turbines less everything that draws [W]."""


@dataclass(frozen=True, kw_only=True)
class Design:
    """A choice that meets the brief, with its figures."""

    choice: Choice
    bank: Bank
    flows: tuple[float, ...]
    """Through each consumer [kg/s]."""
    differential: float
    """Of the switches [K]."""
    step: float
    """Between the set points of two groups of a bath [K]."""
    pumps: Mapping[str, tuple[float, int]]
    """By tag: capacity of each unit [kg/s] and number of units."""
    peak: State
    mean: State
    least: State
    first: State
    hottest: float
    """Bound on the vessel with every chiller running [K]."""
    hottest_in_a_fault: float
    """The same with the turbines out that may be lost [K]."""
    metals: Mapping[str, str]
    """Material by what is made of it."""
    metal_limits: Mapping[str, tuple[float, float, float]] = field(default_factory=lambda: EMPTY)
    """By what is made: temperature at most, in a fault, and the limit of its material [K]."""
    mass: float = 0.0
    """Of all metal, each kilogram times its scarcity [kg]."""
    tanks: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """Volume by use [m3]."""
    ripple: float = 0.0
    """Swing of the supply [K]."""
    auxiliaries: float = 0.0
    """Pumps and what else draws all the time [W]."""
    battery: float = 0.0
    """Energy [J]; 0 without one."""
    battery_parts: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """What the battery must cover, by cause [J]."""
    grid: float = 0.0
    """Power from outside that is used at most [W]."""
    machines: int = 0
    decisions: int = 0
    """Switches, valves and junctions, which have to be understood."""

    @property
    def flow(self) -> float:
        """Return the flow through all consumers [kg/s]."""
        return sum(self.flows)

    @property
    def levels(self) -> Mapping[str, float]:
        """Return the level at which each tank is run."""
        return levels_of(self.choice.layout, self.tanks)

    @property
    def volume(self) -> float:
        """Return the volume of all tanks [m3]."""
        return sum(self.tanks.values())

    def measures(self) -> Mapping[str, float]:
        """Return what the aims are judged by; less is better, and what nobody would notice is rounded off."""
        return {
            "fewest machines": float(self.machines),
            "least power": round(self.mean.chillers_power + self.auxiliaries, -3),
            "least material": round(self.mass, -1),
            "steadiest supply": round(self.ripple, 1),
            "smallest tanks": round(self.volume, 1),
            "simplest": float(self.decisions),
        }


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Why a choice does not meet the brief."""

    layout: str
    need: str
    """Which need is in the way."""
    amount: float
    """By how much, in the unit of the need [SI]."""
    text: str
    liquid: str = ""
    weight: float = 0.0
    """How far the choice came before it failed: greater is nearer to a design."""
