"""What a check may ask of the loop that it judges.

The rooms above make one (`brinewright.checks.case`); kinds see only this protocol, so that
their own checks can live in their own folders.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, TypeVar

from brinewright.model.loop import Line, Loop
from brinewright.model.part_view import PartView
from brinewright.model.rulebook import Rulebook

Worked = TypeVar("Worked")


@dataclass(frozen=True)
class Seen:
    """What one quantity did over a run, every tick counted, in SI."""

    first: float
    min: float
    mean: float
    max: float
    last: float


@dataclass(frozen=True)
class Happened:
    """An event of a run."""

    time: float
    """[s] from the start"""
    tag: str
    code: str
    text: str


class Case(Protocol):
    """One loop under one rulebook, with everything that has been worked out about it."""

    @property
    def loop(self) -> Loop:
        """The loop."""

    @property
    def rules(self) -> Rulebook:
        """Its rulebook."""

    @property
    def views(self) -> Mapping[str, PartView]:
        """Every part and line by tag, with its numbers resolved."""

    @property
    def parts(self) -> Sequence[PartView]:
        """Every part that is no line, in order of the tags."""

    @property
    def folder(self) -> Path | None:
        """Where files that the loop names are looked for; None for the present folder."""

    def once(self, make: "Callable[[Case], Worked]") -> Worked:
        """Return what `make` works out from this loop, worked out when it is first asked for."""

    def site(self, name: str) -> float:
        """Return a number of the site in SI ("gravity", "ambient_pressure", ...); 0 if not stated."""

    def margin(self, name: str) -> float:
        """Return a margin that a project may set, in SI, by its name in `brinewright.model.margins`."""

    def of_kind(self, *kinds: str) -> Sequence[PartView]:
        """Return the parts of these kinds, in order of their tags."""

    def playing(self, role: str) -> Sequence[PartView]:
        """Return the parts whose kind plays a role, such as "consumer", in order of their tags."""

    @property
    def lines(self) -> Sequence[Line]:
        """The lines, in order of their tags."""

    def into(self, tag: str, port: str = "") -> Sequence[Line]:
        """Return the lines that end on a part (on one of its ports)."""

    def out_of(self, tag: str, port: str = "") -> Sequence[Line]:
        """Return the lines that begin on a part (on one of its ports)."""

    def seen(self, tag: str, quantity: str) -> Seen | None:
        """Return what a channel did over the shared run of a day; None if there is no such channel."""

    def trace(self, tag: str, quantity: str) -> tuple[Any, Any]:
        """Return sample times [s] and values (SI) of a channel over the shared run, as arrays."""

    @property
    def happened(self) -> Sequence[Happened]:
        """What happened in the shared run."""

    @property
    def residuals(self) -> Mapping[str, float]:
        """What the ledgers of the shared run left open, as shares: "energy", "mass", "electric"."""

    @property
    def audits(self) -> Mapping[str, Any]:
        """The two audits of the shared run: "heat_unaccounted_kW", and "second_law" by tag."""

    def changes(self, tag: str) -> int:
        """Return how often a switch changed over the shared run."""
