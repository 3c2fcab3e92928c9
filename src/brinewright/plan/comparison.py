"""What `compare` answers: designs side by side."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from brinewright.plan.differences import Difference
from brinewright.results import Result
from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/compare/1"


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure of every design, in one unit."""

    group: str
    subject: str
    """The tag that it belongs to, "" for the whole plant."""
    quantity: str
    unit: str
    values: tuple[float | None, ...]
    """One for each design; None where a design has no such figure."""


@dataclass(frozen=True, kw_only=True)
class Upset:
    """Something that makes a design senseless, or puts it outside its duty, under its rulebook."""

    design: int
    """Which design, counted from 0."""
    subject: str
    what: str
    """"dead-headed", "standing ring", "out of limits", "ranks ignored", "unfinished" or "idle cooler"."""
    text: str


@dataclass(frozen=True, kw_only=True)
class Found:
    """One finding, and in which designs it stands."""

    code: str
    severity: str
    title: str
    subject: tuple[str, ...]
    texts: tuple[str, ...]
    """What is said of each design; "" where it does not stand."""


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Designs side by side: figures, decisions, findings, and where one makes no sense."""

    names: tuple[str, ...]
    worlds: tuple[str, ...]
    outcomes: tuple[str, ...]
    simulated: float
    """How long each was run [s]."""
    figures: tuple[Figure, ...]
    decisions: tuple[Difference, ...]
    """What the loop files state differently."""
    laws: tuple[Difference, ...]
    """Entries that the rulebooks declare differently, where one loop is compared under several."""
    findings: tuple[Found, ...]
    upsets: tuple[Upset, ...]
    serious: tuple[int, ...]
    """How many findings of severity S or C stand in each design."""
    results: tuple[Result | None, ...] = ()
    """The runs themselves, for curves; None where one could not be finished."""

    def senseless(self, design: int) -> bool:
        """Tell whether a design does not do its job at all under its rulebook."""
        return any(one.design == design and one.what in SENSELESS for one in self.upsets)

    def as_dict(self) -> dict[str, Any]:
        """Return the comparison as it stands in JSON; the shape is `data/schema/compare.json`."""
        told: Mapping[str, Any] = {
            name: [asdict(item) for item in getattr(self, name)]
            for name in ("figures", "decisions", "laws", "findings", "upsets")
        }
        made: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "cautions": sorted({caution(world) for world in self.worlds}),
                "names": list(self.names),
                "worlds": list(self.worlds),
                "outcomes": list(self.outcomes),
                "simulated_s": self.simulated,
                "serious": list(self.serious),
                "senseless": [self.senseless(k) for k in range(len(self.names))],
                **told,
            }
        )
        return made


SENSELESS = ("dead-headed", "standing ring", "unfinished")
"""Upsets after which a design cannot do its job."""
