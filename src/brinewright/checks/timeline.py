"""What a loop's schedules say over time: means, peaks, and the peak of a sum."""

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from itertools import pairwise

from brinewright.model.loop import Loop, Schedule

DAY = 86400.0
RAMP_PARTS = 24
"""Points that are looked at along a ramp, beside its ends."""

Raw = float | str | None
"""A number, or the name of a schedule."""


class Timeline:
    """The schedules of one loop, evaluated without a run."""

    def __init__(self, loop: Loop) -> None:
        self._schedules = {schedule.name: schedule for schedule in loop.schedules}

    def at(self, raw: Raw, time: float) -> float:
        """Return the value of a number or schedule at a time [s] from midnight of the first day, in SI."""
        if raw is None:
            return 0.0
        if not isinstance(raw, str):
            return float(raw)
        return value_at(self._schedules[raw], time)

    @cached_property
    def moments(self) -> Sequence[float]:
        """Return the times [s] at which something changes, over one repetition of the longest schedule."""
        period = self.period
        found = {0.0, period}
        for schedule in self._schedules.values():
            own = schedule.repeats or period
            for turn in range(max(1, math.ceil(period / own)) if own > 0.0 else 1):
                found.update(turn * own + time for time in schedule.times)
                if schedule.ramps:
                    found.update(turn * own + own * k / RAMP_PARTS for k in range(RAMP_PARTS))
        return sorted(time for time in found if 0.0 <= time <= period)

    @cached_property
    def period(self) -> float:
        """Return the longest time after which a schedule repeats, a day at least [s]."""
        repeats = [s.repeats if s.repeats > 0.0 else s.times[-1] for s in self._schedules.values()]
        return max(DAY, *repeats) if repeats else DAY

    def span(self, value: Callable[[float], float]) -> tuple[float, float, float]:
        """Return least, mean and greatest of a function of time [s] over one repetition.

        Example
        -------
        >>> from brinewright.model.loop import Loop, Schedule
        >>> shift = Schedule(name="shift", quantity="power", times=(0.0, 21600.0), values=(2.0, 6.0))
        >>> timeline = Timeline(Loop(name="a", rulebook="b", schedules=(shift,)))
        >>> timeline.span(lambda time: timeline.at("shift", time))
        (2.0, 5.0, 6.0)
        """
        moments = self.moments
        ends = [(value(a), value(math.nextafter(b, a)), b - a) for a, b in pairwise(moments)]
        total = sum(0.5 * (first + last) * length for first, last, length in ends)
        values = [value for first, last, _ in ends for value in (first, last)]
        return min(values), total / (moments[-1] - moments[0]), max(values)

    def mean(self, raw: Raw) -> float:
        """Return the mean of a number or schedule, in SI."""
        return self.span(lambda time: self.at(raw, time))[1] if isinstance(raw, str) else float(raw or 0.0)

    def least(self, raw: Raw) -> float:
        """Return the least value of a number or schedule, in SI."""
        return self.span(lambda time: self.at(raw, time))[0] if isinstance(raw, str) else float(raw or 0.0)

    def greatest(self, raws: Iterable[Raw]) -> float:
        """Return the greatest value of a sum of numbers and schedules, in SI."""
        terms = list(raws)
        if not any(isinstance(raw, str) for raw in terms):
            return sum(float(raw or 0.0) for raw in terms)
        return self.span(lambda time: sum(self.at(raw, time) for raw in terms))[2]


def value_at(schedule: Schedule, time: float) -> float:
    """Return what a schedule says at a time [s], in SI: steps, or straight lines where it ramps.

    Example
    -------
    >>> from brinewright.model.loop import Schedule
    >>> value_at(Schedule(name="a", quantity="power", times=(0.0, 3600.0), values=(1.0, 2.0)), 90000.0)
    2.0
    """
    times, values, period = schedule.times, schedule.values, schedule.repeats
    at = time % period if period > 0.0 else time
    k = bisect_right(times, at) - 1
    if k < 0:
        return values[-1] if period > 0.0 else values[0]
    if not schedule.ramps:
        return values[k]
    if k + 1 < len(times):
        return values[k] + (values[k + 1] - values[k]) * (at - times[k]) / (times[k + 1] - times[k])
    if period > 0.0:
        end = times[0] + period
        return values[k] + (values[0] - values[k]) * (at - times[k]) / (end - times[k])
    return values[k]
