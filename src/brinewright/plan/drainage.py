"""What `drain` answers: where each litre goes, what is locked, who goes without, in which order."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from brinewright.plan.section import Isolation, Opening
from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/drain/1"


@dataclass(frozen=True, kw_only=True)
class Content:
    """What stands in one line or part of the section, and where it goes [l]."""

    tag: str
    litres: float
    kilograms: float
    lowest: float | None
    highest: float | None
    """Heights of its ends [m]; None where the loop states none."""
    by_gravity: Mapping[str, float]
    """Litres that run out by their own weight, by the store that takes them."""
    by_pump: Mapping[str, float]
    """Litres that must be lifted, by the store that takes them."""
    stays: float
    """Litres that no drain point reaches."""


@dataclass(frozen=True, kw_only=True)
class Lock:
    """Something that is locked before anybody opens the section, and how that is proved twice."""

    tag: str
    what: str
    state: str
    proofs: tuple[str, str]


@dataclass(frozen=True, kw_only=True)
class Outlet:
    """One way out of the section, and what leaves by it."""

    tag: str
    """The drain point, or the line that ends above a store."""
    height: float
    """[m]"""
    bore: float
    """[m]"""
    means: str
    """"gravity" or "pump"."""
    into: str
    litres: float
    least_time: float | None
    """Time until that is out, at best [s]; None where no pump is stated."""


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """Liquid that stays, or hangs below a high point without air."""

    tags: tuple[str, ...]
    litres: float
    height: float
    """Of its lowest point, or of the highest for what hangs [m]."""
    at: str
    text: str
    remedy: str


@dataclass(frozen=True, kw_only=True)
class Room:
    """What a store can take, and what it is given [l]."""

    store: str
    volume: float
    level_now: float
    """Share of its volume when the section is shut off [1]."""
    level_fullest: float
    """Its greatest share over the run before [1]."""
    free_now: float
    free_fullest: float
    swell: float
    """What the store's own liquid gains as it comes to the surroundings' temperature."""
    takes: float
    level_after: float


@dataclass(frozen=True, kw_only=True)
class Transfer:
    """Liquid that is pumped from one store to another first, so that each has room [l]."""

    source: str
    target: str
    litres: float


@dataclass(frozen=True, kw_only=True)
class Cooling:
    """How long something takes to become cool enough to be opened."""

    tag: str
    what: str
    begins: float
    """[K]"""
    limit: float
    """[K]"""
    after: float | None
    """[s]; None if it never does"""
    basis: str
    """"now", "run" or "beyond the run"."""


@dataclass(frozen=True, kw_only=True)
class Meanwhile:
    """How a consumer fares while the section is shut off."""

    tag: str
    is_cut_off: bool
    """Whether its own liquid is shut off."""
    limit: float
    """The limit that it comes nearest to, or breaks [K]."""
    worst: float
    """Its extreme on the side of that limit while the section is shut off [K]."""
    normally: float
    """The same extreme in the undisturbed plant over the same hours [K]."""
    holds: float | None
    """Time until it leaves its limits [s]; None if it stays within them to the end of the run."""
    essential: bool


@dataclass(frozen=True, kw_only=True)
class Aid:
    """A valve outside the section that is held by hand, and how much longer the plant then stays cold."""

    tag: str
    position: str
    holds: float | None
    """Time until the first consumer leaves its limits [s]; None if none does to the end of the run."""
    instead_of: float
    """That time with the valve left to its switch [s]."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the procedure, with what it moves and how full each store is after it."""

    number: int
    text: str
    litres: float = 0.0
    levels: Mapping[str, float] | None = None


@dataclass(frozen=True, kw_only=True)
class Obstacle:
    """Something that stands in the way, by the code of the finding it belongs to."""

    code: str
    severity: str
    subject: tuple[str, ...]
    text: str
    remedy: str

    @property
    def is_serious(self) -> bool:
        """Return whether it is of severity S or C."""
        return self.severity in ("S", "C")


@dataclass(frozen=True, kw_only=True)
class Drainage:
    """The whole answer to: can this be emptied, where to, who goes without, in which order."""

    name: str
    world: str
    section: tuple[str, ...]
    """What was asked for."""
    beyond: tuple[str, ...]
    """What must be emptied with it because valves are missing."""
    left: tuple[str, ...]
    """Lines of the section that stay full with the tank that they lead out of, up to its valve."""
    contents: tuple[Content, ...]
    hold_up: float
    """All that stands in the section [l]."""
    swell: float
    """What the section's liquid gains as it comes to the surroundings' temperature [l]."""
    needed: float
    """Room that must be free: hold-up with swell and a tenth more [l]."""
    free: float
    """Room that is free at the moment the section is shut off [l]."""
    free_at_worst: float
    """The least room that was free at any moment of the run before [l]."""
    margin: float
    """Free room less what is needed, as a share of what is needed [1]."""
    isolations: tuple[Isolation, ...]
    openings: tuple[Opening, ...]
    locks: tuple[Lock, ...]
    outlets: tuple[Outlet, ...]
    pockets: tuple[Pocket, ...]
    vents: tuple[str, ...]
    unvented: tuple[Pocket, ...]
    rooms: tuple[Room, ...]
    transfers: tuple[Transfer, ...]
    unknown_heights: tuple[str, ...]
    """Lines that state no heights, so that gravity can't be judged."""
    least_time: float | None
    """Time for all of it, each outlet after the other of its store, at best [s]; None if not known."""
    cooling: tuple[Cooling, ...]
    meanwhile: tuple[Meanwhile, ...]
    aids: tuple[Aid, ...]
    """Valves that are better held by hand meanwhile, what helps most first."""
    watched: float
    """How long the plant was simulated with the section shut off [s]."""
    shut_at: float
    """When in the run the section was shut off [s]."""
    steps: tuple[Step, ...]
    way_back: tuple[Step, ...]
    retest: tuple[str, ...]
    """Switches whose truth table is tested again."""
    faults: tuple[Obstacle, ...]
    cautions: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Return whether the stores take what stands in the section."""
        return self.margin >= 0.0

    @property
    def is_judged(self) -> bool:
        """Return whether it could be said where liquid runs."""
        return not self.unknown_heights

    @property
    def by_gravity(self) -> float:
        """Return what runs out by its own weight [l]."""
        return sum(sum(content.by_gravity.values()) for content in self.contents)

    @property
    def by_pump(self) -> float:
        """Return what must be lifted [l]."""
        return sum(sum(content.by_pump.values()) for content in self.contents)

    @property
    def stays(self) -> float:
        """Return what no drain point reaches [l]."""
        return sum(content.stays for content in self.contents)

    @property
    def serious(self) -> tuple[Obstacle, ...]:
        """Return what stands in the way with severity S or C."""
        return tuple(fault for fault in self.faults if fault.is_serious)

    def as_dict(self) -> dict[str, Any]:
        """Return the answer as it stands in JSON; the shape is `data/schema/drain.json`."""
        told = asdict(self)
        totals = {
            name: getattr(self, name) for name in ("fits", "is_judged", "by_gravity", "by_pump", "stays")
        }
        units = {"litres": "l", "height": "m", "time": "s", "temperature": "K", "level": "1"}
        made: dict[str, Any] = plain(
            {"format": FORMAT, "caution": caution(self.world), "units": units, **totals, **told}
        )
        return made
