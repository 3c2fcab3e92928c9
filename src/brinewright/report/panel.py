"""Which channels belong in one frame, told by what a part records and not by what it is."""

from dataclasses import dataclass

import numpy as np

from brinewright.report.colour import INKS
from brinewright.results import Result, Series
from brinewright.results.series import units_for

SHOWN_IN = {"K": "degC", "Pa": "bar abs", "W": "kW", "J": "kWh"}
"""Units that people read, by the SI unit that is recorded."""

WRITTEN = {"degC": "°C", "bar abs": "bar (abs)", "1": ""}
"""Units as they stand at an axis, where that differs from the name."""

MOST = 3 * len(INKS)
"""Curves of one panel; of more, those that vary most are drawn."""


@dataclass(frozen=True)
class Pick:
    """A quantity, drawn of each part that records one of `beside` too, and none of `without`."""

    quantity: str
    beside: tuple[str, ...] = ()
    without: tuple[str, ...] = ()

    def of(self, result: Result) -> list[Series]:
        """Return these series of a result, in the units they are recorded in."""
        return [
            result[tag][self.quantity]
            for tag, columns in result.columns.items()
            if self.quantity in columns
            and (not self.beside or any(name in columns for name in self.beside))
            and not any(name in columns for name in self.without)
        ]


@dataclass(frozen=True)
class Panel:
    """One frame of curves in one unit; panels of the same `figure` stand above each other."""

    figure: str
    title: str
    picks: tuple[Pick, ...]
    unit: str = ""
    """Unit to show; empty: the one that people read."""
    is_stepped: bool = False

    def series(self, result: Result) -> list[Series]:
        """Return what this panel shows of a result, in the unit it shows."""
        found = [series for pick in self.picks for series in pick.of(result)]
        return [series.to(self.unit) if self.unit else as_read(series) for series in found]


COOLED = Pick("temperature", ("cooling", "gains", "heat"), ("steam out", "level", "reject"))
TANKS = Pick("level", (), ("steam out",))
VESSELS = Pick("temperature", ("steam out",))
CHILLED = Pick("cooling", ("reject", "performance"))

PANELS = (
    Panel("temperatures", "Temperature of what is cooled", (COOLED,)),
    Panel(
        "temperatures",
        "Temperature of tanks",
        (Pick("temperature", ("level",), ("steam out",)),),
    ),
    Panel("levels", "Level of tanks", (TANKS,), unit="%"),
    Panel("vessel", "Temperature of the steam vessel", (VESSELS,)),
    Panel("vessel", "Pressure of the steam vessel", (Pick("pressure", ("steam out",)),)),
    Panel("vessel", "Level of the steam vessel", (Pick("level", ("steam out",)),), unit="%"),
    Panel(
        "power",
        "Power of the bus",
        (Pick("generated", ("drawn",)), Pick("drawn", ("generated",)), Pick("short", ("drawn",))),
    ),
    Panel("power", "Power made by each turbine", (Pick("generated", ("steam flow",)),)),
    Panel("power", "Power drawn by each machine", (Pick("power", ("running",)),)),
    Panel("power", "Energy in the battery", (Pick("energy", ("charge",)),)),
    Panel("duty", "Heat taken by each chiller", (CHILLED, Pick("duty"))),
    Panel(
        "duty",
        "Heat given to the coolant",
        (Pick("cooling", (), ("reject", "performance")), Pick("heat", ("hot flow",))),
    ),
    Panel("metal", "Temperature of metal", (Pick("metal temperature"), Pick("shell temperature"))),
    Panel("passes", "Passes that the liquid made through the chillers", (Pick("passes"),), is_stepped=True),
)
"""Every frame, in the order in which they stand."""

FIGURES = tuple(dict.fromkeys(panel.figure for panel in PANELS))
"""Names of the figures that are made of panels."""


def as_read(series: Series) -> Series:
    """Return the series in the unit that people read, where it has one."""
    unit = SHOWN_IN.get(series.unit, series.unit)
    return series.to(unit) if unit in units_for(series.unit, series.quantity) else series


def by_unit(result: Result) -> list[list[Series]]:
    """Return every channel, those of one unit together: for a choice of channels that fits no panel."""
    groups: dict[str, list[Series]] = {}
    for index in range(len(result.channels)):
        series = as_read(result.column(index))
        groups.setdefault(series.unit, []).append(series)
    return list(groups.values())


@dataclass(frozen=True)
class Frame:
    """Series of one unit that are drawn over each other."""

    title: str
    group: tuple[Series, ...]
    is_stepped: bool = False


def frames(result: Result, figure: str) -> list[Frame]:
    """Return the frames of a figure that this result has channels for."""
    if figure == "channels":
        return [frame for group in by_unit(result) for frame in divided("Recorded channels", group)]
    return [
        frame
        for panel in PANELS
        if panel.figure == figure
        for frame in divided(panel.title, panel.series(result), is_stepped=panel.is_stepped)
    ]


def divided(title: str, group: list[Series], *, is_stepped: bool = False) -> list[Frame]:
    """Return as many frames as the inks need, alike values together; of very many, what varies most."""
    group = [series for series in group if np.isfinite(series.values).any()]
    if len(group) > len(INKS):  # what is nothing all the time tells nothing where there is much to show
        group = [series for series in group if series.min != 0.0 or series.max != 0.0] or group[:1]
    if len(group) > MOST:
        title = f"{title}: the {MOST} of {len(group)} that vary most"
        group = sorted(group, key=lambda series: series.min - series.max)[:MOST]
    if len(group) > len(INKS):
        group = sorted(group, key=lambda series: -series.mean)
    parts = -(-len(group) // len(INKS))
    size = -(-len(group) // max(parts, 1))
    return [
        Frame(
            f"{title} ({part + 1} of {parts})" if parts > 1 else title,
            tuple(group[part * size : (part + 1) * size]),
            is_stepped,
        )
        for part in range(parts)
    ]
