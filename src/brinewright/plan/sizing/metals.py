"""Of which material each part is made: the cheapest mix that stands the heat and is at hand."""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from brinewright.model.rulebook import Material
from brinewright.plan.sizing.stock import Item, Stock


@dataclass(frozen=True)
class Metal:
    """What has to be made of something."""

    name: str
    item: Item
    mass: float
    """[kg]"""
    hottest: float
    """In running [K]."""
    in_a_fault: float
    """[K]"""


@dataclass(frozen=True)
class Mix:
    """Material by part, and what all of it costs."""

    materials: Mapping[str, str]
    limits: Mapping[str, tuple[float, float, float]]
    cost: float
    """Kilograms times scarcity [kg]."""


@dataclass(frozen=True)
class NoMix:
    """Why there is no mix."""

    need: str
    amount: float
    text: str


def cheapest_mix(parts: Sequence[Metal], stock: Stock, steady: float, fault: float) -> Mix | NoMix:
    """Return the cheapest legal mix: T <= limit - steady in running, T <= limit - fault in a fault.

    Every mix is looked at where amounts are short; else each part takes its own cheapest.
    """
    options: list[list[Material]] = []
    for part in parts:
        known = stock.materials(part.item)
        legal = [
            material
            for material in known
            if part.hottest <= material.limit - steady and part.in_a_fault <= material.limit - fault
        ]
        if not legal:
            return _too_hot(part, known, steady, fault)
        options.append(legal)
    mixes = [tuple(choices[0] for choices in options)]
    if not _is_there(parts, mixes[0], stock):
        mixes = [mix for mix in itertools.product(*options) if _is_there(parts, mix, stock)]
    if not mixes:
        return _too_little(parts, tuple(choices[0] for choices in options), stock)
    best = min(mixes, key=lambda mix: (_cost(parts, mix), [material.name for material in mix]))
    return Mix(
        {part.name: material.name for part, material in zip(parts, best, strict=True)},
        {
            part.name: (part.hottest, part.in_a_fault, material.limit)
            for part, material in zip(parts, best, strict=True)
        },
        _cost(parts, best),
    )


def _cost(parts: Sequence[Metal], mix: Sequence[Material]) -> float:
    return sum(part.mass * material.scarcity for part, material in zip(parts, mix, strict=True))


def _used(parts: Sequence[Metal], mix: Sequence[Material]) -> dict[str, float]:
    used: dict[str, float] = {}
    for part, material in zip(parts, mix, strict=True):
        used[material.name] = used.get(material.name, 0.0) + part.mass
    return used


def _is_there(parts: Sequence[Metal], mix: Sequence[Material], stock: Stock) -> bool:
    return all(mass <= stock.at_hand.mass(name) for name, mass in _used(parts, mix).items())


def _too_hot(part: Metal, known: Sequence[Material], steady: float, fault: float) -> NoMix:
    if not known:
        return NoMix("material", part.mass, f"there is no material at hand for the {part.name}")
    best = max(known, key=lambda material: material.limit)
    over = max(part.hottest - best.limit + steady, part.in_a_fault - best.limit + fault)
    where = "with one turbine less" if part.in_a_fault - fault > part.hottest - steady else "in running"
    hot = part.in_a_fault if where != "in running" else part.hottest
    said = f"reach {hot - 273.15:.0f} degC" if hot < 5000.0 else "never come to rest"
    text = (
        f"the {part.name} would {said} {where}, and {best.name}, "
        f"the best material at hand for it, stands {best.limit - 273.15:.0f} degC"
    )
    return NoMix("material limit", over, text)


def _too_little(parts: Sequence[Metal], mix: Sequence[Material], stock: Stock) -> NoMix:
    name, mass = max(_used(parts, mix).items(), key=lambda pair: pair[1] - stock.at_hand.mass(pair[0]))
    short = mass - stock.at_hand.mass(name)
    text = f"{mass:.0f} kg of {name} would be needed, and {stock.at_hand.mass(name):.0f} kg are at hand"
    return NoMix(f"amount of {name}", short, text)
