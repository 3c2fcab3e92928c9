"""What is likely wrong, how much each cause is to be believed, and where to look next."""

from dataclasses import dataclass
from typing import Any

from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/diagnose/1"


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """One thing that was seen, beside what a cause says would be seen; numbers in the unit they name."""

    key: str
    """The channel, as "TAG.quantity"."""
    text: str
    """What was seen, in words."""
    seen: float
    expected: float
    spread: float
    """Standard deviation of what is expected: the swing of the plant, the sensor, the simulation."""
    usual: float
    """What the sound plant shows."""
    unit: str
    weight: float
    """Natural logarithm of how much likelier it is under this cause than in the sound plant."""

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON."""
        return dict(vars(self))


@dataclass(frozen=True, kw_only=True)
class Cause:
    """One thing that may have gone wrong, with its share of belief."""

    name: str
    tag: str
    title: str
    """What is wrong, in a sentence."""
    belief: float
    """Share of belief, those that it can't be told from included."""
    size: float
    """How badly, in the measure that `how_badly` puts in words."""
    how_badly: str
    age_s: float
    """How long ago it began, as far as that can be said."""
    alike: tuple["Cause", ...] = ()
    """Causes that show the very same in everything that was seen."""
    speaks_for: tuple[Evidence, ...] = ()
    speaks_against: tuple[Evidence, ...] = ()
    codes: tuple[str, ...] = ()
    """Codes of the findings that it corresponds to."""
    remedy: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON."""
        return {
            "name": self.name,
            "tag": self.tag,
            "title": self.title,
            "belief": self.belief,
            "size": self.size,
            "how_badly": self.how_badly,
            "age_s": self.age_s,
            "alike": [
                {"name": other.name, "title": other.title, "belief": other.belief, "remedy": other.remedy}
                for other in self.alike
            ],
            "for": [item.as_dict() for item in self.speaks_for],
            "against": [item.as_dict() for item in self.speaks_against],
            "codes": list(self.codes),
            "remedy": self.remedy,
        }


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What one cause says a look will show."""

    cause: str
    value: float
    spread: float


@dataclass(frozen=True, kw_only=True)
class Look:
    """A reading that was not yet given, and what it would tell."""

    key: str
    unit: str
    gain: float
    """Expected information about which cause it is [bit]."""
    effort: float
    """How hard it is to look, 1 for a lamp or an indicator; common practice, no source."""
    how: str
    """With what one looks."""
    expected: tuple[Expected, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON."""
        return {**vars(self), "expected": [dict(vars(item)) for item in self.expected]}


@dataclass(frozen=True, kw_only=True)
class Difference:
    """Something seen that tells the first cause from another one."""

    first: str
    other: str
    evidence: Evidence
    """As the first cause has it."""
    other_expected: float
    other_spread: float
    weight: float
    """Natural logarithm of how much likelier it is under the first; negative where the other fits better."""

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON."""
        return {**vars(self), "evidence": self.evidence.as_dict()}


@dataclass(frozen=True, kw_only=True)
class Diagnosis:
    """The likely causes of what was seen, in order, and what to look at next."""

    name: str
    world: str
    causes: tuple[Cause, ...]
    nothing_shows: float
    """Share of belief that nothing is wrong, or only what does not show in what was seen."""
    hidden: tuple[str, ...]
    """Causes that would not show in what was seen."""
    none_of_these: float
    """Share of belief that it is something that was not simulated."""
    differences: tuple[Difference, ...]
    looks: tuple[Look, ...]
    """The cheapest next look first."""
    runs: int
    finished: bool
    wall_s: float

    def as_dict(self) -> dict[str, Any]:
        """Return the diagnosis as it stands in JSON; the shape is `data/schema/diagnose.json`."""
        told: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "name": self.name,
                "world": self.world,
                "caution": caution(self.world),
                "causes": [cause.as_dict() for cause in self.causes],
                "nothing_shows": self.nothing_shows,
                "hidden": list(self.hidden),
                "none_of_these": self.none_of_these,
                "differences": [item.as_dict() for item in self.differences],
                "looks": [look.as_dict() for look in self.looks],
                "runs": self.runs,
                "finished": self.finished,
                "wall_s": self.wall_s,
            }
        )
        return told
