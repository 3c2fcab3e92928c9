"""What people can do against a fault, tried in simulation, and until when."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from brinewright.plan.base import Moment
from brinewright.plan.failure import Failure
from brinewright.plan.stage import Run, Stage
from brinewright.plan.ways import Way

SOONEST = 60.0
"""Sooner nobody does anything [s]; common practice, no source."""
LATEST = 600.0
"""Longest time after which a countermeasure is first tried [s]."""
WORTH = 300.0
"""Time that a countermeasure must gain to be told where none holds [s]."""
HALVINGS = 4
"""How often the time until which a countermeasure helps is halved."""


@dataclass(frozen=True, kw_only=True)
class Action:
    """A countermeasure that was tried, and what came of it."""

    text: str
    within: float
    """Latest time after the fault at which it was still of use [s]."""
    holds: bool
    """Whether nothing broke any more for as long as was run."""
    gains: float = 0.0
    """Where it does not hold: how much later something breaks [s]."""
    then: Failure | None = None
    """Where it does not hold: what breaks all the same."""

    def as_dict(self) -> dict[str, Any]:
        """Return the action as it stands in JSON."""
        return {
            "text": self.text,
            "within_s": self.within,
            "holds": self.holds,
            "gains_s": self.gains,
            "then": self.then.as_dict() if self.then else None,
        }


def best_action(
    stage: Stage,
    moment: Moment,
    horizon: float,
    failure: Failure,
    should_stop: Callable[[], bool] | None = None,
) -> Action | None:
    """Return the countermeasure that helps most, and until when; None if none is worth it.

    Parameters
    ----------
    stage : the fault
    moment : when it begins
    horizon : how long a run lasts at most [s]
    failure : the first that comes if nothing is done
    should_stop : asked now and then
    """
    if failure.time <= SOONEST:
        return None
    tried_at = min(LATEST, max(SOONEST, 0.5 * failure.time))
    best: Action | None = None
    for way in stage.ways:
        run = _tried(stage, moment, horizon, way, tried_at, should_stop)
        if run is None:
            return best
        if run.first is None:
            latest = _latest(stage, moment, horizon, way, (tried_at, failure.time), should_stop)
            return Action(text=way.text, within=latest, holds=True)
        gains = run.first.time - failure.time
        if gains >= WORTH and (best is None or gains > best.gains):
            best = Action(text=way.text, within=tried_at, holds=False, gains=gains, then=run.first)
    return best


def _tried(
    stage: Stage,
    moment: Moment,
    horizon: float,
    way: Way,
    after: float,
    should_stop: Callable[[], bool] | None,
) -> Run | None:
    begins = 0.0 if stage.fault.from_start else moment.time
    return stage.run(moment, horizon, also=way.at(begins + after), to_the_first=True, should_stop=should_stop)


def _latest(
    stage: Stage,
    moment: Moment,
    horizon: float,
    way: Way,
    between: tuple[float, float],
    should_stop: Callable[[], bool] | None,
) -> float:
    """Return the latest time after the fault at which the way still holds [s], halving what is between."""
    holds, fails = between
    for _ in range(HALVINGS):
        middle = round(0.5 * (holds + fails))
        run = _tried(stage, moment, horizon, way, middle, should_stop)
        if run is None:
            break
        if run.first is None:
            holds = middle
        else:
            fails = middle
    return holds
