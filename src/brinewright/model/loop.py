"""A loop as read from its file: frozen, in SI, compared by value.

To change a loop, make another one: `dataclasses.replace` or `Loop.with_value`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brinewright.model.frozen import EMPTY

Value = float | str | bool | tuple[Any, ...]


@dataclass(frozen=True, kw_only=True)
class Sited:
    """Where a part stands: inside another part (vessel, room), at a height above its floor [m]."""

    inside: str = ""
    height: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part (or bank of `count` equal parts): an entry of the rulebook and its own numbers.

    `values` holds the parameters stated at the part, in SI; they stand over the entry's.
    `refers` holds its references to other parts by reference name.
    """

    tag: str
    use: str
    count: int = 1
    material: str = ""
    sited: Sited | None = None
    feeder: str = ""
    shed: int = 0
    """Order in which the power bus drops this load, 1 first; 0 is never dropped."""
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    refers: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: EMPTY)
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Line:
    """A pipe run from one port to another; always full; SI."""

    tag: str
    start: str
    end: str
    length: float
    bore: float
    use: str = ""
    section: str = ""
    rank: int = 0
    """Its claim at the junction it enters, 1 first; 0 makes no claim."""
    levels: tuple[float, float] | None = None
    """Heights of its two ends [m]; None where none are stated."""
    material: str = ""
    sited: Sited | None = None
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)


@dataclass(frozen=True, kw_only=True)
class Drive:
    """What a signal does: `target` goes to `made` while the signal is made, else to the other."""

    target: str
    made: str


@dataclass(frozen=True, kw_only=True)
class Switch:
    """A switch on one reading.

    A high switch makes above `set + differential` and breaks at or below `set`; a low
    switch makes below `set - differential` and breaks at or above `set`.  `inclusive`
    makes it at equality too.
    """

    tag: str
    sense: str
    """"high" (makes on rise) or "low" (makes on fall)."""
    senses: str
    """The reading, as written: "L-104 at 8 m", "TK-101 level", "VE-301 temperature"."""
    setting: float
    differential: float = 0.0
    lag: float = 0.0
    inclusive: bool = False
    start: str = "broken"
    drives: tuple[Drive, ...] = ()
    sited: Sited | None = None
    material: str = ""
    quantity: str = "temperature"
    """Quantity of the set point, by its name in `brinewright.units` ("ratio" for a level)."""


@dataclass(frozen=True, kw_only=True)
class Logic:
    """A logic element on signals: "and", "or", "not", "latch" (set, reset) or "timer" (delays in s)."""

    tag: str
    does: str
    inputs: tuple[str, ...] = ()
    resets: tuple[str, ...] = ()
    on_delay: float = 0.0
    off_delay: float = 0.0
    start: str = "broken"
    drives: tuple[Drive, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """A quantity over time: `times` [s] from midnight of the first day, `values` SI.

    `repeats` is the period [s] (0: once, then the last value holds); `ramps` joins the
    points by straight lines instead of steps.
    """

    name: str
    quantity: str
    times: tuple[float, ...]
    values: tuple[float, ...]
    repeats: float = 86400.0
    ramps: bool = False


@dataclass(frozen=True, kw_only=True)
class Circuit:
    """One liquid circuit: its liquid, and one part that stands in it."""

    name: str
    liquid: str
    at: str
    temperature: float
    """Working mean, at which the heat capacity is taken [K]."""


@dataclass(frozen=True, kw_only=True)
class Force:
    """A signal, position, capacity or reading held at a value from `start` to `end` [s]."""

    target: str
    """"TSH-110", "TSH-110.reading", "TSH-110.set", "TV-110A.position", "CH-201.powered",
    "P-101.capacity" (a share of it), "P-101.command"."""
    value: float
    start: float = 0.0
    end: float = float("inf")
    table: tuple[tuple[float, float], ...] = ()
    """Instead of one value: (time [s], value) points, each held until the next."""


@dataclass(frozen=True, kw_only=True)
class Waiver:
    """A finding that its owner accepts, with a reason and the margin at which it lapses."""

    finding: str
    reason: str
    until: str = ""


@dataclass(frozen=True, kw_only=True)
class Signature:
    """A question of a criterion that a person has looked at and answered."""

    finding: str
    by: str
    on: str
    """Day on which it was signed, such as "2026-11-25"."""
    note: str = ""
    """What was found."""


@dataclass(frozen=True, kw_only=True)
class Loop:
    """A design: parts, lines, switches and how they begin."""

    name: str
    rulebook: str
    site: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    circuits: tuple[Circuit, ...] = ()
    parts: tuple[Part, ...] = ()
    lines: tuple[Line, ...] = ()
    switches: tuple[Switch, ...] = ()
    logic: tuple[Logic, ...] = ()
    schedules: tuple[Schedule, ...] = ()
    forces: tuple[Force, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    signatures: tuple[Signature, ...] = ()
    margins: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    """Margins of its own, by their names in `brinewright.model.margins`."""
    start: Mapping[str, Mapping[str, Value]] = field(default_factory=lambda: EMPTY)
    settled: bool = False
    """Start from a repeating day instead of from `start`."""
