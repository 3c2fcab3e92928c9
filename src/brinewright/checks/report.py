"""What the checks found in a loop."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from brinewright.checks.finding import Finding
from brinewright.checks.room import Room
from brinewright.model.criterion import Criterion
from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/check/1"


@dataclass(frozen=True, kw_only=True)
class Report:
    """All judgements of one loop: what is broken, what is kept and by how much, what a person must sign."""

    name: str
    world: str
    findings: tuple[Finding, ...]
    """Broken ones, the most serious first; waived ones too."""
    kept: tuple[Finding, ...]
    """The nearest to its limit of each criterion that is kept."""
    questions: tuple[Finding, ...] = ()
    """What a person must look at and sign, signed or not."""
    judged: tuple[Finding, ...] = ()
    """Every judgement, kept or broken, each criterion's nearest to its limit in front."""
    absent: Mapping[str, tuple[Criterion, ...]] = field(default_factory=dict)
    """Criteria that cannot occur in this loop, by why: "laws" or "parts"."""
    wall_s: float = 0.0
    rooms: Callable[[], tuple[Room, ...]] = field(default=tuple, compare=False, repr=False)

    @cached_property
    def headroom(self) -> tuple[Room, ...]:
        """Return how much more of everything the loop takes; worked out when it is first asked for."""
        return self.rooms()

    @property
    def open_questions(self) -> tuple[Finding, ...]:
        """Return the questions that no one has signed."""
        return tuple(finding for finding in self.questions if not finding.signed)

    @property
    def serious(self) -> tuple[Finding, ...]:
        """Return the standing findings of severity S or C."""
        return tuple(finding for finding in self.findings if finding.is_serious)

    @property
    def applying(self) -> int:
        """Return how many criteria can occur in this loop under its laws."""
        judged = (*self.findings, *self.kept, *self.questions)
        return len({finding.code for finding in judged})

    def of(self, code: str) -> tuple[Finding, ...]:
        """Return the findings of this code."""
        return tuple(finding for finding in self.findings if finding.code == code)

    def counts(self) -> Mapping[str, int]:
        """Return how many findings stand, by severity."""
        standing = Counter(finding.severity for finding in self.findings if not finding.waived)
        return {severity: standing[severity] for severity in "SCWA"}

    def as_dict(self) -> dict[str, Any]:
        """Return the report as it stands in JSON; the shape is `data/schema/check.json`."""
        told: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "name": self.name,
                "world": self.world,
                "caution": caution(self.world),
                "findings": [finding.as_dict() for finding in self.findings],
                "kept": [finding.as_dict() for finding in self.kept],
                "questions": [
                    {
                        "code": finding.code,
                        "severity": finding.severity,
                        "subject": list(finding.subject),
                        "question": finding.criterion.question,
                        "text": finding.measure.text,
                        "signed": finding.signed,
                    }
                    for finding in self.questions
                ],
                "headroom": [room.as_dict() for room in self.headroom],
                "applying": self.applying,
                "absent": {why: [criterion.code for criterion in them] for why, them in self.absent.items()},
                "wall_s": self.wall_s,
            }
        )
        return told
