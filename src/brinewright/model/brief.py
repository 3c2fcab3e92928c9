"""A brief as read from its file: what must be cooled, how cold, with what at hand; frozen, in SI.

What a brief leaves out is derived when a loop is sized: flow, supply temperature, counts, sizes.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from brinewright.model.frozen import EMPTY
from brinewright.model.loop import Schedule, Value

PLENTY = math.inf
"""Amount of what never runs out."""
LAYOUTS = ("L1", "L2", "L3", "L4", "L5", "L6")
"""Series string, ring, parallel bank, tank bath, two circuits, two tanks with two decisions."""
AIMS = (
    "fewest machines",
    "least power",
    "least material",
    "steadiest supply",
    "smallest tanks",
    "simplest",
)
"""What can matter most; the order in which they count unless a brief says otherwise."""


@dataclass(frozen=True, kw_only=True)
class Consumer:
    """What must be cooled: an entry of the rulebook and its own numbers.

    `values` holds the parameters stated here (such as "highest_temperature"), in SI; they stand
    over the entry's.
    """

    tag: str
    use: str
    name: str = ""
    heat: float | str | None = None
    """To be taken away [W], or the name of a schedule; None: as the entry says."""
    distance: float = 20.0
    """Length of the line from the place of the tanks [m]."""
    height: float = 0.0
    """Above the floor of the place of the tanks [m]."""
    shed: int = 0
    """Order in which it may be left out when machines are lost, 1 first; 0 never."""
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, kw_only=True)
class Source:
    """Heat from elsewhere, such as hot rock: an entry of the rulebook and its own numbers."""

    tag: str
    use: str
    name: str = ""
    into: str = ""
    """The tag of the consumer that it warms; empty: the steam vessel."""
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, kw_only=True)
class Sink:
    """Where heat may leave for good: an entry of the rulebook, its own numbers, the way to it."""

    tag: str
    use: str
    name: str = ""
    distance: float = 50.0
    """Length of the line to it [m]."""
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, kw_only=True)
class AtHand:
    """What there is to build with; materials and equipment that are not named are there in plenty."""

    materials: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """Mass by material [kg], `PLENTY` without end."""
    equipment: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """Number by entry of the rulebook, such as "chiller.k1", `PLENTY` without end."""
    power: float = 0.0
    """Electric power from outside [W]; none if it is not named."""

    def mass(self, material: str) -> float:
        """Return how much of a material is at hand [kg]."""
        return float(self.materials.get(material, PLENTY))

    def number(self, use: str) -> float:
        """Return how many of an entry are at hand."""
        return float(self.equipment.get(use, PLENTY))


@dataclass(frozen=True, kw_only=True)
class Survive:
    """Which losses consumers and materials must outlast; those that may be shed are shed first."""

    chillers: int = 0
    """Chillers out of work at the same time, for good."""
    turbines: int = 0
    """Turbines out of work at the same time, for good."""
    without_power: float = 0.0
    """Time that pumps and controls must go on, and consumers stay cool, without any power made [s]."""


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What else is wanted of the loop; what is None is derived."""

    supply: float | None = None
    """Mean supply temperature [K]."""
    flow: float | None = None
    """Through all consumers together [kg/s]."""
    margin: float = 0.0
    """Added to every heat, as a share of it [-]."""
    hold: float | None = None
    """Time that the return tank takes the whole flow [s]."""
    ride_through: float | None = None
    """Time that the supply holds when no chiller works [s]."""
    matters: tuple[str, ...] = ()
    """What matters most, first things first; of `AIMS`."""
    layouts: tuple[str, ...] = LAYOUTS
    """Layouts that may be built; the others are worked out too, for comparison."""
    liquids: tuple[str, ...] = ()
    """Liquids that may be used; empty: any of the rulebook."""


@dataclass(frozen=True, kw_only=True)
class Stage:
    """A later stage of growth: what is added to all that came before it."""

    name: str
    load: float = 1.0
    """Factor on the heat of every consumer of the stages before [-]."""
    consumers: tuple[Consumer, ...] = ()
    sources: tuple[Source, ...] = ()
    at_hand: AtHand | None = None
    """What is at hand then, in place of what was before; None: as before."""


@dataclass(frozen=True, kw_only=True)
class Brief:
    """A page of needs."""

    name: str
    rulebook: str
    site: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    consumers: tuple[Consumer, ...] = ()
    sources: tuple[Source, ...] = ()
    sinks: tuple[Sink, ...] = ()
    schedules: tuple[Schedule, ...] = ()
    at_hand: AtHand = field(default_factory=AtHand)
    survive: Survive = field(default_factory=Survive)
    wanted: Wanted = field(default_factory=Wanted)
    stages: tuple[Stage, ...] = ()

    def schedule(self, name: str) -> Schedule:
        """Return the schedule of this name; the reader has refused unknown ones already."""
        return next(schedule for schedule in self.schedules if schedule.name == name)
