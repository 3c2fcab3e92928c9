"""The decision record: what was decided, by which numbers, and what the other choices would have been."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brinewright.model.frozen import EMPTY

LAW = "a declared law of the rulebook"
BALANCE = "closed form: energy balance"
PRACTICE = "common practice, no source"
BRIEF = "the brief"


@dataclass(frozen=True)
class Figure:
    """One number of a decision."""

    symbol: str
    value: float
    unit: str
    text: str
    formula: str = ""
    source: str = BALANCE

    def shown(self) -> str:
        """Return the number for people.

        >>> Figure("T_s", 291.15, "K", "set point").shown()
        'T_s = 18 degC'
        """
        return f"{self.symbol} = {shown(self.value, self.unit)}"


@dataclass(frozen=True)
class Alternative:
    """A choice that was not taken, and by how much it lost."""

    name: str
    is_legal: bool
    text: str
    lost_by: float = 0.0
    """In the unit of what decided; 0 where something else ruled it out."""
    aim: str = ""
    """The aim that decided, or the need that was in the way."""


@dataclass(frozen=True)
class Decision:
    """One decision."""

    subject: str
    chosen: str
    why: str
    figures: tuple[Figure, ...] = ()
    alternatives: tuple[Alternative, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Return the decision as it stands in JSON."""
        return {
            "subject": self.subject,
            "chosen": self.chosen,
            "why": self.why,
            "figures": [
                {
                    "symbol": figure.symbol,
                    "value": finite(figure.value),
                    "unit": figure.unit,
                    "text": figure.text,
                    "formula": figure.formula,
                    "source": figure.source,
                }
                for figure in self.figures
            ],
            "alternatives": [
                {
                    "name": other.name,
                    "is_legal": other.is_legal,
                    "aim": other.aim,
                    "lost_by": finite(other.lost_by),
                    "text": other.text,
                }
                for other in self.alternatives
            ],
        }


@dataclass(frozen=True)
class Obstacle:
    """A need that is in the way, by how much, and what would do."""

    need: str
    amount: float
    """By how much it is missed by the nearest choice, in SI."""
    text: str
    relaxed: str = ""
    """What would have to be given up or brought, so that a design exists."""
    layout: str = ""
    """The layout of the design that there is then."""


@dataclass(frozen=True)
class Corner:
    """One of several good designs: better in something than each of the others."""

    name: str
    measures: Mapping[str, float] = field(default_factory=lambda: EMPTY)


def finite(value: float) -> float | None:
    """Return a number as JSON can have it: None where it is without limit.

    >>> finite(2.0), finite(float("inf"))
    (2.0, None)
    """
    return float(value) if math.isfinite(value) else None


SCALES = {"W": (1e3, "kW"), "J": (3.6e6, "kWh"), "J/K": (1e6, "MJ/K"), "1": (1.0, "")}


def shown(value: float, unit: str) -> str:
    """Return a number in SI for people.

    >>> shown(291.15, "K"), shown(259200.0, "W"), shown(0.5, "1")
    ('18 degC', '259.2 kW', '0.5')
    """
    if unit == "K":
        return f"{value - 273.15:.4g} degC" if value < 1e5 else "without limit"
    if unit == "difference":
        return f"{value:.3g} K"
    factor, name = SCALES.get(unit, (1.0, unit))
    if unit == "s" and abs(value) >= 120.0:
        factor, name = (3600.0, "h") if abs(value) >= 7200.0 else (60.0, "min")
    return f"{value / factor:.4g} {name}".strip()
