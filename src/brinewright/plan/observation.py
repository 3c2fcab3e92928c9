"""What somebody saw, held against what a hypothesis says they would have seen."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.course import Course

Floats = NDArray[np.float64]

SWING = 1500.0
"""Within this time of a moment a plant that hunts may be in any phase of it [s]."""
MISTAKEN = 0.02
"""Share of what people tell that is a slip: the wrong gauge, the wrong digit."""
NOISE: Mapping[str, float] = {"K": 0.3, "1": 0.02}
"""Standard error of a reading for which none is stated, by SI unit; else 3 % of it."""
MODEL: Mapping[str, float] = {"K": 0.35, "1": 0.015}
"""Standard error of the simulation itself beside a real plant; else 2 % of the value."""
LOOKS = 24
"""How many moments within the swing are compared."""


class Observation(Protocol):
    """One thing that was seen."""

    @property
    def key(self) -> str:
        """The channel that it is about, as "TAG.quantity"."""

    @property
    def text(self) -> str:
        """What was seen, in words."""

    @property
    def seen(self) -> float:
        """What was seen, as a number."""

    @property
    def unit(self) -> str:
        """The unit of that number."""

    def predicted(self, course: Course) -> Floats:
        """Return what a hypothesis says would be seen, for equally likely moments."""

    def log_likelihood(self, predicted: Floats, spread: float) -> float:
        """Return the logarithm of how likely it is to be seen, `spread` being what is uncertain beside."""

    def swing(self, sound: Course, times: Floats) -> float:
        """Return its swing in the sound plant over these times [s]; 0 if it is no value of a channel."""

    def apart(self, mine: Floats, its: Floats) -> float:
        """Return the expected weight of evidence for the first of two predictions, if it is true."""

    @property
    def width(self) -> float:
        """The standard error that a difference is measured by."""

    @property
    def log_background(self) -> float:
        """Return the same where nothing is known of the plant."""


@dataclass(frozen=True, kw_only=True)
class Number:
    """A value read at a moment that is known more or less, in SI."""

    key: str
    text: str
    value: float
    noise: float
    unit: str
    time: float
    """Moment of the reading, in simulated time [s]."""
    time_noise: float
    usual: tuple[float, float]
    """Mean and spread of the channel over the sound day."""

    @property
    def seen(self) -> float:
        """Return the value."""
        return self.value

    @property
    def times(self) -> Floats:
        """Return the moments that it may have been read at [s]."""
        reach = max(2.0 * self.time_noise, SWING)
        return self.time + np.linspace(-reach, reach, LOOKS)

    def predicted(self, course: Course) -> Floats:
        """Return the channel at every moment that it may have been read at."""
        return course.at(self.key, self.times)

    @property
    def width(self) -> float:
        """Return the standard error of reading and simulation together."""
        own = MODEL.get(self.unit, 0.02 * max(abs(self.value), abs(self.usual[0]), 1e-9))
        return math.hypot(self.noise, own)

    def swing(self, sound: Course, times: Floats) -> float:
        """Return the standard deviation of the channel over these times."""
        return float(sound.at(self.key, times).std())

    def log_likelihood(self, predicted: Floats, spread: float) -> float:
        """Return the logarithm of the mean density over the moments, slips of the observer included."""
        width = math.hypot(self.width, spread)
        deviation = (self.value - predicted) / width
        density = float(np.exp(-0.5 * deviation * deviation).mean()) / (width * math.sqrt(2.0 * math.pi))
        return math.log((1.0 - MISTAKEN) * density + MISTAKEN * math.exp(self.log_background))

    def apart(self, mine: Floats, its: Floats) -> float:
        """Return the expected weight of evidence of a reading for the first prediction against the other.

        K = mean_y log(p_mine(y) / p_its(y)), y being what the first one predicts.
        """
        return divergence(mine, its, self.width)

    @property
    def log_background(self) -> float:
        """Return the log density of a value of which only the usual range is known."""
        width = math.hypot(self.usual[1], 20.0 * self.width)
        deviation = (self.value - self.usual[0]) / width
        return -math.log(width * math.sqrt(2.0 * math.pi)) - math.log1p(0.5 * deviation * deviation)


def divergence(mine: Floats, its: Floats, width: float) -> float:
    """Return mean_y log(p_mine(y) / p_its(y)) over y in `mine`, both blurred by `width`.

    Example
    -------
    >>> same = np.array([1.0, 2.0])
    >>> divergence(same, same[::-1], 0.1)
    0.0
    """

    def density(samples: Floats) -> Floats:
        away = (mine[:, None] - samples[None, :]) / width
        return np.asarray(np.exp(-0.5 * away * away).mean(axis=1)) + MISTAKEN / 20.0

    return float(np.log(density(mine) / density(its)).mean())


def usual(course: Course, key: str, now: float) -> tuple[float, float]:
    """Return mean and standard deviation of a channel over the sound day that ends now."""
    values = course.at(key, now - np.arange(0.0, 86400.0, 300.0))
    return float(values.mean()), float(values.std())


__all__: list[Any] = ["Number", "Observation", "usual"]
