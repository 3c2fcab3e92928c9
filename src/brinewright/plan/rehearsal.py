"""What a rehearsal found: one trial for each fault."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brinewright.model.frozen import EMPTY
from brinewright.plan.action import Action
from brinewright.plan.failure import Failure
from brinewright.plan.fault import Fault
from brinewright.plan.notice import ENOUGH, Guard, Nearest, Notice
from brinewright.results.caution import caution
from brinewright.results.outcome import DONE, Outcome
from brinewright.results.summary import plain

FORMAT = "brinewright/rehearse/1"


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One fault, or a pair, and what came of it at the moment at which it did most harm."""

    fault: Fault
    moment: str
    """When it was put in and why then, such as "07:00, when the load is highest"."""
    failures: tuple[Failure, ...] = ()
    """What broke, in order of time."""
    told: tuple[Failure, ...] = ()
    """What was reported and broke nothing."""
    nearest: Nearest | None = None
    """The limit that it came nearest to."""
    notices: tuple[Notice, ...] = ()
    """What the instruments of the loop showed of it."""
    guard: Guard | None = None
    """The guard that is missing, where nothing was noticed in time."""
    action: Action | None = None
    """What to do, where something breaks and something helps."""
    back_after: float | None = None
    """For a fault that ends: how long afterwards all is as usual again [s]; None if it is not."""
    lasted: float = 0.0
    """Simulated time from the fault on [s]."""
    moments: Mapping[str, float | None] = field(default_factory=lambda: EMPTY)
    """By the moment at which it was put in: when the first thing broke [s], None if nothing did."""
    unfinished: str = ""
    """Why it could not be run, if it could not."""

    @property
    def survived(self) -> bool:
        """Return whether it was run and nothing broke."""
        return not self.failures and not self.unfinished

    @property
    def first(self) -> Failure | None:
        """Return the first thing that broke."""
        return self.failures[0] if self.failures else None

    @property
    def ends(self) -> bool:
        """Return whether the fault ends by itself in the run."""
        return self.fault.lasts < math.inf

    @property
    def in_time(self) -> Notice | None:
        """Return the first notice that comes a minute before anything breaks."""
        if not self.notices:
            return None
        first = self.notices[0]
        return first if self.first is None or first.time <= self.first.time - ENOUGH else None

    def as_dict(self) -> dict[str, Any]:
        """Return the trial as it stands in JSON."""
        return {
            "fault": self.fault.as_dict(),
            "moment": self.moment,
            "survived": self.survived,
            "first": self.first.as_dict() if self.first else None,
            "failures": [failure.as_dict() for failure in self.failures],
            "told": [failure.as_dict() for failure in self.told],
            "nearest": self.nearest.as_dict() if self.nearest else None,
            "notices": [notice.as_dict() for notice in self.notices],
            "guard": self.guard.as_dict() if self.guard else None,
            "action": self.action.as_dict() if self.action else None,
            "ends_by_itself": self.ends,
            "back_after_s": self.back_after,
            "lasted_s": self.lasted,
            "moments": dict(self.moments),
            "unfinished": self.unfinished,
        }


@dataclass(frozen=True, kw_only=True)
class Rehearsal:
    """All trials of one loop, in the order of their groups."""

    name: str
    world: str
    horizon: float
    """How long each fault was run at most [s]."""
    trials: tuple[Trial, ...]
    pairs: tuple[Trial, ...] = ()
    faults: int = 0
    """How many single faults were to be tried."""
    possible_pairs: int = 0
    """Pairs of faults that are survived one by one; of them the likeliest to matter are tried."""
    already: tuple[str, ...] = ()
    """What the sound plant breaks by itself; it is not counted against any fault."""
    outcome: Outcome = DONE
    wall_s: float = 0.0

    @property
    def all_trials(self) -> tuple[Trial, ...]:
        """Return the single faults and the pairs."""
        return (*self.trials, *self.pairs)

    @property
    def broken(self) -> tuple[Trial, ...]:
        """Return the trials in which something broke."""
        return tuple(trial for trial in self.all_trials if trial.failures)

    @property
    def unfinished(self) -> tuple[Trial, ...]:
        """Return the trials that could not be run."""
        return tuple(trial for trial in self.all_trials if trial.unfinished)

    @property
    def survived(self) -> bool:
        """Return whether nothing broke in any trial."""
        return not self.broken

    def trial(self, name: str) -> Trial:
        """Return the trial of the fault with this name."""
        return next(trial for trial in self.all_trials if trial.fault.name == name)

    def as_dict(self) -> dict[str, Any]:
        """Return the rehearsal as it stands in JSON; the shape is `data/schema/rehearse.json`."""
        told: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "name": self.name,
                "world": self.world,
                "caution": caution(self.world),
                "outcome": self.outcome.name,
                "survived": self.survived,
                "horizon_s": self.horizon,
                "faults": self.faults,
                "tried": len(self.trials),
                "not_survived": len(self.broken),
                "already": list(self.already),
                "trials": [trial.as_dict() for trial in self.trials],
                "possible_pairs": self.possible_pairs,
                "pairs": [trial.as_dict() for trial in self.pairs],
                "wall_s": self.wall_s,
            }
        )
        return told
