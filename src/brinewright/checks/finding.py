"""A measure of a criterion, told: a finding if it is broken, else what is kept and by how much."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brinewright.model.criterion import Criterion, Measure
from brinewright.units import UNIT_OF, show

BARE = ("count", "number")
"""Quantities without a unit that no file states as text."""


@dataclass(frozen=True)
class Finding:
    """One criterion held against one place of a loop."""

    criterion: Criterion
    measure: Measure
    waived: str = ""
    """The reason for which its owner accepts it, if a waiver stands."""
    lapsed: str = ""
    """Why a waiver for it no longer stands."""
    signed: str = ""
    """Who answered the question, when, and with what note; "" while it is open."""

    @property
    def code(self) -> str:
        """Return the stable code."""
        return self.criterion.code

    @property
    def severity(self) -> str:
        """Return S, C, W or A."""
        return self.criterion.severity

    @property
    def subject(self) -> tuple[str, ...]:
        """Return the tags involved."""
        return self.measure.subject

    @property
    def margin(self) -> float:
        """Return how far the value is on the good side of its limit, in SI; negative in a fault."""
        return self.measure.margin

    @property
    def relative_margin(self) -> float:
        """Return the margin as a share of the limit; of 1 where the limit is nothing."""
        return self.margin / (abs(self.measure.limit) or 1.0)

    @property
    def is_serious(self) -> bool:
        """Return whether it is a standing finding of severity S or C."""
        return self.measure.is_broken and not self.waived and self.severity in ("S", "C")

    def as_dict(self) -> dict[str, Any]:
        """Return the finding as it stands in JSON, every number in the SI unit it names."""
        measure = self.measure
        return {
            "code": self.code,
            "severity": self.severity,
            "title": self.criterion.title,
            "method": self.criterion.method,
            "subject": list(measure.subject),
            "value": measure.value,
            "limit": measure.limit,
            "bound": measure.bound,
            "margin": measure.margin,
            "unit": unit_of(measure.quantity),
            "text": measure.text,
            "formula": self.criterion.formula,
            "numbers": [
                {
                    "symbol": number.symbol,
                    "value": number.value,
                    "unit": unit_of(number.quantity),
                    "text": number.text,
                }
                for number in measure.numbers
            ],
            "consequence": self.criterion.consequence,
            "remedy": measure.remedy or self.criterion.remedy,
            "source": self.criterion.source,
            "waived": self.waived,
            "lapsed": self.lapsed,
        }


DIFFERENCE_OF = {"temperature": "temperature difference", "pressure": "pressure difference"}
"""The quantity of a margin where it is not that of the value."""

SMALL: Mapping[str, tuple[float, str | None]] = {
    "area": (0.02, "mm2"),
    "length": (0.3, "mm"),
    "volume": (0.05, "L"),
    "power": (1000.0, "W"),
}
"""Below what a number is told in a smaller unit, and in which."""


def unit_of(quantity: str) -> str:
    """Return the SI unit of a quantity, "1" for one without."""
    return UNIT_OF.get(quantity, "") or "1"


def shown(value: float, quantity: str, *, digits: int = 4) -> str:
    """Return a number for people, with its unit.

    >>> shown(295.15, "temperature")
    '22 degC'
    >>> shown(3.0, "count")
    '3'
    """
    if not -1e300 < value < 1e300:
        return "without limit" if value > 0 else "none"
    if quantity in BARE:
        return f"{value:.{digits}g}"
    below, unit = SMALL.get(quantity, (0.0, None))
    return show(value, quantity, unit if 0.0 < abs(value) < below else None, digits=digits)


def margin_shown(measure: Measure) -> str:
    """Return the margin of a measure for people, with its sign."""
    quantity = DIFFERENCE_OF.get(measure.quantity, measure.quantity)
    return ("+" if measure.margin >= 0.0 else "-") + shown(abs(measure.margin), quantity, digits=3)
