"""How far one quantity of a loop may go, and what stops it."""

import math
from dataclasses import dataclass
from typing import Any

from brinewright.checks.finding import DIFFERENCE_OF, shown, unit_of

NONE = 1e-9
"""A way this short is none, in SI."""


@dataclass(frozen=True, kw_only=True)
class Room:
    """How far one quantity may go from where it is."""

    quantity: str
    """Such as "load", "heat into the vessel", "ambient temperature" or "set point"."""
    direction: str
    """"up" or "down"."""
    subject: tuple[str, ...]
    now: float
    limit: float
    """Infinite where nothing that is judged without a run limits it; all in SI."""
    unit: str
    """Name of the dimension of both."""
    code: str = ""
    """The criterion that breaks first."""
    at: tuple[str, ...] = ()
    """Tags at which it breaks."""
    title: str = ""
    """What that criterion is about."""
    text: str = ""
    """What happens at the limit."""
    advice: str = ""
    """What is needed beyond it."""

    @property
    def room(self) -> float:
        """Return how far it is to the limit, never negative, in SI."""
        return abs(self.limit - self.now)

    @property
    def told(self) -> str:
        """Return it in a sentence for people."""
        what = _capital(f"{self.quantity} of {', '.join(self.subject)}" if self.subject else self.quantity)
        more = "more" if self.direction == "up" else "less"
        if math.isinf(self.room):
            return f"{what}: {more}, as far as can be told without a run."
        way = shown(self.room, DIFFERENCE_OF.get(self.unit, self.unit), digits=3)
        now, limit = (shown(round(value, 6), self.unit, digits=4) for value in (self.now, self.limit))
        at = f" at {self.at[0]}" if self.at else ""
        if self.room < NONE:
            way, more = "none", f"{more} than {now}"
        then = f"{self.code} {self.title[:1].lower()}{self.title[1:]}{at}." if self.code else self.text
        span = "" if self.room < NONE else f" ({now} to {limit})"
        return f"{what}: {way} {more}{span}; then {then}{self.advice}"

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON, in the SI unit that it names."""
        return {
            "quantity": self.quantity,
            "direction": self.direction,
            "subject": list(self.subject),
            "now": self.now,
            "limit": self.limit,
            "room": self.room,
            "unit": unit_of(self.unit),
            "limited_by": {
                "code": self.code,
                "subject": list(self.at),
                "title": self.title,
                "text": self.text,
                "advice": self.advice.strip(),
            },
        }


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
