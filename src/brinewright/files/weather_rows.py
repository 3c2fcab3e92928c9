"""The rows of an hourly weather file in the open EPW and TMY3 (CSV) forms."""

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from typing import NamedTuple

import numpy as np

from brinewright.errors import InputError, Problem
from brinewright.files.weather_rules import ICE, Hours

LARGEST_FILE = 16 * 1024 * 1024  # bytes; a year of either form has less than 2 million
LONGEST_GAP = 6  # missing hours in a row that a straight line may bridge
MOST_PROBLEMS = 20  # told at once
YEARS = (8760, 8784)  # hours of a common and of a leap year
MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
EPW_FIELDS = (32, 35)  # least and most in a row; files made before 2004 lack the last three
TMY_MISSING = -9900.0


class Channel(NamedTuple):
    """One column that is read: where it stands, how it becomes SI, what is believable."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    missing: float
    epw_field: int
    tmy_title: str
    offset: float = 0.0
    scale: float = 1.0


# Missing-value codes and ranges of EPW; TMY3 marks what is missing by -9900.
CHANNELS = (
    Channel("temperature", "dry-bulb temperature", "degC", -90, 70, 99.9, 6, "Dry-bulb (C)", ICE),
    Channel("dew_point", "dew point", "degC", -95, 70, 99.9, 7, "Dew-point (C)", ICE),
    Channel("humidity", "relative humidity", "%", 0, 110, 999, 8, "RHum (%)", 0.0, 0.01),
    Channel("pressure", "pressure", "Pa", 31e3, 120e3, 999999, 9, "Pressure (mbar)"),
    Channel("global_irradiance", "global irradiance", "W/m2", 0, 1600, 9999, 13, "GHI (W/m^2)"),
    Channel("direct_irradiance", "direct normal irradiance", "W/m2", 0, 1500, 9999, 14, "DNI (W/m^2)"),
    Channel("diffuse_irradiance", "diffuse irradiance", "W/m2", 0, 1200, 9999, 15, "DHI (W/m^2)"),
    Channel("wind_speed", "wind speed", "m/s", 0, 60, 999, 21, "Wspd (m/s)"),
    Channel("longwave", "longwave irradiance of the sky", "W/m2", 50, 700, 9999, 12, ""),
    Channel("cover", "opaque sky cover", "tenths", 0, 10, 99, 23, "OpqCld (tenths)"),
)
NEEDED = ("temperature", "global_irradiance", "direct_irradiance", "diffuse_irradiance", "wind_speed")


@dataclass(frozen=True)
class Rows:
    """What a file says: its place, and its channels in SI, NaN where all hours are missing."""

    name: str
    latitude: float
    longitude: float
    utc_offset: float
    elevation: float
    values: dict[str, Hours]
    bridged: dict[str, int]


def read_rows(path: Path) -> Rows:
    """Return the rows of an EPW or TMY3 file; see `brinewright.files.weather.read_weather`."""
    lines = _lines_of(path)
    reader = _read_epw if lines[0].upper().startswith("LOCATION,") else _read_tmy
    return reader(lines, _Problems(path.name))


class _Problems:
    """Everything that is wrong with a file, until it is too much."""

    def __init__(self, file: str) -> None:
        self.file, self.found = file, list[Problem]()

    def add(self, line: int, column: int, message: str, advice: str = "") -> None:
        self.found.append(Problem(message, advice, self.file, line, column))
        if len(self.found) >= MOST_PROBLEMS:
            self.stop()

    def stop(self) -> None:
        if self.found:
            raise InputError(self.found)


def _lines_of(path: Path) -> list[str]:
    """Return the lines of a text file; one that is too large or not text is refused."""
    try:
        if path.exists() and not path.is_file():
            raise InputError([Problem("This is not a file.", "Name an EPW or TMY3 file.", str(path))])
        if path.stat().st_size > LARGEST_FILE:
            message = f"The file has more than {LARGEST_FILE} bytes."
            raise InputError([Problem(message, "Give one year of hourly weather.", path.name, 1, 1)])
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        reason = error.strerror if isinstance(error, OSError) else "its name is none"
        raise InputError([Problem(f"The weather file can't be read: {reason}.", "", str(path))]) from None
    if b"\0" in content or not content.strip():
        message = "This is not a text file." if content.strip() else "The file is empty."
        raise InputError([Problem(message, 'An EPW file begins with "LOCATION,".', path.name, 1, 1)])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")  # names of places in older files
    lines = [line.rstrip("\r") for line in text.split("\n")]
    while not lines[-1].strip():
        lines.pop()
    return lines


def _number(text: str) -> float | None:
    """Return the finite number that `text` is, or None."""
    try:
        value = float(text) if "_" not in text else float("nan")
    except ValueError:
        return None
    return value if isfinite(value) else None


def _place(fields: list[str], index: int) -> int:
    """Return the column at which a field of a comma-separated line begins."""
    return sum(len(text) + 1 for text in fields[:index]) + 1


def _site(fields: list[str], indices: tuple[int, int, int, int], problems: _Problems) -> list[float]:
    """Return latitude, longitude, offset and elevation of a header."""
    wanted = (
        ("latitude", 90.0, "deg"),
        ("longitude", 180.0, "deg"),
        ("time zone", 14.0, "h"),
        ("elevation", 9999.9, "m"),
    )
    found = []
    for index, (label, limit, unit) in zip(indices, wanted, strict=True):
        text = fields[index].strip() if index < len(fields) else ""
        value = _number(text)
        if value is None or abs(value) > limit:
            problems.add(
                1,
                _place(fields, index),
                f'The {label} of the place is "{text}".',
                f"Expected a number between {-limit:g} and {limit:g} {unit}.",
            )
        found.append(value or 0.0)
    return found


def _calendar(hours: int) -> Iterator[tuple[int, int, int]]:
    """Yield month, day and hour (1 to 24) of every row of a year."""
    for month, days in enumerate(MONTHS, start=1):
        for day in range(1, days + 1 + (month == 2 and hours == YEARS[1])):
            for hour in range(1, 25):
                yield month, day, hour


def _check_calendar(stamps: list[tuple[int, int, int]], first: int, problems: _Problems) -> None:
    """Refuse a year that is too short, too long, or has an hour out of place."""
    if len(stamps) not in YEARS:
        problems.add(
            first + len(stamps) - 1,
            1,
            f"The file has {len(stamps)} hours.",
            "Expected a whole year: 8760 hours, or 8784 in a leap year.",
        )
        return
    for number, (stamp, wanted) in enumerate(zip(stamps, _calendar(len(stamps)), strict=True)):
        if stamp != wanted:
            told = [f"month {month}, day {day}, hour {hour}" for month, day, hour in (stamp, wanted)]
            problems.add(first + number, 1, f"This row is for {told[0]}.", f"Expected {told[1]}.")
            return


def _values(
    lines: list[str],
    first: int,
    indices: dict[str, int],
    least: int,
    most: int,
    stamp_of: Callable[[list[str]], tuple[int, int, int]],
    is_tmy: bool,
    problems: _Problems,
) -> dict[str, Hours]:
    """Return the channels of all rows as they stand in the file, NaN where marked missing."""
    rows = lines[first - 1 :]
    table = np.full((len(CHANNELS), len(rows)), np.nan)
    stamps = []
    for row, line in enumerate(rows):
        fields = line.split(",")
        number = first + row
        if not least <= len(fields) <= most:
            wanted = f"{least}" if least == most else f"{least} to {most}"
            problems.add(number, len(line) + 1, f"The row has {len(fields)} fields.", f"Expected {wanted}.")
            stamps.append((0, 0, 0))
            continue
        try:
            stamps.append(stamp_of(fields))
        except ValueError:
            problems.add(number, 1, f'The date "{",".join(fields[:2])}" is none.', "Expected numbers.")
            stamps.append((0, 0, 0))
        for entry, channel in enumerate(CHANNELS):
            if channel.name not in indices:
                continue
            index = indices[channel.name]
            value = _number(fields[index])
            if value is not None and (value <= TMY_MISSING if is_tmy else value >= channel.missing):
                continue
            if value is not None and is_tmy and channel.name == "pressure":
                value *= 100.0  # mbar
            if value is None or not channel.low <= value <= channel.high:
                problems.add(
                    number,
                    _place(fields, index),
                    f'The {channel.label} is "{fields[index].strip()}".',
                    f"Expected a number between {channel.low:g} and {channel.high:g} {channel.unit}.",
                )
                continue
            table[entry, row] = value * channel.scale + channel.offset
    problems.stop()
    _check_calendar(stamps, first, problems)
    problems.stop()
    return {channel.name: table[entry] for entry, channel in enumerate(CHANNELS)}


def _bridge(values: dict[str, Hours], first: int, problems: _Problems) -> dict[str, int]:
    """Fill short gaps by straight lines, in place; say how many hours, by channel."""
    bridged = {}
    for channel in CHANNELS:
        series = values[channel.name]
        gone = np.isnan(series)
        if not gone.any() or gone.all():
            continue
        known = np.flatnonzero(~gone)
        gaps = np.diff(np.append(known, known[0] + len(series))) - 1
        worst = int(np.argmax(gaps))
        if gaps[worst] > LONGEST_GAP:
            line = first + (int(known[worst]) + 1) % len(series)
            problems.add(
                line,
                1,
                f"The {channel.label} is missing for {gaps[worst]} hours from here.",
                f"At most {LONGEST_GAP} hours in a row can be bridged: fill the gap.",
            )
            continue
        series[gone] = np.interp(np.flatnonzero(gone), known, series[known], period=len(series))
        bridged[channel.name] = int(gone.sum())
    problems.stop()
    return bridged


def _rows(name: str, site: list[float], values: dict[str, Hours], first: int, problems: _Problems) -> Rows:
    """Return the rows of a file whose every field is sound."""
    bridged = _bridge(values, first, problems)
    empty = {name for name, series in values.items() if np.isnan(series).all()}
    for channel in CHANNELS:
        is_needed = channel.name in NEEDED or (channel.name == "humidity" and "dew_point" in empty)
        if channel.name in empty and is_needed:
            problems.add(first, 1, f"The {channel.label} is missing in every hour.", "It can't be made up.")
    problems.stop()
    latitude, longitude, utc_offset, elevation = site
    return Rows(name, latitude, longitude, utc_offset, elevation, values, bridged)


def _read_epw(lines: list[str], problems: _Problems) -> Rows:
    """Read the EPW form: header lines up to DATA PERIODS, then one row an hour."""
    fields = lines[0].split(",")
    site = _site(fields, (6, 7, 8, 9), problems)
    starts = [
        number for number, line in enumerate(lines[:40], start=1) if line.upper().startswith("DATA PERIODS")
    ]
    if not starts:
        problems.add(
            min(8, len(lines)),
            1,
            "The header has no line DATA PERIODS.",
            'Expected "DATA PERIODS,1,1,Data,Sunday,1/1,12/31" as line 8.',
        )
        problems.stop()
    first = starts[0] + 1
    periods = lines[first - 2].split(",")
    if [text.strip() for text in periods[1:3]] != ["1", "1"]:
        problems.add(
            first - 1,
            _place(periods, 1),
            "The file has several periods or rows within the hour.",
            'Expected one period with one row an hour: "DATA PERIODS,1,1,...".',
        )
    problems.stop()
    indices = {channel.name: channel.epw_field for channel in CHANNELS}
    values = _values(lines, first, indices, *EPW_FIELDS, _epw_stamp, False, problems)
    return _rows(fields[1].strip() if len(fields) > 1 else "", site, values, first, problems)


def _epw_stamp(fields: list[str]) -> tuple[int, int, int]:
    return int(fields[1]), int(fields[2]), int(fields[3])


def _read_tmy(lines: list[str], problems: _Problems) -> Rows:
    """Read the TMY3 form: the place, the titles, then one row an hour."""
    titles = lines[1].split(",") if len(lines) > 1 else []
    if not titles or not titles[0].startswith("Date"):
        problems.add(
            1,
            1,
            "This is neither the EPW nor the TMY3 form.",
            'An EPW file begins with "LOCATION,", line 2 of a TMY3 file with "Date (MM/DD/YYYY),".',
        )
        problems.stop()
    fields = next(csv.reader([lines[0]]))
    site = _site(fields, (4, 5, 3, 6), problems)
    indices = {}
    for channel in CHANNELS:
        if channel.tmy_title in titles:
            indices[channel.name] = titles.index(channel.tmy_title)
        elif channel.name in NEEDED:
            problems.add(2, 1, f'There is no column "{channel.tmy_title}".', "It is needed.")
    problems.stop()
    values = _values(lines, 3, indices, len(titles), len(titles), _tmy_stamp, True, problems)
    return _rows(fields[1].strip(), site, values, 3, problems)


def _tmy_stamp(fields: list[str]) -> tuple[int, int, int]:
    month, day, _ = (int(text) for text in fields[0].split("/"))
    hour, minute = (int(text) for text in fields[1].split(":"))
    if minute:
        raise ValueError(fields[1])
    return month, day, hour
