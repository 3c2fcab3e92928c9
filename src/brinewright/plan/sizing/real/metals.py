"""Of what hot parts are made: the least scarce material that stands the heat."""

from collections.abc import Iterable
from dataclasses import dataclass

from brinewright.plan.sizing.stock import Item, Stock

STEADY, IN_A_FAULT = 15.0, 5.0
"""Metal below its limit in steady running, and in a fault [K], common practice."""


@dataclass(frozen=True)
class HotPart:
    """Something that gets as hot as the vessel."""

    name: str
    item: Item
    count: int
    mass: str
    """The parameter that states its mass."""


def least_scarce(
    stock: Stock, parts: Iterable[HotPart], steady: float, fault: float
) -> tuple[dict[str, str], float] | str:
    """Return the material of each part and what all cost, each kilogram times its scarcity; else why not.

    Parameters
    ----------
    stock : what is at hand
    parts : what is to be made
    steady, fault : hottest in steady running and in a fault [K]
    """
    chosen: dict[str, str] = {}
    cost = 0.0
    for part in parts:
        good = [
            material
            for material in stock.materials(part.item)
            if steady <= material.limit - STEADY and fault <= material.limit - IN_A_FAULT
        ]
        if not good:
            return f"no material of the {part.name} stands {min(fault, 9999.0) - 273.15:.0f} degC"
        chosen[part.name] = good[0].name
        cost += part.item.number(part.mass, 0.0) * part.count * good[0].scarcity
    return chosen, cost
