"""Run the test loops that stand in `loops`, and read bands, periods and troughs from what comes out."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np

from brinewright.files import parse_design, with_values
from brinewright.model.loop import Force
from brinewright.run import simulate

FOLDER = Path(__file__).parent / "loops"
ZERO = 273.15
HOUR = 3600.0


def run(name, changes=None, *, hours, interval=10.0, stop="", more=""):
    """Run a test loop with some values changed; what has been run once is not run again.

    `stop` is "TAG at SECONDS" of a part that fails then, `more` what the file says besides.
    """
    return _run(name, tuple(sorted((changes or {}).items())), hours, interval, stop, more)


@cache
def _run(name, changes, hours, interval, stop, more):
    text = (FOLDER / f"{name}.loop.toml").read_text(encoding="utf-8")
    loop, rules = parse_design(text.replace("[start]", f"{more}\n[start]"), FOLDER)
    loop = with_values(loop, rules, dict(changes))
    if stop:
        tag, _, seconds = stop.partition(" at ")
        loop = replace(loop, forces=(*loop.forces, Force(target=tag, value=0.0, start=float(seconds))))
    return simulate(loop, rules, duration=hours * HOUR, interval=interval)


def samples(result, tag, quantity, begin=0.0, end=np.inf):
    """Return samples between two times [s], temperatures in degC, all else in SI."""
    series = result[tag][quantity]
    values = np.asarray(series.values, dtype=float)[(result.times >= begin) & (result.times <= end)]
    return values - ZERO if series.unit == "K" else values


def band(result, tag, quantity, begin=0.0, end=np.inf):
    """Return least, mean and greatest sample between two times [s]."""
    values = samples(result, tag, quantity, begin, end)
    return values.min(), values.mean(), values.max()


def mean(result, tag, quantity, begin=0.0, end=np.inf):
    """Return the mean sample between two times [s]."""
    return samples(result, tag, quantity, begin, end).mean()


def first_time(result, tag, quantity, level, begin=0.0):
    """Return when a rising quantity first reaches a level at or after `begin` [s]; degC or SI."""
    values = samples(result, tag, quantity)
    reached = (values >= level) & (result.times >= begin)
    assert reached.any(), f"{tag} {quantity} never reaches {level}"
    return result.times[np.argmax(reached)]


def mean_period(times, values):
    """Return the mean time between upward passages of the mean [s]."""
    above = values > values.mean()
    up = times[1:][above[1:] & ~above[:-1]]
    return (up[-1] - up[0]) / (len(up) - 1)


def period(result, tag, quantity, begin):
    """Return the mean period of a hunting quantity after `begin` [s]."""
    return mean_period(result.times[result.times >= begin], samples(result, tag, quantity, begin))


def deepest_fall(power, step):
    """Return what a battery must hold for this net power: the deepest fall of its sum from a peak [kWh]."""
    energy = np.cumsum(power) * step / 3.6e6
    return (np.maximum.accumulate(energy) - energy).max()


def battery_need(result, begin):
    """Return what a battery must hold after `begin` [kWh]."""
    return deepest_fall(samples(result, "SB-901", "balance", begin), result.times[1] - result.times[0])
