"""Samples on disk: one Parquet column for each channel, its unit in the field's metadata."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import InputError, Problem
from brinewright.results.channel import ChannelInfo

if TYPE_CHECKING:
    from brinewright.results.result import Result

ROWS_PER_GROUP = 3600
"""An hour of samples at one a second: what is read together lies together."""


def write_series(result: "Result", path: Path, about: dict[str, str]) -> None:
    """Write the times [s] as "time_s" and each channel under its key; `about` describes the whole."""
    import pyarrow
    from pyarrow import parquet

    fields = [pyarrow.field("time_s", pyarrow.float64(), metadata={"unit": "s"})]
    columns = [pyarrow.array(result.times)]
    for index, channel in enumerate(result.channels):
        column = pyarrow.array(np.ascontiguousarray(result.values[:, index]))
        named = {"unit": channel.unit, "tag": channel.tag, "quantity": channel.quantity}
        fields.append(pyarrow.field(channel.key, column.type, metadata=named))
        columns.append(column)
    table = pyarrow.Table.from_arrays(columns, schema=pyarrow.schema(fields, metadata=about))
    parquet.write_table(
        table,
        path,
        compression="zstd",
        use_dictionary=False,
        use_byte_stream_split=True,
        row_group_size=ROWS_PER_GROUP,
    )


def read_series(path: Path) -> tuple[tuple[ChannelInfo, ...], NDArray[np.float64], NDArray[np.floating[Any]]]:
    """Return channels, times [s] and values [n, channels] as they were written."""
    import pyarrow
    from pyarrow import parquet

    try:
        table = parquet.read_table(path)
        channels = tuple(_channel(field) for field in list(table.schema)[1:])
    except (OSError, pyarrow.ArrowInvalid, KeyError, TypeError) as error:
        raise InputError([Problem("The series are missing or damaged.", file=str(path))]) from error
    times = table.column(0).to_numpy()
    columns = [column.to_numpy() for column in table.columns[1:]]
    return channels, times, np.column_stack(columns) if columns else np.empty((len(times), 0))


def _channel(field: Any) -> ChannelInfo:
    tag, quantity, unit = (field.metadata[key].decode() for key in (b"tag", b"quantity", b"unit"))
    return ChannelInfo(tag, quantity, unit)
