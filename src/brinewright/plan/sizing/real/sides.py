"""The two sides of a plant while it is worked out: the liquid's and the steam's."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from brinewright.laws import tank
from brinewright.model.frozen import EMPTY
from brinewright.plan.sizing.real.design import Circuit
from brinewright.plan.sizing.real.loads import Load
from brinewright.plan.sizing.real.steam import Expansion, Lift, Rock

FIELD_LINES = 40.0
"""Length of the field's lines near its tank and the condensers [m]."""
FIELD_TANK = 120.0
"""Time that the field's tank holds its flow [s]."""


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
    hold_up: float
    """Of each radiator [kg]."""

    @property
    def stored(self) -> float:
        """Return the volume that its tank works with, [m3]."""
        return self.circuit.flow / self.circuit.coolant.density * FIELD_TANK

    @property
    def drained(self) -> float:
        """Return the volume that drains into its tank, [m3]."""
        pipes = tank.pipe_volume(self.circuit.main.bore, self.circuit.length + FIELD_LINES)
        return pipes + self.radiators * self.hold_up / self.circuit.coolant.density


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
