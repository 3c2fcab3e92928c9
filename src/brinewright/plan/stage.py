"""One fault put into a run: from a state of the sound plant on, until it is clear what comes of it."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.model.loop import Force
from brinewright.plan.base import Base, Moment, march
from brinewright.plan.failure import Failure
from brinewright.plan.fault import Fault
from brinewright.plan.ways import ways
from brinewright.run.carry import Unforced, carried
from brinewright.run.forcing import NEVER, forced
from brinewright.run.simulation import Simulation

SAMPLE = 10.0
"""Time between two samples of a run with a fault [s]."""
CHUNK = 600.0
"""Time between two looks at whether it is clear already [s]."""
FOLLOWS = 1800.0
"""How long a run goes on after something broke, to see what follows [s]."""
STANDS = 600.0
"""Time without flow after which the consumers count as left alone [s]; common practice, no source."""
LONG = 1800.0
"""The same, where the flow comes back by itself [s]."""
LEFT = 0.05
"""Share of the usual flow below which there is none [-]."""
ITSELF = 2.0
"""What a part of the fault reports so soon is the fault itself [s]."""
AFTERWARDS = 3600.0
"""How long a plant is watched at least once a fault has ended [s]."""


@dataclass(frozen=True)
class Run:
    """What came of a fault: the run, and what broke in it."""

    simulation: Simulation
    begins: float
    """When the fault began [s]."""
    failures: tuple[Failure, ...]
    told: tuple[Failure, ...]
    """What was reported and broke nothing."""

    @property
    def first(self) -> Failure | None:
        """Return the first thing that broke."""
        return self.failures[0] if self.failures else None

    @property
    def lasted(self) -> float:
        """Return the time that was run from the fault on [s]."""
        return self.simulation.time - self.begins

    @property
    def times(self) -> NDArray[np.float64]:
        """Return the times of the samples from the fault on [s]."""
        return self.simulation.samples[: int(self.simulation.counters[0])] - self.begins

    def values(self, column: int) -> NDArray[np.float64]:
        """Return the samples of a channel."""
        samples: NDArray[np.float64] = self.simulation.trace[: int(self.simulation.counters[0]), column]
        return samples


class Stage:
    """A fault on a plant, ready to be run as often as needed."""

    def __init__(self, base: Base, fault: Fault) -> None:
        self.base = base
        self.fault = fault
        self.ways = ways(base, fault)
        loop = fault.changed(base.loop, base.rules)
        self._before = None if fault.from_start or not fault.changes else base.compiled(loop)
        targets = [force.target for force in fault.forces] + list(fault.holds)
        targets += sorted({target for way in self.ways for target, _ in way.forces})
        forces = tuple(Force(target=target, value=0.0, start=NEVER) for target in targets)
        self._plant = base.compiled(replace(loop, forces=forces))
        self._carried: dict[float, Unforced] = {}

    def _state(self, moment: Moment) -> Unforced | None:
        if self.fault.from_start:
            return None
        state = self.base.states[moment.time]
        if self._before is None:
            return state
        if moment.time not in self._carried:
            self._carried[moment.time] = carried(state, self.base.plant, self._before)
        return self._carried[moment.time]

    def run(
        self,
        moment: Moment,
        horizon: float,
        *,
        also: tuple[Force, ...] = (),
        until: Callable[[Failure], bool] | None = None,
        should_stop: Callable[[], bool] | None = None,
    ) -> Run | None:
        """Run the fault from a moment on; None if it was stopped on its way.

        Parameters
        ----------
        moment : when the fault begins; a fault that is there from the start begins at 0
        horizon : how long the run lasts at most [s]
        also : what people do meanwhile, with times
        until : end the run at the first failure of which this is true; by default half an hour after any
        should_stop : asked now and then
        """
        begins = 0.0 if self.fault.from_start else moment.time
        state = self._state(moment)
        fault = self.fault.at(begins)
        shown = self._shown(state) if state is not None else {}
        plant = forced(self._plant, (*fault.as_forces(shown), *also))
        samples = begins + np.arange(0.0, horizon + 0.5, SAMPLE)
        simulation = Simulation(plant, samples=samples, state=state)
        failures: list[Failure] = []
        liquid: list[Failure] = []
        looked_at = 0
        while simulation.time < begins + horizon - 0.5:
            if should_stop and should_stop():
                return None
            march(simulation, min(begins + horizon, simulation.time + CHUNK))
            liquid += self._liquid(simulation, begins, looked_at)
            looked_at = int(simulation.counters[0])
            failures = self._failures(simulation, begins, liquid)
            if self._is_clear(failures, simulation.time - begins, until):
                break
        return Run(
            simulation,
            begins,
            tuple(one for one in failures if one.breaks),
            tuple(one for one in failures if not one.breaks),
        )

    def _is_clear(self, failures: list[Failure], now: float, until: Callable[[Failure], bool] | None) -> bool:
        """Tell whether a run need not go on; `now` is counted from the fault's beginning [s].

        Flow that stands while the fault lasts may come back with its end.
        """
        broke = [one for one in failures if one.breaks and (until is None or until(one))]
        if not broke:
            return False
        lasts = self.fault.lasts
        if until is not None:
            return broke[0].family != "flow" or now >= lasts or lasts == math.inf
        return now >= (lasts + AFTERWARDS if lasts < math.inf else broke[0].time + FOLLOWS)

    def _shown(self, state: Unforced) -> dict[str, float]:
        """Return what everything that the fault holds shows at that moment."""
        found = {}
        for target in self.fault.holds:
            tag, _, name = target.partition(".")
            found[target] = float(state.arrays["X"][self.base.plant.places[(tag, name or "signal")]])
        return found

    def _failures(self, simulation: Simulation, begins: float, liquid: list[Failure]) -> list[Failure]:
        """Return what was reported and what was seen, each place once, in order of time."""
        names = simulation.plant.events
        first: dict[tuple[str, str], Failure] = {}
        for row in simulation.events[: simulation.counters[1]]:
            tag, code, text = names[int(row[1])]
            after = float(row[0]) - begins
            if (tag, code) in self.base.already[self.fault.from_start]:
                continue
            if tag in self.fault.tags and after <= ITSELF:
                continue
            first.setdefault((tag, code), Failure(time=after, tag=tag, code=code, text=text))
        for failure in (*liquid, *self._standstill(simulation, begins, first)):
            first.setdefault((failure.tag, failure.code), failure)
        return sorted(first.values(), key=lambda one: (one.time, one.tag, one.code))

    def _liquid(self, simulation: Simulation, begins: float, since: int) -> list[Failure]:
        """Return where liquid froze or boiled in a line or a tank, from a sample on."""
        liquids = self.base.liquids
        values = simulation.trace[since : int(simulation.counters[0]), liquids.columns]
        found = []
        for beyond, code, text in (
            (values < liquids.freezes, "freezing", "The coolant freezes in it."),
            (values > liquids.boils, "boiling", "The coolant boils in it."),
        ):
            for k in np.flatnonzero(beyond.any(axis=0)):
                tag = liquids.tags[k]
                if (tag, code) not in self.base.already[self.fault.from_start]:
                    at = float(simulation.samples[since + int(np.argmax(beyond[:, k]))]) - begins
                    found.append(Failure(time=at, tag=tag, code=code, text=text))
        return found

    def _standstill(
        self, simulation: Simulation, begins: float, told: dict[tuple[str, str], Failure]
    ) -> list[Failure]:
        """Return since when no consumer gets any liquid, and whether a junction holds it up."""
        columns, usual = self.base.consumer_flows
        count = int(simulation.counters[0])
        if usual <= 0.0 or count < 2:
            return []
        still = simulation.trace[:count, columns].sum(axis=1) < LEFT * usual
        if simulation.samples[0] == 0.0:
            still[0] = False  # no flow is known before the first tick
        needed = max(STANDS, 1.5 * self.base.pause)
        since = _unended(still, math.ceil(needed / SAMPLE), math.ceil(LONG / SAMPLE))
        if since is None:
            return []
        at = float(simulation.samples[since]) - begins
        standing = sorted((one for one in told.values() if one.code == "standing"), key=lambda one: one.time)
        found = [Failure(time=at, tag="consumers", code="no-flow", text="No consumer gets any liquid.")]
        if standing:
            here = standing[0]
            text = f"Liquid stands at {here.tag} and waits for itself: nothing can move."
            found.append(Failure(time=min(here.time, at), tag=here.tag, code="deadlock", text=text))
        return found


def _unended(flags: NDArray[np.bool_], number: int, long: int) -> int | None:
    """Return where the first row of flags begins that is not over after `number`, or `long`; else None.

    >>> _unended(np.array([True, True, False, True, True]), 2, 9)
    3
    >>> _unended(np.array([True, True, True, False]), 2, 3)
    0
    """
    begin = None
    for index, flag in enumerate(flags):
        if flag and begin is None:
            begin = index
        if not flag:
            begin = None
        elif begin is not None and index - begin + 1 >= long:
            return begin
    return begin if begin is not None and len(flags) - begin >= number else None


def extremes(run: Run) -> tuple[Any, Any]:
    """Return the least and the greatest of every recorded value in a run, its beginning with them."""
    simulation = run.simulation
    begin = simulation.begin[: simulation.recorded]
    return np.minimum(simulation.least, begin), np.maximum(simulation.greatest, begin)
