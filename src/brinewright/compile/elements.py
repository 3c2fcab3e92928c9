"""What kinds have asked for, as it waits for the plant to be complete."""

from dataclasses import dataclass
from typing import Any

from brinewright.model.lowering import Place, Stream


@dataclass
class Element:
    """Something inline between two ports: a law met by the liquid, and a content."""

    tag: str
    start: str
    end: str
    mass: float
    node: Place | None
    law: str
    record: int
    steady: bool
    capacity: Place | None
    quadratic: Place | None
    linear: Place | None
    head: Place | None
    droop: Place | None
    check: bool
    friction: tuple[float, float, float, float] | None
    pressure: Place | None
    pressure_loss: Place | None
    level: float
    before: bool
    ahead: bool
    mean: Place | None
    loss: Place | None
    stream: Stream
    rank: int = 0


@dataclass
class Join:
    """Ports that meet in one point, and the channels of what passes it."""

    ports: tuple[str, ...]
    flow: Place | None
    temperature: Place | None


@dataclass
class TankRecord:
    """A tank: its limits, its mixing, and what it shows."""

    tag: str
    ports: tuple[str, ...]
    law: str
    node: Place
    mass: Place
    level: Place
    least: float
    most: float
    full: float
    base: float
    height: float
    gas_pressure: float
    outlet: Place
    inflow: Place
    outflow: Place
    loss: Place
    around: Place | None
    conductance: Place
    layers: int
    spread: float
    inlet_height: float
    outlet_height: float


@dataclass
class SwitchRecord:
    """A switch: what it reads, when it makes, and what it shows."""

    tag: str
    reading: Place
    sense: int
    inclusive: bool
    setting: Place
    differential: float
    lag: float
    out: Place
    filtered: Place
    count: Place
    slope: Place
    nature: int
    sensor: int
    node: Place | None = None
    """The thermal node that it reads."""


@dataclass(frozen=True)
class Row:
    """Values of any number that a record points to: numbers, or places where `of_places`."""

    values: tuple[Any, ...]
    of_places: bool = False


@dataclass(frozen=True)
class Load:
    """What draws power: where it says how much [W], whether it has it, and how hard it starts."""

    tag: str
    power: Place
    powered: Place
    rated: float
    multiple: float
