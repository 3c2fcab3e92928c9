"""A suspect: something that may have gone wrong, how badly it may, and how to put it into a run."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from brinewright.model.frozen import EMPTY
from brinewright.model.loop import Force
from brinewright.model.mishap import Often
from brinewright.plan.fault import SHARES


@dataclass(frozen=True, kw_only=True)
class Trouble:
    """One fault of one size, as a run takes it."""

    forces: tuple[Force, ...] = ()
    """What it holds from its onset on; their times are set when it is put into a run."""
    changes: Mapping[str, str] = field(default_factory=lambda: EMPTY)
    """What of the design is other than it should be, such as {"TV-110.leak": "10 %"}."""
    shows: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """By how much a channel shows more than is true, in its SI unit."""


@dataclass(frozen=True, kw_only=True)
class Suspect:
    """One cause, with the sizes at which it is tried first.

    A cause with a range from `low` to `high` is looked at between its sizes too.
    """

    key: str
    """Unique, such as "TV-120 stuck"."""
    tag: str
    title: str
    """What is wrong, in words, such as "TV-120 is stuck"."""
    sizes: tuple[float, ...] = (1.0,)
    low: float | None = None
    high: float | None = None
    make: Callable[[float], Trouble] = field(compare=False)
    tell: Callable[[float], str] = field(compare=False, default=lambda _: "")
    """How badly, in words, such as "at way b"."""
    how_common: Often = "now and then"
    codes: tuple[str, ...] = ()
    """Codes of the findings that it corresponds to."""
    remedy: str = ""

    @property
    def share(self) -> float:
        """Return how often it is met beside others [-]."""
        return SHARES[self.how_common]
