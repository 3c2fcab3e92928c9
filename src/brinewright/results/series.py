"""One recorded quantity over time, with its unit."""

from dataclasses import dataclass, replace
from importlib import import_module
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import UnknownNameError
from brinewright.results import frames
from brinewright.units import QUANTITIES, Unit

if TYPE_CHECKING:
    import pandas
    from matplotlib.figure import Figure


@dataclass(frozen=True, eq=False, kw_only=True)
class Series:
    """Samples of one quantity of one part, in `unit`, at `times` [s].

    The five numbers are taken over every tick of the run, so `max` may lie above every sample.
    """

    tag: str
    quantity: str
    unit: str
    times: NDArray[np.float64]
    values: NDArray[np.floating[Any]]
    first: float
    min: float
    mean: float
    max: float
    last: float

    @property
    def key(self) -> str:
        """Return the name of its column in tables: tag, dot, quantity."""
        return f"{self.tag}.{self.quantity}"

    def __len__(self) -> int:
        return len(self.times)

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> NDArray[Any]:
        return np.array(self.values, dtype=dtype, copy=copy)

    def __repr__(self) -> str:
        return (
            f"<{self.key}: {len(self)} samples, {self.min:.6g} to {self.max:.6g}, "
            f"mean {self.mean:.6g}, last {self.last:.6g} {self.unit}>"
        )

    def to(self, unit: str) -> "Series":
        """Return the same series in another unit of its dimension, such as "degC", "bar abs" or "kW".

        Raises
        ------
        UnknownNameError
            The unit does not fit the quantity; the nearest that do are named.
        """
        if unit == self.unit:
            return self
        accepted = units_for(self.unit, self.quantity)
        if unit not in accepted:
            raise UnknownNameError(unit, accepted, f"unit for {self.key} [{self.unit}]")
        factor, offset = float(accepted[unit].factor), float(accepted[unit].offset)
        numbers = {
            name: (getattr(self, name) - offset) / factor for name in ("first", "min", "mean", "max", "last")
        }
        values = (np.asarray(self.values, dtype=np.float64) - offset) / factor
        return replace(self, unit=unit, values=values, **numbers)

    def to_pandas(self) -> "pandas.Series[float]":
        """Return the samples indexed by time [s]; the unit stands in `attrs`."""
        return frames.series_to_pandas(self)

    def plot(self) -> "Figure":
        """Return a figure of this series over time [h]."""
        # Drawing is the business of a room above this one, so it is asked for by name.
        figure: Figure = import_module("brinewright.report").draw_series(self)
        return figure


def units_for(unit: str, quantity: str) -> dict[str, Unit]:
    """Return the units that a value in this SI unit can be turned into, by name.

    A quantity that is a difference has no zero to be shifted, so "degC" does not fit it.
    """
    symbol = "" if unit == "1" else unit
    is_difference = any(word in quantity for word in ("difference", "loss", "drop", "rise", "margin"))
    return {
        name: spelled
        for dimension in QUANTITIES.values()
        if dimension.unit in (symbol, f"{symbol} abs")
        for name, spelled in dimension.units.items()
        if name and not spelled.gauge and not (is_difference and (spelled.offset or name.endswith(" abs")))
    }
