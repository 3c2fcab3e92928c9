"""One frame of curves: lines, their names at their right ends, units at the axis, time in hours."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.report.colour import INKS
from brinewright.report.panel import WRITTEN, Frame
from brinewright.report.samples import banded, is_dense, thinned
from brinewright.results import Series

Array = NDArray[np.float64]

SWINGS_PER_INCH = 12.0
"""Full swings of a line to and fro that can be followed by eye on an inch of paper."""

HOUR_STEPS = (0.05, 0.1, 0.25, 0.5, 1, 2, 3, 4, 6, 12, 24, 48, 72, 168, 336, 720, 1440)
"""Distances of marks on the time axis [h]."""

TEXT, GREY, PALE = "#222222", "#5a5a5a", "#d9d9d9"

STYLE: dict[Any, Any] = {
    "font.family": "DejaVu Sans",
    "font.size": 8.5,
    "axes.linewidth": 0.7,
    "axes.edgecolor": GREY,
    "axes.labelcolor": TEXT,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": TEXT,
    "ytick.labelcolor": TEXT,
    "xtick.major.width": 0.7,
    "ytick.major.width": 0.7,
    "axes.unicode_minus": True,
    "svg.hashsalt": "brinewright",
    "svg.fonttype": "path",
    "path.simplify": False,
}
"""Settings under which every figure is drawn and written."""


def draw_frame(axes: Any, frame: Frame, *, letters: int = 24) -> None:
    """Draw the curves of a frame with the names at their ends, each cut to so many letters."""
    group = frame.group
    swings = SWINGS_PER_INCH * axes.get_position().width * axes.figure.get_figwidth()
    ends, is_banded = [], False
    for series, ink in zip(group, INKS, strict=False):
        hours, values = series.times / 3600.0, np.asarray(series.values, dtype=np.float64)
        style = {"color": ink.colour, "linewidth": 1.3, "linestyle": (0, ink.dash) if ink.dash else "solid"}
        if is_dense(values, swings):
            is_banded = True
            hours, least, values, greatest = banded(hours, values, round(swings))
            axes.fill_between(hours, least, greatest, color=ink.colour, alpha=0.2, linewidth=0)
        else:
            hours, values = thinned(hours, values)
            style["drawstyle"] = "steps-post" if frame.is_stepped else "default"
        axes.plot(hours, values, **style)
        ends.append(last_number(values))
    unit = WRITTEN.get(group[0].unit, group[0].unit)
    title = (f"{frame.title}, {unit}" if unit else frame.title) + (": mean and range" if is_banded else "")
    axes.set_title(title, loc="left", fontsize=9.5, color=TEXT, pad=7)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.grid(visible=True, color=PALE, linewidth=0.5)
    axes.set_axisbelow(True)
    axes.margins(x=0.0, y=0.08)
    axes.yaxis.get_major_locator().set_params(
        nbins=6, min_n_ticks=1 if frame.is_stepped else 3, integer=frame.is_stepped
    )
    keep_open(axes, group)
    time_axis(axes, group[0].times / 3600.0)
    name_curves(axes, ends, [cut(name, letters) for name in curve_names(group)])


def keep_open(axes: Any, group: Sequence[Series]) -> None:
    """Keep the frame of a constant from zooming into rounding, and that of a share within 0 to 1."""
    low, high = axes.get_ylim()
    least = 0.02 * max(abs(low), abs(high), 1e-9)
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least, middle + least
    if group[0].unit == "%":
        low, high = max(low, -2.0), min(high, 102.0)
    axes.set_ylim(low, high)


def time_axis(axes: Any, hours: Array) -> None:
    """Set marks at whole steps of hours, at most about twelve."""
    first, last = (float(hours[0]), float(hours[-1])) if len(hours) else (0.0, 1.0)
    span = max(last - first, 1e-3)
    step = next((step for step in HOUR_STEPS if span / step <= 12.5), span / 10)
    axes.set_xlim(first, first + span)
    marks = np.arange(np.ceil(first / step - 1e-9), np.floor((first + span) / step + 1e-9) + 1) * step + 0.0
    labels = [f"{mark:g}" for mark in marks]
    axes.set_xticks(marks, [*labels[:-1], f"{labels[-1]} h"])
    axes.tick_params(labelsize=8)


def name_curves(axes: Any, ends: Sequence[float], names: Sequence[str]) -> None:
    """Write each name at the right end of its curve, moved apart where curves end close together.

    A piece of the curve's own line leads to the name, so no legend is needed.
    """
    low, high = axes.get_ylim()
    box = axes.get_position()
    wide, tall = box.width * axes.figure.get_figwidth() * 72, box.height * axes.figure.get_figheight() * 72
    shares = [(end - low) / (high - low) for end in ends]
    placed = spread([share * tall for share in shares], gap=11.0, low=2.0, high=tall - 2.0)
    for name, ink, share, place in zip(names, INKS, shares, placed, strict=False):
        axes.plot(
            [1.0 + 2.0 / wide, 1.0 + 20.0 / wide],
            [share, place / tall],
            transform=axes.transAxes,
            clip_on=False,
            color=ink.colour,
            linewidth=1.3,
            linestyle=(0, ink.dash) if ink.dash else "solid",
        )
        axes.text(
            1.0 + 23.0 / wide,
            place / tall,
            name,
            transform=axes.transAxes,
            fontsize=8,
            color=TEXT,
            va="center_baseline",
            ha="left",
        )


def last_number(values: Array) -> float:
    """Return the last value that is a number; 0 if none is."""
    numbers = values[np.isfinite(values)]
    return float(numbers[-1]) if len(numbers) else 0.0


def spread(wanted: Sequence[float], *, gap: float, low: float, high: float) -> list[float]:
    """Return places at least `gap` apart, within `low` to `high` where they fit, near the wanted ones.

    >>> spread([10.0, 10.0, 40.0], gap=10.0, low=0.0, high=100.0)
    [5.0, 15.0, 40.0]
    """
    order = sorted(range(len(wanted)), key=lambda index: (wanted[index], index))
    blocks: list[tuple[float, list[int]]] = []
    for index in order:
        centre, members = wanted[index], [index]
        while blocks and blocks[-1][0] + gap * (len(blocks[-1][1]) + len(members)) / 2 > centre:
            _, before = blocks.pop()
            members = before + members
            centre = _centre(members, wanted, gap, low, high)
        blocks.append((_within(centre, gap * (len(members) - 1) / 2, low, high), members))
    placed = [0.0] * len(wanted)
    for centre, members in blocks:
        for rank, index in enumerate(members):
            placed[index] = centre + gap * (rank - (len(members) - 1) / 2)
    return placed


def _centre(members: Sequence[int], wanted: Sequence[float], gap: float, low: float, high: float) -> float:
    mean = sum(wanted[index] for index in members) / len(members)
    return _within(mean, gap * (len(members) - 1) / 2, low, high)


def _within(centre: float, half: float, low: float, high: float) -> float:
    return max(min(centre, high - half), low + half)


def curve_names(group: Sequence[Series]) -> list[str]:
    """Return the shortest names that tell the curves apart: tag, quantity, or both."""
    if len({series.quantity for series in group}) == 1:
        return [series.tag for series in group]
    if len({series.tag for series in group}) == 1:
        return [series.quantity for series in group]
    return [f"{series.tag} {series.quantity}" for series in group]


def cut(text: str, length: int) -> str:
    """Return the text, or its beginning with an ellipsis if it is longer than `length`.

    >>> cut("TK-101", 10), cut("TK-101 outlet", 10)
    ('TK-101', 'TK-101 ou…')
    """
    return text if len(text) <= length else text[: length - 1] + "…"
