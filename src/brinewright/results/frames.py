"""Results as tables of the libraries people analyse with; loaded only when asked for."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from brinewright.errors import RunError

if TYPE_CHECKING:
    import pandas
    import xarray

    from brinewright.results.result import Result
    from brinewright.results.series import Series


def to_pandas(result: "Result") -> "pandas.DataFrame":
    """Return a table with columns such as "TK-101.temperature", indexed by "time_s"."""
    names = [channel.key for channel in result.channels]
    table = _library("pandas").DataFrame(result.values, columns=names, index=_index(result.times))
    table.attrs["units"] = {channel.key: channel.unit for channel in result.channels}
    return table


def series_to_pandas(series: "Series") -> "pandas.Series[float]":
    """Return one column indexed by "time_s"; the unit stands in `attrs`."""
    column = _library("pandas").Series(series.values, index=_index(series.times), name=series.key)
    column.attrs["unit"] = series.unit
    return column


def to_xarray(result: "Result") -> "xarray.Dataset":
    """Return a dataset over "time_s" with one variable for each channel."""
    columns = {
        channel.key: (
            "time_s",
            result.values[:, index],
            {"units": channel.unit, "tag": channel.tag, "quantity": channel.quantity},
        )
        for index, channel in enumerate(result.channels)
    }
    times = ("time_s", result.times, {"units": "s"})
    attrs = {"name": result.name, "world": result.world, "outcome": result.outcome.name}
    dataset: xarray.Dataset = _library("xarray").Dataset(columns, coords={"time_s": times}, attrs=attrs)
    return dataset


def _index(times: Any) -> Any:
    return _library("pandas").Index(times, name="time_s")


def _library(name: str) -> Any:
    try:
        return import_module(name)
    except ModuleNotFoundError as missing:
        raise RunError(
            f"{name} is not installed. Install it with: pip install 'brinewright[notebook]'"
        ) from missing
