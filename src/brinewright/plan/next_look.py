"""Where to look next: the reading that tells the leading causes apart best for the trouble of taking it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.belief import Search
from brinewright.plan.cell import Standing
from brinewright.plan.diagnosis import Expected, Look
from brinewright.plan.observation import MODEL, NOISE, SWING

Floats = NDArray[np.float64]

EFFORTS: tuple[tuple[tuple[str, ...], float, str], ...] = (
    (
        ("signal", "position", "running", "closed", "powered", "live", "open", "threshold"),
        1.0,
        "its lamp or indicator",
    ),
    (("set",), 1.0, "its dial"),
    (("reading",), 1.0, "its display"),
    (("level",), 1.5, "the gauge glass"),
    (("charge", "voltage"), 1.5, "the meter on the panel"),
    (("pressure", "rise"), 1.5, "the gauge"),
    (("changes",), 3.0, "counting for ten minutes"),
    (("temperature",), 2.0, "a hand probe"),
    (
        ("power", "generated", "drawn", "balance", "imported", "short", "spilled", "asked"),
        3.0,
        "a power meter",
    ),
    (("flow", "inflow", "outflow", "return"), 5.0, "a clamp-on flow meter"),
)
"""How hard it is to read a quantity, by its last word, and with what; common practice, no source."""
OTHERWISE = (8.0, "a calculation from several readings")
MOMENTS = 16
GRID = 81
LOOKS = 3
COMPARED = 8
"""How many suspects a look is to tell apart."""
LEAST_GAIN = 0.02
"""A look that is worth less than this is not named [bit]."""


def effort_of(key: str) -> tuple[float, str]:
    """Return how hard it is to read a channel, and with what.

    >>> effort_of("TV-110.position")
    (1.0, 'its lamp or indicator')
    """
    last = key.partition(".")[2].split()[-1]
    for words, effort, how in EFFORTS:
        if last in words:
            return effort, how
    return OTHERWISE


def next_looks(
    search: Search, groups: Sequence[Sequence[Standing]], given: set[str], early: float
) -> tuple[Look, ...]:
    """Return the looks that are worth most for their effort, the best first.

    Parameters
    ----------
    search : with its library, for what each cause shows
    groups : the leading causes, each with those that can't be told from it so far
    given : channels that were read already
    early : how long before the end of the runs somebody looks [s]
    """
    every = [standing for group in groups for standing in group]
    members = sorted(every, key=lambda standing: -standing.belief)[:COMPARED]
    if len(members) < 2:
        return ()
    library = search.library
    keys = [key for key in library.keys if key not in given]
    columns = [library.columns[key] for key in keys]
    shown: list[Floats] = []
    for standing in members:
        cell = standing.best
        course = search.course(cell)
        if course is None or course.trouble is None:
            return ()
        times = cell.now - early + np.linspace(-SWING, SWING, MOMENTS)
        trace = course.trouble
        step = trace.times[1] - trace.times[0] if len(trace.times) > 1 else 1.0
        rows = np.clip(np.rint((times - trace.times[0]) / step).astype(int), 0, len(trace.times) - 1)
        shown.append(trace.values[np.ix_(rows, columns)].astype(np.float64))
    weights = np.array([standing.belief for standing in members])
    weights /= weights.sum()
    looks = []
    for place, key in enumerate(keys):
        unit = library.units[key]
        samples = np.array([values[:, place] for values in shown])
        if not np.isfinite(samples).all():
            continue
        width = _width(unit, samples)
        gain = information(samples, weights, width)
        if gain < LEAST_GAIN:
            continue
        effort, how = effort_of(key)
        expected = tuple(
            Expected(
                cause=standing.suspect.key,
                value=float(samples[row].mean()),
                spread=float(np.hypot(samples[row].std(), width)),
            )
            for row, standing in enumerate(members)
        )
        looks.append(Look(key=key, unit=unit, gain=gain, effort=effort, how=how, expected=expected))
    looks.sort(key=lambda look: (-look.gain / look.effort, look.key))
    return tuple(looks[:LOOKS])


def _width(unit: str, samples: Floats) -> float:
    size = float(np.abs(samples).max()) or 1.0
    noise = NOISE.get(unit, 0.03 * size)
    return float(np.hypot(noise, MODEL.get(unit, 0.02 * size)))


def information(samples: Floats, weights: Floats, width: float) -> float:
    """Return how much one reading tells about which row it comes from [bit].

    I = sum_r w_r integral p_r(y) log2(p_r(y) / p(y)) dy, with p_r the density of the samples of
    row r blurred by the standard error `width`.

    Parameters
    ----------
    samples : equally likely true values, a row for each cause
    weights : belief in each cause
    width : standard error of the reading

    Example
    -------
    >>> two = np.array([[0.0, 0.0], [1.0, 1.0]])
    >>> round(information(two, np.array([0.5, 0.5]), 0.02), 3)
    1.0
    """
    low, high = float(samples.min()) - 4.0 * width, float(samples.max()) + 4.0 * width
    count = int(np.clip((high - low) / width * 3.0, GRID, 2000))
    grid = np.linspace(low, high, count)
    step = grid[1] - grid[0]
    density = np.exp(-0.5 * ((grid[None, None, :] - samples[:, :, None]) / width) ** 2).mean(axis=1)
    density /= density.sum(axis=1, keepdims=True) * step
    whole = weights @ density
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = np.where(density > 1e-200, density * np.log2(density / whole), 0.0)
    return max(0.0, float(weights @ parts.sum(axis=1)) * float(step))
