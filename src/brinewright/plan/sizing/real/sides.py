"""The two sides of a plant while it is worked out: the liquid's and the steam's."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from brinewright.model.frozen import EMPTY
from brinewright.plan.sizing.real.design import Circuit
from brinewright.plan.sizing.real.loads import Load
from brinewright.plan.sizing.real.steam import Expansion, Lift, Rock


@dataclass(frozen=True, kw_only=True)
class LiquidSide:
    """The consumers' loop and the chillers on it."""

    loads: tuple[Load, ...]
    supply: float
    rise: float
    load: float
    needed: float
    """Capacity of the working chillers [W]."""
    house: Circuit
    chilling: Circuit
    margin: float
    lift: Lift
    unit: float
    nominal: float
    chillers: int
    auxiliaries: float


@dataclass(frozen=True)
class Field:
    """The circuit that takes the condensers' heat to the final sink."""

    circuit: Circuit
    cooling: tuple[float, float]
    """Liquid before and after the condensers [K]."""
    condenser: float
    """Conductance of each condenser [W/K]."""
    radiators: int


@dataclass(frozen=True, kw_only=True)
class SteamSide:
    """Vessel, turbines, final sink and power."""

    leak: float
    rejected: float
    rocks: tuple[Rock, ...]
    rock_heat: float
    relief: float
    auxiliaries: float
    turbine: Expansion | None = None
    steam: float = 0.0
    turbines_power: float = 0.0
    condensed: float = 0.0
    hottest: float = math.inf
    """Vessel with one turbine less [K]."""
    away: Field | None = None
    grid: float = 0.0
    metals: Mapping[str, str] = field(default_factory=lambda: EMPTY)
    mass: float = 0.0
