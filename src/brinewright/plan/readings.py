"""Readings as people write them: "TK-101.temperature=31 degC", on a command line or in a table."""

import datetime
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import BrinewrightError, InputError, Problem, UnknownNameError
from brinewright.model.reading import DIFFERENCE_OF, quantity_of
from brinewright.units import parse

Floats = NDArray[np.float64]

FORM = 'Write TAG.quantity=value, such as "TK-101.temperature=31 degC +- 0.5 K @ 14:30 +- 10 min".'
MADE = {"made": 1.0, "on": 1.0, "yes": 1.0, "true": 1.0, "broken": 0.0, "off": 0.0, "no": 0.0, "false": 0.0}
"""Words for signals, running states and positions, beside the two positions of the kind itself."""
CLOCK_NOISE = 300.0
"""How well a stated moment is known if it is not said [s]."""
_HEADER = re.compile(r"^\s*(?P<name>[^\[(]+?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?\s*$")


@dataclass(frozen=True)
class Known:
    """A channel that can be read: its SI unit, and the words of its two positions."""

    unit: str
    words: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One value that was read, in SI, with the moment of the day if it is known.

    >>> Reading(key="TK-101.temperature", value=304.15).key
    'TK-101.temperature'
    """

    key: str
    value: float
    noise: float | None = None
    """Standard error [SI]; None: what is usual for such a reading."""
    clock: float | None = None
    """[s] after midnight; below 0 on the day before; None: when it was is not known"""
    clock_noise: float = CLOCK_NOISE
    text: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class Record:
    """A series of readings of one channel, in SI, at moments of the day [s]."""

    key: str
    clock: Floats
    values: Floats


def read_value(text: str, key: str, known: Mapping[str, Known]) -> float:
    """Return a value of a channel as text states it, in SI."""
    channel = known[key]
    word = text.strip().lower()
    words = {**MADE, **channel.words}
    if channel.unit == "1" and word in words:
        return words[word]
    quantity = quantity_of(key.partition(".")[2], channel.unit)
    try:
        return parse(text.strip(), quantity)
    except InputError as error:
        if channel.unit == "1":
            try:
                return float(word)
            except ValueError:
                pass
        problem = error.problems[0]
        raise InputError([Problem(f"{key}: {problem.message}", problem.advice)]) from None


def known_key(name: str, known: Mapping[str, Known]) -> str:
    """Return the channel of this name, which may be written with underscores.

    Raises
    ------
    UnknownNameError
        There is no such channel; the nearest are named.
    """
    plain = " ".join(name.replace("_", " ").split())
    if plain in known:
        return plain
    raise UnknownNameError(plain, known, "channel to read")


def parse_reading(text: str, known: Mapping[str, Known]) -> Reading:
    """Return a reading as text states it: channel, value, uncertainty, moment and its uncertainty."""
    name, equals, rest = text.partition("=")
    if not equals or not rest.strip():
        raise InputError([Problem(f'"{text[:60]}" is no reading.', FORM)])
    key = known_key(name, known)
    said, at, moment = rest.partition("@")
    value, _, noise = said.replace("±", "+-").partition("+-")
    quantity = quantity_of(key.partition(".")[2], known[key].unit)
    clock, clock_noise = None, CLOCK_NOISE
    if at:
        when, _, within = moment.replace("±", "+-").partition("+-")
        clock = parse_clock(when.strip())
        clock_noise = parse(within.strip(), "time") if within.strip() else CLOCK_NOISE
    return Reading(
        key=key,
        value=read_value(value, key, known),
        noise=parse(noise.strip(), DIFFERENCE_OF.get(quantity, quantity)) if noise.strip() else None,
        clock=clock,
        clock_noise=clock_noise,
        text=f"{key} = {value.strip()}",
    )


def parse_clock(text: str) -> float:
    """Return a time of day [s after midnight].

    >>> parse_clock("14:30")
    52200.0
    """
    try:
        return parse(text, "time of day")
    except InputError as error:
        raise InputError([Problem(f'"{text}" is no time of day.', 'Write it as "14:30".')]) from error


def read_table(path: Path, known: Mapping[str, Known]) -> tuple[list[Reading], list[Record]]:
    """Return what a table holds: readings, if it has few rows, else series.

    The first column is the time: a time of day, a date and time, or a number with its unit in
    the header ("time [min]").  Every other column is headed TAG.quantity and its unit.

    Raises
    ------
    InputError
        The file is no such table.
    """
    names, columns = _columns(path)
    if not names or not columns[0]:
        raise InputError(
            [Problem("The table is empty.", "Give it a time column and TAG.quantity columns.", str(path))]
        )
    try:
        clock = _clock(columns[0], names[0])
        records = []
        for name, column in zip(names[1:], columns[1:], strict=True):
            match = _HEADER.match(name)
            key = known_key(match["name"] if match else name, known)
            unit = (match["unit"] if match else "") or ""
            is_given = [text not in ("", "nan", "None") for text in column]
            values = np.array(
                [
                    _number(text, unit, key, known)
                    for text, given in zip(column, is_given, strict=True)
                    if given
                ]
            )
            records.append(Record(key=key, clock=clock[np.array(is_given)], values=values))
    except BrinewrightError as error:
        raise InputError([Problem(str(error), "", str(path))]) from None
    few = [record for record in records if 0 < len(record.values) < FEW]
    readings = [
        Reading(
            key=record.key,
            value=float(value),
            clock=float(time),
            clock_noise=60.0,
            text=f"{record.key} in {path.name}",
        )
        for record in few
        for time, value in zip(record.clock, record.values, strict=True)
    ]
    return readings, [record for record in records if len(record.values) >= FEW]


FEW = 8
"""A column with fewer values than this is taken as single readings."""


def _number(text: str, unit: str, key: str, known: Mapping[str, Known]) -> float:
    return read_value(f"{text} {unit}" if unit and unit != "1" else text, key, known)


def _columns(path: Path) -> tuple[list[str], list[list[str]]]:
    if path.suffix == ".parquet":
        import pyarrow.parquet as pq

        try:
            table = pq.read_table(path)
        except (OSError, ValueError) as error:
            raise InputError([Problem(f"It can't be read as Parquet: {error}.", "", str(path))]) from None
        names = [_with_unit(field) for field in table.schema]
        return names, [
            [str(value) for value in table.column(k).to_pylist()] for k in range(table.num_columns)
        ]
    import csv

    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            rows = [row for row in csv.reader(file) if any(cell.strip() for cell in row)]
    except UnicodeDecodeError:
        raise InputError([Problem("It is not UTF-8 text.", "Save it as UTF-8.", str(path))]) from None
    except OSError as error:
        raise InputError([Problem(f"It can't be read: {error.strerror}.", "", str(path))]) from None
    if not rows:
        return [], []
    width = len(rows[0])
    for number, row in enumerate(rows[1:], start=2):
        if len(row) != width:
            raise InputError(
                [Problem(f"It has {len(row)} cells; expected {width}.", "", str(path), number, 1)]
            )
    return [cell.strip() for cell in rows[0]], [[row[k].strip() for row in rows[1:]] for k in range(width)]


def _with_unit(field: Any) -> str:
    unit = (field.metadata or {}).get(b"unit", b"").decode()
    return f"{field.name} [{unit}]" if unit and "[" not in field.name else str(field.name)


def _clock(column: Sequence[str], name: str) -> Floats:
    """Return the moments of a time column [s after midnight of its last day]."""
    match = _HEADER.match(name)
    unit = (match["unit"] if match else "") or ""
    if unit:
        return np.array([parse(f"{text} {unit}", "time") for text in column])
    if re.fullmatch(r"[0-9.+eE-]+", column[0]):
        return np.array([float(text) for text in column])
    if re.fullmatch(r"\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?", column[0]):
        seconds = np.array([parse_clock(text) for text in column])
        days = np.cumsum(np.concatenate(([0.0], (np.diff(seconds) < 0.0).astype(float))))
        return np.asarray(seconds + 86400.0 * (days - days[-1]))
    try:
        moments = [datetime.datetime.fromisoformat(text) for text in column]
    except ValueError:
        raise InputError(
            f'"{column[0]}" in the column "{name}" is no time. Write "14:30" or "time [min]".'
        ) from None
    midnight = moments[-1].replace(hour=0, minute=0, second=0, microsecond=0)
    return np.array([(moment - midnight).total_seconds() for moment in moments])
