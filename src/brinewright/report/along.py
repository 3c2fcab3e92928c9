"""Temperatures along the loop: how cold, how warm and how on average the liquid was at each place."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from brinewright.report.colour import temperature_colour
from brinewright.report.frame import PALE, TEXT
from brinewright.results import Result

STATIONS = 22
"""Places that stand side by side in one frame."""

SLICES = 32
"""Slices that a bar is coloured in."""


@dataclass(frozen=True)
class Station:
    """A place that liquid flows through, with the temperature it leaves at [degC]."""

    tag: str
    coldest: float
    mean: float
    warmest: float


def stations(result: Result) -> list[Station]:
    """Return the places along the loop in the order of the result's channels."""
    found = []
    for tag, columns in result.columns.items():
        flows = "flow" in columns or "outflow" in columns
        quantity = next((name for name in ("outlet temperature", "temperature") if name in columns), None)
        if flows and quantity is not None and "steam out" not in columns:
            series = result[tag][quantity].to("degC")
            found.append(Station(tag, series.min, series.mean, series.max))
    return found


def draw_along(axes: Any, group: Sequence[Station], coldest: float, warmest: float, places: int) -> None:
    """Draw one bar for each place; its colours run over the range of the whole loop [degC]."""
    span = max(warmest - coldest, 1.0)
    colour_bars(axes, group, coldest, span)
    for place, station in enumerate(group):
        axes.plot([place - 0.36, place + 0.36], [station.mean] * 2, color="#000000", linewidth=1.6)
        for value, above in ((station.warmest, 3), (station.coldest, -3)):
            axes.annotate(
                f"{value:.1f}",
                xy=(place, value),
                xytext=(0, above),
                textcoords="offset points",
                ha="center",
                va="bottom" if above > 0 else "top",
                fontsize=6.5,
            )
    axes.set_title(
        "Temperature along the loop, °C: bar from coldest to warmest, line at the mean",
        loc="left",
        fontsize=9.5,
        color=TEXT,
        pad=7,
    )
    axes.set_xticks(
        range(len(group)), [station.tag for station in group], rotation=60, ha="right", rotation_mode="anchor"
    )
    axes.set_xlim(-0.8, places - 0.2)
    axes.set_ylim(coldest - 0.12 * span, warmest + 0.12 * span)
    axes.grid(visible=True, axis="y", color=PALE, linewidth=0.5)
    axes.set_axisbelow(True)
    axes.tick_params(labelsize=8)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def colour_bars(axes: Any, group: Sequence[Station], coldest: float, span: float) -> None:
    """Fill each bar slice by slice with the colour of its temperature, `coldest` to `coldest + span`."""
    from matplotlib.collections import PolyCollection

    slices, colours, outlines = [], [], []
    for place, station in enumerate(group):
        left, right = place - 0.25, place + 0.25
        marks = np.linspace(station.coldest, station.warmest, SLICES + 1)
        for low, high in pairwise(marks):
            slices.append([(left, low), (right, low), (right, high), (left, high)])
            colours.append(temperature_colour(((low + high) / 2 - coldest) / span))
        outlines.append([(left, marks[0]), (right, marks[0]), (right, marks[-1]), (left, marks[-1])])
    axes.add_collection(PolyCollection(slices, facecolors=colours, edgecolors=colours, linewidths=0.2))
    axes.add_collection(PolyCollection(outlines, facecolors="none", edgecolors="#333333", linewidths=0.6))
