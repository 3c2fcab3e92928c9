"""A record of one channel, told by its features: means, swing, trend and how often it changes over."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.course import Course
from brinewright.plan.observation import MISTAKEN, MODEL, NOISE, SWING, Observation, divergence

Floats = NDArray[np.float64]

BLOCKS = 5
"""Parts of a record whose means are compared."""
SHIFTS = 9
"""How many ways the simulated swing is laid against the record's."""
TITLES = {"mean": "mean", "swing": "swing", "trend": "change from first to last", "turns": "turns in an hour"}


@dataclass(frozen=True, kw_only=True)
class Feature:
    """One number that a stretch of a record comes to."""

    key: str
    text: str
    kind: str
    times: Floats
    value: float
    noise: float
    unit: str
    usual: tuple[float, float]

    @property
    def seen(self) -> float:
        """Return the number."""
        return self.value

    def predicted(self, course: Course) -> Floats:
        """Return the same feature of a hypothesis, for equally likely phases of its swing."""
        return np.array(
            [
                feature_of(self.kind, self.times, course.at(self.key, self.times + shift))
                for shift in np.linspace(-SWING, SWING, SHIFTS)
            ]
        )

    @property
    def width(self) -> float:
        """Return the standard error of record and simulation together."""
        return self.noise

    def swing(self, sound: Course, times: Floats) -> float:
        """Return the standard deviation of the channel over these times, for a mean; else 0."""
        return float(sound.at(self.key, times).std()) if self.kind == "mean" else 0.0

    def log_likelihood(self, predicted: Floats, spread: float) -> float:
        """Return the logarithm of the mean density over the phases."""
        width = math.hypot(self.noise, spread)
        density = float(np.exp(-0.5 * ((self.value - predicted) / width) ** 2).mean())
        density /= width * math.sqrt(2.0 * math.pi)
        return math.log((1.0 - MISTAKEN) * density + MISTAKEN * math.exp(self.log_background))

    def apart(self, mine: Floats, its: Floats) -> float:
        """Return the expected weight of evidence for the first prediction against the other."""
        return divergence(mine, its, self.width)

    @property
    def log_background(self) -> float:
        """Return the log density of a feature of which only the usual range is known."""
        width = math.hypot(self.usual[1], 20.0 * self.noise)
        deviation = (self.value - self.usual[0]) / width
        return -math.log(width * math.sqrt(2.0 * math.pi)) - math.log1p(0.5 * deviation * deviation)


def feature_of(kind: str, times: Floats, values: Floats) -> float:
    """Return one feature of samples at these times [s].

    Example
    -------
    >>> feature_of("trend", np.array([0.0, 1.0, 2.0]), np.array([5.0, 6.0, 7.0]))
    2.0
    """
    if kind == "mean":
        return float(values.mean())
    if kind == "swing":
        return float(values.std())
    if kind == "trend":
        third = max(1, len(values) // 3)
        return float(values[-third:].mean() - values[:third].mean())
    above = values > values.mean()
    hours = max(float(times[-1] - times[0]) / 3600.0, 1e-6)
    return float(np.count_nonzero(above[1:] != above[:-1])) / hours


def features(key: str, times: Floats, values: Floats, unit: str, sound: Course) -> Sequence[Observation]:
    """Return what a record comes to, as observations.

    Parameters
    ----------
    key : the channel
    times : moments in simulated time [s]
    values : what was read, in SI
    unit : SI unit of the channel
    sound : what the sound plant shows, for what is usual
    """
    if len(times) < 2:
        return []
    noise = math.hypot(
        NOISE.get(unit, 0.03 * float(np.abs(values).mean()) + 1e-9),
        MODEL.get(unit, 0.02 * float(np.abs(values).mean()) + 1e-9),
    )
    stretches = np.array_split(np.arange(len(times)), min(BLOCKS, max(1, len(times) // 8)))
    plan = [("mean", rows, noise) for rows in stretches]
    whole = np.arange(len(times))
    plan += [("swing", whole, noise), ("trend", whole, 1.5 * noise)]
    if len(times) >= 24:
        turns = feature_of("turns", times, values)
        plan.append(("turns", whole, 1.0 + 0.25 * turns))
    found: list[Observation] = []
    for kind, rows, width in plan:
        usual = [
            feature_of(kind, times[rows], sound.at(key, times[rows] + shift))
            for shift in (-3600.0, 0.0, 3600.0)
        ]
        found.append(
            Feature(
                key=key,
                text=f"{TITLES[kind]} of {key}",
                kind=kind,
                times=times[rows],
                value=feature_of(kind, times[rows], values[rows]),
                noise=width,
                unit=unit if kind != "turns" else "1/h",
                usual=(float(np.mean(usual)), float(np.std(usual))),
            )
        )
    return found
