"""One fault, or several at once: what goes wrong, from when to when, and how a run is told of it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from brinewright.files import with_values
from brinewright.model.frozen import EMPTY
from brinewright.model.loop import Force, Loop
from brinewright.model.mishap import Often
from brinewright.model.rulebook import Rulebook

SHARES: Mapping[str, float] = {"common": 4.0, "now and then": 2.0, "rare": 1.0}
"""How often one mishap is met beside another; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Fault:
    """Something that goes wrong, in the terms of a run.

    It is done by forces, by signals that are held as they are when it begins, and by values of
    the loop file that are others; a fault `from_start` is there before the plant ever runs.
    """

    name: str
    """Unique among the faults of a loop, such as "CH-201 one unit lost"."""
    group: str
    """One of `brinewright.model.mishap.GROUPS`."""
    text: str
    """One sentence: what happens."""
    tags: tuple[str, ...]
    """The parts, lines and switches that it happens to."""
    begins: float = 0.0
    """[s] from the start of the run"""
    ends: float = math.inf
    """[s] from the start of the run"""
    forces: tuple[Force, ...] = ()
    """What is forced from its beginning to its end, or to an end of its own [s] after its beginning."""
    holds: tuple[str, ...] = ()
    """What is forced to stay as it is when the fault begins, such as "TSH-110.reading"."""
    changes: Mapping[str, str] = field(default_factory=lambda: EMPTY)
    """Values of the loop file while it lasts, such as {"CH-201.count": "4"}."""
    from_start: bool = False
    """Whether it is there from the loop's own start, so that no running plant can be taken up."""
    often: Often = "now and then"

    @property
    def lasts(self) -> float:
        """Return how long it lasts [s]."""
        return self.ends - self.begins

    @property
    def share(self) -> float:
        """Return how often it is met beside others [-]."""
        return SHARES[self.often]

    def at(self, begins: float) -> "Fault":
        """Return the same fault with another beginning [s]; it lasts as long."""
        return replace(self, begins=begins, ends=begins + self.lasts)

    def as_forces(self, shown: Mapping[str, float]) -> tuple[Force, ...]:
        """Return everything that it forces, with times.

        Parameters
        ----------
        shown : by target, what is held shows when the fault begins, in SI
        """
        held = tuple(Force(target=target, value=shown[target]) for target in self.holds)
        return tuple(
            replace(force, start=self.begins, end=self.begins + min(force.end, self.lasts))
            for force in (*self.forces, *held)
        )

    def changed(self, loop: Loop, rules: Rulebook) -> Loop:
        """Return the loop with what the fault changes of its numbers; what is forced is not in it."""
        return with_values(loop, rules, dict(self.changes)) if self.changes else loop

    def as_dict(self) -> dict[str, Any]:
        """Return the fault as it stands in JSON."""
        return {
            "name": self.name,
            "group": self.group,
            "text": self.text,
            "tags": list(self.tags),
            "begins_s": self.begins,
            "ends_s": self.ends if self.ends < math.inf else None,
            "from_start": self.from_start,
            "often": self.often,
            "forces": {force.target: force.value for force in self.forces},
            "holds": list(self.holds),
            "changes": dict(self.changes),
        }


def together(first: Fault, second: Fault) -> Fault:
    """Return two faults that begin at the same time, as one; each force ends as it does alone."""
    forces = tuple(
        replace(force, end=min(force.end, fault.lasts)) for fault in (first, second) for force in fault.forces
    )
    rank = {"common": 0, "now and then": 1, "rare": 2}
    return Fault(
        name=f"{first.name} + {second.name}",
        group=first.group if first.group == second.group else f"{first.group} + {second.group}",
        text=f"{first.text} {second.text}",
        tags=(*first.tags, *(tag for tag in second.tags if tag not in first.tags)),
        begins=first.begins,
        ends=first.begins + max(first.lasts, second.lasts),
        forces=forces,
        holds=(*first.holds, *second.holds),
        changes={**first.changes, **second.changes},
        from_start=first.from_start or second.from_start,
        often=max((first.often, second.often), key=lambda often: rank[often]),
    )
