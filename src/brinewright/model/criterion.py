"""What a check is: one fault of the trade, how it is judged, and what to say about it.

A criterion is data and one function.  The function looks at a `Case` and returns a `Measure`
for each thing it compared, kept or broken alike, so that every check shows its margin.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from brinewright.model.case import Case
from brinewright.model.kind import World

Severity = Literal["S", "C", "W", "A"]
"""S people, C damage or stop, W duty not met or wear, A advice."""

Method = Literal["structure", "closed form", "run", "contingency", "question"]
"""How it is judged; a question is for a person to look at and sign."""

SEVERITIES: Mapping[str, str] = {
    "S": "safety of people",
    "C": "critical: damage or stop",
    "W": "duty not met, or wear",
    "A": "advice",
}


@dataclass(frozen=True, kw_only=True)
class Number:
    """A symbol of a criterion's formula with this loop's number, in SI."""

    symbol: str
    value: float
    quantity: str
    """Name of its dimension in `brinewright.units.QUANTITIES`."""
    text: str = ""
    """What it is, and where it comes from."""


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One value held against its limit, in SI.

    `bound` says whether the value must be at least or at most the limit.  A fault of
    structure, which is there or not, has the count of its places as value and a limit of 0.
    """

    subject: tuple[str, ...]
    """Tags involved, the one to look at first in front."""
    value: float
    limit: float
    quantity: str
    """Name of the dimension of both in `brinewright.units.QUANTITIES`."""
    bound: Literal["at least", "at most"]
    text: str
    """One sentence with this loop's numbers: what is so, and when."""
    numbers: tuple[Number, ...] = ()
    """What the formula was computed from."""
    remedy: str = ""
    """What to do here, if it can be said more exactly than the criterion's own remedy."""
    strict: bool = False
    """Whether reaching the limit breaks it already."""

    @property
    def margin(self) -> float:
        """Return how far the value is on the good side of the limit; negative if it is broken."""
        return self.value - self.limit if self.bound == "at least" else self.limit - self.value

    @property
    def is_broken(self) -> bool:
        """Return whether the limit is passed."""
        return not (self.margin > 0.0 if self.strict else self.margin >= 0.0)


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """One fault of the trade: its stable code, what it is, and how it is judged.

    `judge` returns nothing where the fault can't occur in this loop; such a criterion counts
    as one that does not apply.  A criterion judged by a person has a `question` and its
    `judge` returns the tags that it is asked about, as measures that are not broken.
    """

    code: str
    """Such as "BW-F01"; never given to another fault."""
    title: str
    severity: Severity
    method: Method
    judge: Callable[[Case], Iterable[Measure]] = field(compare=False)
    world: World = "both"
    formula: str
    """When it is raised, in the symbols of its numbers."""
    consequence: str
    remedy: str
    lesson: str
    """The sentence that a teacher would say."""
    source: str
    """A published source, "common practice, no source" or "closed form: ..."."""
    question: str = ""
    """What a person must look at and sign, for the method "question"."""
