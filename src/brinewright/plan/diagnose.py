"""`diagnose`: from what somebody sees to the likely causes, by simulating them and comparing."""

import math
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from brinewright.checks.catalogue import CRITERIA
from brinewright.errors import InputError, Problem
from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.plan.belief import AGES, Search
from brinewright.plan.cell import Standing
from brinewright.plan.course import Course
from brinewright.plan.diagnosis import Cause, Diagnosis, Difference, Evidence
from brinewright.plan.next_look import next_looks
from brinewright.plan.observation import NOISE, SWING, Number, Observation, usual
from brinewright.plan.readings import CLOCK_NOISE, Known, Reading, Record, parse_reading
from brinewright.plan.record import features
from brinewright.plan.signature import SOUND_DAYS, Library
from brinewright.plan.suspects import suspects
from brinewright.plan.symptom import Claim, Vocabulary
from brinewright.run.settle import DAY
from brinewright.run.simulate import weather_of

HALF_HOUR = 1800.0
"""Runs end on a half hour, so that what was simulated for one question serves the next."""
TIMES_OF_DAY = (3.0, 9.0, 15.0, 21.0)
"""Where nobody says when it was seen: each of these is as likely [h]."""
AGES_OF_REAL = (900.0, 5400.0, 28800.0)
"""Bounds of the first ages for real plants, whose runs take longer [s]."""
STEP = 120.0
"""Time between the samples that are compared [s]."""
WORTH_TELLING = 0.005
"""Least share of belief that a cause is told with."""
MOST = 10
"""Most suspects that are compared with each other."""
LOUD = 0.7
"""Evidence of less weight than this is not told."""
_libraries: dict[str, Library] = {}


def diagnose(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    symptoms: str | Iterable[str] = (),
    readings: Iterable[str | Reading] = (),
    series: Iterable[Record] = (),
    at: float | None = None,
    top: int = 5,
    folder: Path | None = None,
    keep: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> Diagnosis:
    """Return the likely causes of what somebody sees, what tells them apart, and where to look next.

    Every suspect is put into a run of the loop at several sizes and ages; what such a run shows
    is compared with what was seen, in units of its standard error, and the belief in each
    follows by Bayes' rule.

    Parameters
    ----------
    loop : the design, as it should be
    rulebook : the place; by default the one that the loop names, among those that ship
    symptoms : such as "supply warm, chillers idle"
    readings : such as "TK-101.temperature=31 degC +- 0.5 K @ 14:30"
    series : longer records of single channels
    at : time of day at which somebody looks [s]; by default that of the latest reading, else unknown
    top : how many causes are told
    folder : where a weather file that the site names is looked for
    keep : folder in which what was simulated is kept for the next question
    progress : called with simulated and total time [s]
    should_stop : asked now and then; what is known so far is returned when it says yes

    Raises
    ------
    InputError
        Nothing was seen, or something that was seen can't be read.
    UnknownNameError
        There is no such channel.
    RunError
        The sound loop could not be run.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> found = bw.diagnose(loop, readings=["P-101.running=0 %", "TK-102.level=1 %"], at=52200.0)
    >>> found.causes[0].name
    'P-101 stops'
    """
    began = time.perf_counter()
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    library = _library(loop, rules, folder, keep)
    seen = _Seen(library, symptoms, readings, series, at)
    everyone = suspects(library.loop, rules, library.views)
    stylised = rules.world == "stylised"
    search = Search(
        library,
        everyone,
        seen.observations,
        seen.nows,
        span=seen.span,
        after=seen.after,
        step=STEP,
        ages=AGES if stylised else AGES_OF_REAL,
        early=seen.early,
        tell=progress,
        should_stop=should_stop,
    )
    search.first()
    search.split()
    told = _Telling(search, everyone, top)
    return Diagnosis(
        name=loop.name,
        world=rules.world,
        causes=told.causes(),
        nothing_shows=told.nothing_shows,
        hidden=told.hidden,
        none_of_these=told.none_of_these,
        differences=told.differences(),
        looks=next_looks(search, told.groups[:6], seen.given, seen.early),
        runs=search.runs,
        finished=not (should_stop and should_stop()),
        wall_s=time.perf_counter() - began,
    )


def known_channels(library: Library) -> dict[str, Known]:
    """Return every channel that can be read, with its unit and the words of its positions."""
    known = {}
    for key, unit in library.units.items():
        tag, _, quantity = key.partition(".")
        view = library.views.get(tag)
        words = view.declared.positions if view is not None and quantity in ("position", "running") else None
        known[key] = Known(unit, {words[0]: 1.0, words[1]: 0.0} if words else {})
    return known


def library_of(loop: Loop, rules: Rulebook, folder: Path | None = None) -> Library:
    """Return the library of a loop: what can be read of it, and all that was simulated so far."""
    return _library(loop, rules, folder, None)


def _library(loop: Loop, rules: Rulebook, folder: Path | None, keep: Path | None) -> Library:
    library = Library(loop, rules, weather=weather_of(loop, rules, folder), folder=keep)
    kept = _libraries.get(library.digest)
    if kept is None:
        _libraries.clear()  # one loop at a time is enough, and they are large
        _libraries[library.digest] = kept = library
    kept.folder = keep
    return kept


class _Seen:
    """Everything that was seen, and the moments in simulated time at which it may have been."""

    def __init__(
        self,
        library: Library,
        symptoms: str | Iterable[str],
        readings: Iterable[str | Reading],
        series: Iterable[Record],
        at: float | None,
    ) -> None:
        self.library = library
        known = known_channels(library)
        self.readings = [
            parse_reading(reading, known) if isinstance(reading, str) else reading for reading in readings
        ]
        self.series = [record for record in series if len(record.values)]
        texts = [symptoms] if isinstance(symptoms, str) else list(symptoms)
        words = Vocabulary(library.loop, library.views, library.keys)
        self.claims: list[Claim] = [claim for text in texts for claim in words.claims(text)]
        if not (self.readings or self.series or self.claims):
            raise InputError(
                [Problem("Nothing was seen.", 'State a symptom ("supply warm, chillers idle") or a reading.')]
            )
        clocks = [reading.clock for reading in self.readings if reading.clock is not None]
        clocks += [float(record.clock[-1]) for record in self.series]
        latest = at if at is not None else max(clocks, default=None)
        self.is_dated = latest is not None
        day = SOUND_DAYS * DAY
        if latest is None:
            self.nows: tuple[float, ...] = tuple(day + 3600.0 * hour for hour in TIMES_OF_DAY)
            self.early = 0.0
        else:
            moment = latest % DAY
            end = math.ceil(moment / HALF_HOUR) * HALF_HOUR
            self.nows, self.early = (day + end,), end - moment
            self._shift = moment - latest
        self._latest = latest

    @property
    def given(self) -> set[str]:
        """Return the channels that were read."""
        return {reading.key for reading in self.readings} | {record.key for record in self.series}

    @property
    def after(self) -> float:
        """Return how long after the last half hour something may have been read [s]."""
        return SWING + (0.0 if self.is_dated else 3600.0 * 1.5)

    @property
    def span(self) -> float:
        """Return how long before the end of the runs something may have been read [s]."""
        longest = 3.0 * 3600.0
        for reading in self.readings:
            if reading.clock is not None and self._latest is not None:
                longest = max(longest, self._ago(reading.clock) + max(2.0 * reading.clock_noise, SWING))
        for record in self.series:
            longest = max(longest, self._ago(float(record.clock[0])) + SWING)
        return min(longest + HALF_HOUR, DAY)

    def _ago(self, clock: float) -> float:
        """Return how long before the last look a moment of the day was [s]."""
        latest = self._latest or 0.0
        return latest - clock if clock <= latest + 60.0 else latest - clock + DAY

    def observations(self, now: float) -> list[Observation]:
        """Return what was seen, if somebody looked before this half hour."""
        moment = now - self.early
        course = Course(self.library.sound, None, moment)
        found: list[Observation] = list(self.claims)
        for reading in self.readings:
            unit = self.library.units[reading.key]
            noise = reading.noise
            if noise is None:
                noise = NOISE.get(unit, 0.03 * abs(reading.value) + 1e-6)
            if not self.is_dated:
                time_noise = 3600.0 * 1.5
            elif reading.clock is None:
                time_noise = 2.0 * CLOCK_NOISE
            else:
                time_noise = reading.clock_noise
            ago = 0.0 if reading.clock is None or not self.is_dated else self._ago(reading.clock)
            found.append(
                Number(
                    key=reading.key,
                    text=reading.text or reading.key,
                    value=reading.value,
                    noise=noise,
                    unit=unit,
                    time=moment - ago,
                    time_noise=time_noise,
                    usual=usual(course, reading.key, moment),
                )
            )
        for record in self.series:
            times = moment - np.array([self._ago(float(clock)) for clock in record.clock])
            unit = self.library.units[record.key]
            found.extend(
                features(
                    record.key, times[times > moment - DAY], record.values[times > moment - DAY], unit, course
                )
            )
        return found


class _Telling:
    """What the search found, grouped and put in order."""

    def __init__(self, search: Search, everyone: Sequence[Any], top: int) -> None:
        self.search, self.top = search, top
        standings = search.standings()
        sound, none = search.sound(), search.none()
        whole = search.whole()
        quiet: list[Standing] = []
        self.groups: list[list[Standing]] = []
        for standing in standings[: MOST + len(everyone) // 4]:
            if standing.belief < WORTH_TELLING / 2.0 or not standing.best.predicted:
                continue
            if search.shows_nothing(standing):
                quiet.append(standing)
                continue
            if sum(len(group) for group in self.groups) >= MOST + 6:
                break
            for group in self.groups:
                if search.alike(group[0], standing):
                    group.append(standing)
                    break
            else:
                self.groups.append([standing])
        self.groups.sort(key=lambda group: -sum(standing.belief for standing in group))
        self.nothing_shows = math.exp(sound - whole) + sum(standing.belief for standing in quiet)
        self.none_of_these = math.exp(none - whole)
        tried = {standing.suspect.key for standing in standings}
        unseen = [suspect.key for suspect in everyone if suspect.key not in tried]
        self.hidden = tuple(sorted({*(standing.suspect.key for standing in quiet), *unseen})) if quiet else ()

    def causes(self) -> tuple[Cause, ...]:
        """Return the causes that are worth telling, the most believed first."""
        found: list[Cause] = []
        for group in self.groups[: self.top]:
            belief = sum(standing.belief for standing in group)
            if belief < WORTH_TELLING and found:
                break
            found.append(self._cause(group, belief))
        return tuple(found)

    def _cause(self, group: Sequence[Standing], belief: float) -> Cause:
        first = group[0]
        cell, suspect = first.best, first.suspect
        speaks_for, against = self._evidence(first)
        known = {criterion.code for criterion in CRITERIA}
        return Cause(
            name=suspect.key,
            tag=suspect.tag,
            title=suspect.title,
            belief=belief,
            size=cell.size,
            how_badly=suspect.tell(cell.size),
            age_s=max(cell.age - self.search.early, 0.0),
            alike=tuple(self._cause([other], other.belief) for other in group[1:]),
            speaks_for=speaks_for,
            speaks_against=against,
            codes=tuple(code for code in suspect.codes if code in known),
            remedy=suspect.remedy,
        )

    def _evidence(self, standing: Standing) -> tuple[tuple[Evidence, ...], tuple[Evidence, ...]]:
        """Return what speaks for a cause and what against it, beside the sound plant."""
        cell = standing.best
        sound = self.search.sound_predictions(cell.now)
        rows: dict[str, Evidence] = {}
        misfits: dict[str, Evidence] = {}
        for item, values, usual_values, each in zip(
            self.search.seen[cell.now], cell.predicted, sound, cell.each, strict=True
        ):
            evidence = _evidence(item, values, usual_values, float(each))
            other = rows.get(evidence.key)
            if other is None or abs(evidence.weight) > abs(other.weight):
                rows[evidence.key] = evidence
            off = abs(evidence.seen - evidence.expected) / max(evidence.spread, 1e-12)
            is_off = evidence.expected < 0.6 if isinstance(item, Claim) else off > 2.0
            if is_off:
                misfits[evidence.key] = evidence
        ordered = sorted(rows.values(), key=lambda item: -item.weight)
        speaks_for = tuple(item for item in ordered if item.weight > LOUD)[:5]
        against = {item.key: item for item in reversed(ordered) if item.weight < -LOUD} | misfits
        return speaks_for, tuple(sorted(against.values(), key=lambda item: item.weight))[:3]

    def differences(self) -> tuple[Difference, ...]:
        """Return what was seen that tells the first cause from the next two."""
        found: list[Difference] = []
        if not self.groups:
            return ()
        first = self.groups[0][0]
        for group in self.groups[1:3]:
            other = group[0]
            if other.best.now != first.best.now:
                continue
            apart = first.best.each - other.best.each
            sound = self.search.sound_predictions(first.best.now)
            for place in sorted(range(len(apart)), key=lambda k: -abs(apart[k]))[:3]:
                if abs(apart[place]) < LOUD:
                    continue
                item = self.search.seen[first.best.now][place]
                its = other.best.predicted[place]
                found.append(
                    Difference(
                        first=first.suspect.key,
                        other=other.suspect.key,
                        evidence=_evidence(
                            item, first.best.predicted[place], sound[place], float(first.best.each[place])
                        ),
                        other_expected=float(its.mean()),
                        other_spread=float(np.hypot(its.std(), item.width)),
                        weight=float(apart[place]),
                    )
                )
        return tuple(found)


def _evidence(item: Observation, values: Any, usual_values: Any, each: float) -> Evidence:
    sound = item.log_likelihood(usual_values, 0.0)
    return Evidence(
        key=item.key,
        text=item.text,
        seen=item.seen,
        expected=float(np.mean(values)),
        spread=float(np.hypot(np.std(values), item.width)),
        usual=float(np.mean(usual_values)),
        unit=item.unit,
        weight=each - sound,
    )
