"""Which liquid carries the heat: its margins, what a kilogram carries, what pumping it costs."""

from dataclasses import dataclass
from functools import cache

from brinewright.errors import PropertyRangeError
from brinewright.fluids import fluid
from brinewright.model.rulebook import Liquid

STATED_AT = 3e5
"""Pressure at which a liquid's properties are taken; they hardly depend on it [Pa]."""


@dataclass(frozen=True)
class Coolant:
    """A liquid at its working mean, SI."""

    liquid: Liquid
    mean: float
    """[K]"""
    heat_capacity: float
    density: float
    viscosity: float
    freezes: float
    """[K]"""

    def freeze_margin(self, wall: float) -> float:
        """Return how far the coldest wall stays above freezing, [K]."""
        return wall - self.freezes

    @property
    def carried(self) -> float:
        """Heat that a cubic metre takes for each kelvin, [J/(m3 K)]."""
        return self.density * self.heat_capacity


@cache
def coolant_at(liquid: Liquid, mean: float) -> Coolant | None:
    """Return a liquid at its working mean [K]; None where its table does not reach so far."""
    if not liquid.properties:
        return Coolant(liquid, mean, liquid.heat_capacity, liquid.density, liquid.viscosity, liquid.freezes)
    table = fluid(liquid.properties)
    try:
        heat_capacity, density, viscosity = (
            table.value(name, mean, STATED_AT) for name in ("cp", "density", "viscosity")
        )
        freezes = table.value("freezing point") if liquid.properties != "water" else 273.15
    except PropertyRangeError:
        return None
    return Coolant(liquid, mean, heat_capacity, density, viscosity, freezes)
