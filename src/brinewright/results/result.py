"""The result of a run: frozen, named, with units."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import UnknownNameError
from brinewright.results import frames
from brinewright.results.channel import ChannelInfo
from brinewright.results.event import Event
from brinewright.results.outcome import Outcome
from brinewright.results.part import ResultPart
from brinewright.results.series import Series
from brinewright.results.statistics import Statistics
from brinewright.results.summary import summary

if TYPE_CHECKING:
    import pandas
    import xarray
    from matplotlib.figure import Figure

NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, eq=False, kw_only=True)
class Result:
    """Everything that is known of one run of a loop.

    `values` holds one row for each entry of `times` [s] and one column for each channel, in
    the channel's SI unit; `statistics` is taken over every tick of the run.  `power` holds
    energies [kWh] and `audits` the two audits: `heat_unaccounted_kW`, and `second_law` by tag.
    `provenance` names versions, settings and the digests of the inputs; what it holds under
    `wall_clock` may differ from one run to the next, all else may not.
    """

    name: str
    world: str
    """"stylised" or "real"."""
    outcome: Outcome
    simulated_s: float
    wall_s: float
    times: NDArray[np.float64]
    values: NDArray[np.floating[Any]]
    channels: tuple[ChannelInfo, ...]
    statistics: Statistics
    events: tuple[Event, ...] = ()
    switch_changes: Mapping[str, int] = field(default_factory=lambda: NOTHING)
    energy_residual: float = 0.0
    mass_residual: float = 0.0
    electric_residual: float = 0.0
    power: Mapping[str, float] = field(default_factory=lambda: NOTHING)
    audits: Mapping[str, Any] = field(default_factory=lambda: NOTHING)
    provenance: Mapping[str, Any] = field(default_factory=lambda: NOTHING)

    @cached_property
    def columns(self) -> Mapping[str, Mapping[str, int]]:
        """Return the column of each quantity, by tag and then by quantity."""
        columns: dict[str, dict[str, int]] = {}
        for index, channel in enumerate(self.channels):
            columns.setdefault(channel.tag, {})[channel.quantity] = index
        return columns

    def __repr__(self) -> str:
        return (
            f"<Result of {self.name}: {self.simulated_s / 3600.0:g} h, {self.outcome.name}, "
            f"{len(self.times)} samples of {len(self.channels)} channels>"
        )

    @property
    def tags(self) -> tuple[str, ...]:
        """Return the tags that have channels, in the order of the channels."""
        return tuple(self.columns)

    def __getitem__(self, tag: str) -> ResultPart:
        if tag not in self.columns:
            raise UnknownNameError(tag, self.columns, "part with recorded channels")
        return ResultPart(self, tag)

    def __contains__(self, tag: object) -> bool:
        return tag in self.columns

    def __iter__(self) -> Iterator[str]:
        return iter(self.columns)

    def column(self, index: int) -> Series:
        """Return the series of the channel at this index, in the channel's unit."""
        channel = self.channels[index]
        return Series(
            tag=channel.tag,
            quantity=channel.quantity,
            unit=channel.unit,
            times=self.times,
            values=self.values[:, index],
            **self.statistics.row(index),
        )

    def summary(self) -> dict[str, Any]:
        """Return the whole run in short, ready for JSON, as `run --json` prints it."""
        return summary(self)

    def to_pandas(self) -> "pandas.DataFrame":
        """Return a table with one column for each channel, indexed by time [s]; units in `attrs`."""
        return frames.to_pandas(self)

    def to_xarray(self) -> "xarray.Dataset":
        """Return a dataset over time [s] with one variable for each channel; its unit in `attrs`."""
        return frames.to_xarray(self)

    def plot(self, kind: str = "overview") -> "Figure":
        """Return the figure of this kind, such as "overview", "temperatures" or "power"."""
        # Drawing is the business of a room above this one, so it is asked for by name.
        figure: Figure = import_module("brinewright.report").draw(self, kind)
        return figure
