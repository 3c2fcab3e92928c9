"""`rehearse`: put every credible fault into a run, and say what breaks first, when, and what helps."""

import os
import threading
import time
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import combinations
from pathlib import Path

from brinewright.errors import BrinewrightError, InputError, UnknownNameError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.loop import Loop
from brinewright.model.mishap import GROUPS
from brinewright.model.rulebook import Rulebook
from brinewright.plan.action import best_action
from brinewright.plan.base import Base, Moment
from brinewright.plan.credible import credible_faults
from brinewright.plan.failure import ONLY_TOLD
from brinewright.plan.fault import Fault, together
from brinewright.plan.notice import back_after, missing_guard, nearest, notices
from brinewright.plan.rehearsal import Rehearsal, Trial
from brinewright.plan.stage import Run, Stage
from brinewright.results.outcome import DONE, INTERRUPTED
from brinewright.run.simulate import weather_of

HORIZON = 4 * 3600.0
"""How long each fault is run at most, if nothing else is asked for [s]."""

LATENT = 0.1
"""What a fault that changes nothing by itself weighs in a pair [-]."""

Progress = Callable[[float, float], None]


def rehearse(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    faults: Iterable[Fault] | None = None,
    only: Iterable[str] = (),
    pairs: int = 0,
    horizon: float = HORIZON,
    countermeasures: bool = True,
    workers: int | None = None,
    progress: Progress | None = None,
    should_stop: Callable[[], bool] | None = None,
    folder: Path | None = None,
) -> Rehearsal:
    """Put faults into a loop, one by one, and return what came of each.

    The plant runs for a day first; each fault strikes it at every telling moment of the next
    day, and the moment at which it does most harm is told.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names
    faults : what goes wrong; by default every single credible fault
    only : names of groups, such as "machine lost"; others are left out
    pairs : how many pairs of faults to try beside, those most likely to matter first
    horizon : how long each fault is run at most [s]
    countermeasures : whether to try what people can do
    workers : how many faults run side by side; by default one for each processor
    progress : called with the number of faults done and of all
    should_stop : asked now and then; the faults done by then are returned when it says yes
    folder : where a weather file that the site names is looked for

    Raises
    ------
    InputError
        If the loop does not make a plant, or there is no such group.
    RunError
        If the sound plant cannot be run.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> result = bw.rehearse(loop, only=["dry start"], countermeasures=False)
    >>> result.trials[0].first.code
    'overheated'
    """
    began = time.perf_counter()
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    if horizon < 60.0:
        raise InputError("A fault must be run for a minute at least.")
    groups = tuple(only)
    for group in groups:
        if group not in GROUPS:
            raise UnknownNameError(group, GROUPS, "group of faults")
    chosen = tuple(credible_faults(loop, rules) if faults is None else faults)
    chosen = tuple(fault for fault in chosen if not groups or fault.group in groups)
    stop = should_stop or (lambda: False)
    base = Base(loop, rules, weather=weather_of(loop, rules, folder), should_stop=stop)
    work = _Work(base, horizon, countermeasures, workers or os.cpu_count() or 1, progress, stop)
    trials = work.all(chosen, pairs) if base.is_complete else []
    possible = _pairs(trials) if pairs > 0 else []
    double = work.all([together(a.fault, b.fault) for a, b in possible[:pairs]], 0) if possible else []
    done = len(trials) == len(chosen) and len(double) == len(possible[:pairs])
    return Rehearsal(
        name=loop.name,
        world=rules.world,
        horizon=horizon,
        trials=tuple(trials),
        pairs=tuple(double),
        faults=len(chosen),
        possible_pairs=len(possible),
        already=tuple(sorted(f"{tag} {code}" for tag, code in base.already[False] if code not in ONLY_TOLD)),
        outcome=DONE if done else INTERRUPTED,
        wall_s=time.perf_counter() - began,
    )


class _Work:
    """Faults run side by side; each is a plant of its own, so their order changes nothing."""

    def __init__(
        self,
        base: Base,
        horizon: float,
        countermeasures: bool,
        workers: int,
        progress: Progress | None,
        should_stop: Callable[[], bool],
    ) -> None:
        self.base = base
        self.horizon = horizon
        self.countermeasures = countermeasures
        self.workers = workers
        self.progress = progress
        self.should_stop = should_stop
        self._done = 0
        self._lock = threading.Lock()

    def all(self, faults: Sequence[Fault], more: int) -> list[Trial]:
        """Return the trials of all faults that were finished, in their order."""
        total = self._done + len(faults) + more
        with ThreadPoolExecutor(max_workers=self.workers) as pool:
            found = list(pool.map(lambda fault: self._one(fault, total), faults))
        return [trial for trial in found if trial is not None]

    def _one(self, fault: Fault, total: int) -> Trial | None:
        if self.should_stop():
            return None
        try:
            trial = self._trial(fault)
        except BrinewrightError as error:
            # a fault may lead to numbers that the engine refuses; the others are still worth trying
            trial = Trial(fault=fault, moment="", unfinished=str(error))
        with self._lock:
            self._done += 1
            if self.progress:
                self.progress(float(self._done), float(total))
        return trial

    def _trial(self, fault: Fault) -> Trial | None:
        stage = Stage(self.base, fault)
        runs: list[tuple[Moment, Run]] = []
        for moment in self.base.moments[:1] if fault.from_start else self.base.moments:
            run = stage.run(moment, self.horizon, should_stop=self.should_stop)
            if run is None:
                return None
            runs.append((moment, run))
        moment, run = min(runs, key=lambda item: self._harm(item[1]))
        first = run.first
        seen = notices(self.base, run, fault)
        in_time = Trial(fault=fault, moment="", failures=run.failures, notices=seen).in_time
        action = None
        if first is not None and self.countermeasures:
            action = best_action(stage, moment, self.horizon, first, self.should_stop)
        return Trial(
            fault=fault,
            moment=_when(fault, moment),
            failures=run.failures,
            told=run.told,
            nearest=nearest(self.base, run, fault.from_start),
            notices=seen,
            guard=missing_guard(self.base, run, fault, first) if first and in_time is None else None,
            action=action,
            back_after=back_after(self.base, run, fault.lasts),
            lasted=run.lasted,
            moments={_when(fault, at): one.first.time if one.first is not None else None for at, one in runs},
        )

    def _harm(self, run: Run) -> tuple[float, float]:
        """Return what sorts the most harmful run first: the earliest failure, then the nearest to one."""
        if run.first is not None:
            return run.first.time, 0.0
        closest = nearest(self.base, run)
        return self.horizon + 1.0, -(closest.used if closest else 0.0)


def _when(fault: Fault, moment: Moment) -> str:
    return "at the start" if fault.from_start else f"{moment.clock}, when {moment.text}"


def _pairs(trials: Sequence[Trial]) -> list[tuple[Trial, Trial]]:
    """Return the pairs of faults that are survived one by one, those most likely to matter first.

    A pair matters the more, the oftener its faults are met and the more of the plant's
    distance to its limits each uses up.  A fault that changes nothing by itself may have taken
    away what is needed against the other, so it still counts for a little.
    """
    single = [trial for trial in trials if trial.survived and not trial.fault.from_start]

    def weight(pair: tuple[Trial, Trial]) -> float:
        one, other = (trial.nearest.used if trial.nearest else 0.0 for trial in pair)
        often = pair[0].fault.share * pair[1].fault.share
        return often * (one * other + LATENT * (one + other))

    apart = [(a, b) for a, b in combinations(single, 2) if not set(a.fault.tags) & set(b.fault.tags)]
    return sorted(apart, key=lambda pair: (-weight(pair), pair[0].fault.name, pair[1].fault.name))
