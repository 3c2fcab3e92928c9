"""What a circuit's liquid is like at another temperature than its working mean."""

import re

from brinewright.model.part_view import PartView
from brinewright.model.rulebook import Liquid

USUAL_PRESSURE = 3e5
"""Pressure at which liquids are looked up; they hardly depend on it [Pa]."""


def freezing_point(liquid: Liquid) -> float:
    """Return the freezing point of a liquid, 0 where none is known [K]."""
    return _looked_up(liquid, "freezing point", 293.15) if liquid.properties else liquid.freezes


def density_at(view: PartView, temperature: float) -> float:
    """Return the density of the liquid in a part at a temperature [kg/m3]."""
    liquid = view.liquid
    return _looked_up(liquid, "density", temperature) if liquid.properties else view.density


def expansion_at(view: PartView, temperature: float) -> float:
    """Return the volumetric expansion of the liquid in a part, 0 where none is known [1/K]."""
    liquid = view.liquid
    return _looked_up(liquid, "expansion coefficient", temperature) if liquid.properties else 0.0


def solute(liquid: Liquid) -> tuple[str, float]:
    """Return what is dissolved in a water-based liquid and its share, ("", 0) where nothing is."""
    if not liquid.properties:
        return "", 0.0
    from brinewright.fluids.names import fluid

    known = fluid(liquid.properties)
    share = float(getattr(known, "share", 0.0))
    return (re.split(r"\s\d", known.name)[0], share) if share > 0.0 else ("", 0.0)


def is_water(liquid: Liquid) -> bool:
    """Tell whether a liquid is plain water."""
    return liquid.properties.lower() in ("water", "h2o")


def _looked_up(liquid: Liquid, name: str, temperature: float) -> float:
    from brinewright.fluids import property_value

    return float(
        property_value(liquid.properties, name, temperature=temperature, pressure=USUAL_PRESSURE).value
    )
