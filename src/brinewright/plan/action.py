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
    spares: bool = False
    """Where it does not hold: whether at least nothing is damaged any more."""
    gains: float = 0.0
    """Where it neither holds nor spares: how much later something breaks [s]."""
    then: Failure | None = None
    """Where it does not hold: what breaks all the same."""

    def as_dict(self) -> dict[str, Any]:
        """Return the action as it stands in JSON."""
        return {
            "text": self.text,
            "within_s": self.within,
            "holds": self.holds,
            "spares": self.spares,
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

    Best is one after which nothing breaks.  Where something would be damaged, next comes one
    that spares the plant at the price of a duty, and then the one that gains the most time.

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
    trying = _Trying(stage, moment, horizon, failure.damages, should_stop)
    spares: tuple[float, Way] | None = None
    gains: Action | None = None
    for way in stage.ways:
        run = trying.run(way, tried_at)
        if run is None:
            return gains
        end = trying.end(run)
        if run.first is None:
            return Action(text=way.text, within=trying.latest(way, tried_at, failure.time), holds=True)
        if end is None:
            if spares is None or run.first.time > spares[0]:
                spares = run.first.time, way
        elif end.time - failure.time >= WORTH and (gains is None or end.time - failure.time > gains.gains):
            gained = end.time - failure.time
            gains = Action(text=way.text, within=tried_at, holds=False, gains=gained, then=end)
    if spares is None:
        return gains
    within = trying.latest(spares[1], tried_at, failure.time)
    run = trying.run(spares[1], within)
    then = run.first if run is not None else None
    return Action(text=spares[1].text, within=within, holds=False, spares=True, then=then)


@dataclass(frozen=True)
class _Trying:
    """Runs of one fault with something done against it."""

    stage: Stage
    moment: Moment
    horizon: float
    only_damage: bool
    """Whether only what damages something counts as the end."""
    should_stop: Callable[[], bool] | None

    def counts(self, failure: Failure) -> bool:
        return failure.damages or not self.only_damage

    def run(self, way: Way, after: float) -> Run | None:
        begins = 0.0 if self.stage.fault.from_start else self.moment.time
        return self.stage.run(
            self.moment,
            self.horizon,
            also=way.at(begins + after),
            until=self.counts,
            should_stop=self.should_stop,
        )

    def end(self, run: Run) -> Failure | None:
        """Return the first failure that counts."""
        return next((one for one in run.failures if self.counts(one)), None)

    def latest(self, way: Way, holds: float, fails: float) -> float:
        """Return the latest time after the fault at which a way still helps [s], halving what is between."""
        for _ in range(HALVINGS):
            middle = float(round(0.5 * (holds + fails)))
            run = self.run(way, middle)
            if run is None:
                break
            if self.end(run) is None:
                holds = middle
            else:
                fails = middle
        return holds
