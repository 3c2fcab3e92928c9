"""Hourly weather of a year, read from the open EPW and TMY3 (CSV) forms.

Both forms give local standard time without daylight saving.  A temperature, a
pressure or a wind holds at the moment of its time stamp, an irradiance is the mean of
the hour before it; `Weather.at` keeps that difference.
"""

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib import resources
from math import isfinite
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import InputError, Problem, UnknownNameError

Hours = NDArray[np.float64]

ICE = 273.15
STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), CODATA 2018
LARGEST_FILE = 16 * 1024 * 1024  # bytes; a year of either form has less than 2 million
LONGEST_GAP = 6  # missing hours in a row that a straight line may bridge
MOST_PROBLEMS = 20  # told at once
YEARS = (8760, 8784)  # hours of a common and of a leap year
MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
EPW_FIELDS = (32, 35)  # least and most in a row; files made before 2004 lack the last three


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
PLAIN = ("temperature", "global_irradiance", "direct_irradiance", "diffuse_irradiance", "wind_speed")
TMY_MISSING = -9900.0
IRRADIANCES = ("global_irradiance", "direct_irradiance", "diffuse_irradiance")


class Moment(NamedTuple):
    """The weather at one moment: [K], [K], [Pa], [-], three times [W/m2], [m/s], [K]."""

    temperature: float
    dew_point: float
    pressure: float
    humidity: float
    global_irradiance: float
    direct_irradiance: float
    diffuse_irradiance: float
    wind_speed: float
    sky_temperature: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Weather:
    """A year of hourly weather; entry k of each array belongs to the time stamp (k + 1) h.

    Attributes
    ----------
    latitude, longitude : north and east positive [deg]
    elevation : height over the sea [m]
    utc_offset : local standard time less universal time [h]
    temperature, dew_point : at the time stamp [K]
    pressure : of the station [Pa]
    humidity : relative [-]
    global_irradiance, direct_irradiance, diffuse_irradiance : mean of the hour before the
        time stamp; the direct one on a surface that faces the sun [W/m2]
    wind_speed : at the time stamp [m/s]
    sky_temperature : of a black sky that sends the same longwave radiation down [K]
    sky_is_estimated : True where the file has no longwave radiation, see `sky_emissivity`
    bridged : missing hours that a straight line filled, by channel
    """

    name: str
    latitude: float
    longitude: float
    elevation: float
    utc_offset: float
    temperature: Hours
    dew_point: Hours
    pressure: Hours
    humidity: Hours
    global_irradiance: Hours
    direct_irradiance: Hours
    diffuse_irradiance: Hours
    wind_speed: Hours
    sky_temperature: Hours
    sky_is_estimated: bool = False
    bridged: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Lock the arrays: a weather never changes."""
        for name in Moment._fields:
            getattr(self, name).setflags(write=False)

    def __eq__(self, other: object) -> bool:
        """Compare by value."""
        if not isinstance(other, Weather):
            return NotImplemented
        return all(np.array_equal(vars(self)[name], vars(other)[name]) for name in vars(self))

    __hash__ = None  # type: ignore[assignment]

    @property
    def hours(self) -> int:
        """Length of the year [h]."""
        return len(self.temperature)

    def at(self, seconds: float) -> Moment:
        """Return the weather `seconds` after the start of the year, local standard time.

        Straight between the time stamps, and for irradiances between the middles of the
        hours, so that a year keeps its sum.  The year repeats without end.
        """
        place = seconds / 3600.0
        return Moment(
            *(
                _between(getattr(self, name), place - (0.5 if name in IRRADIANCES else 1.0))
                for name in Moment._fields
            )
        )


def _between(values: Hours, place: float) -> float:
    low = int(np.floor(place))
    share, count = place - low, len(values)
    return float((1.0 - share) * values[low % count] + share * values[(low + 1) % count])


def saturation_pressure(temperature: Hours) -> Hours:
    """Return the vapour pressure over water [Pa] at `temperature` [K], -45 to 60 degC.

    e = 611.2 exp(17.62 t / (243.12 + t)),  t in degC

    References
    ----------
    WMO-No. 8, Guide to Instruments and Methods of Observation, annex 4.B.
    """
    celsius = temperature - ICE
    pressure: Hours = 611.2 * np.exp(17.62 * celsius / (243.12 + celsius))
    return pressure


def dew_point_of(temperature: Hours, humidity: Hours) -> Hours:
    """Return the dew point [K] of air at `temperature` [K] and relative `humidity` [-]; same source."""
    logarithm = np.log(saturation_pressure(temperature) * np.maximum(humidity, 1e-3) / 611.2)
    dew_point: Hours = ICE + 243.12 * logarithm / (17.62 - logarithm)
    return dew_point


def sky_emissivity(dew_point: Hours, cover: Hours) -> Hours:
    """Return what the sky sends down as a share of a black body at air temperature [-].

    (0.787 + 0.764 ln(T_dp / 273 K)) (1 + 0.0224 n - 0.0035 n2 + 0.00028 n3), n in tenths

    Parameters
    ----------
    dew_point : of the air near the ground [K]
    cover : opaque sky cover, 0 clear to 10 overcast [tenths]

    References
    ----------
    Clark and Allen (1978), The estimation of atmospheric radiation for clear and cloudy
    skies; the cloud term after Walton (1983), NBSIR 83-2655.
    """
    clear = 0.787 + 0.764 * np.log(dew_point / 273.0)
    emissivity: Hours = clear * (1.0 + 0.0224 * cover - 0.0035 * cover**2 + 0.00028 * cover**3)
    return emissivity


def standard_pressure(elevation: float) -> float:
    """Return the pressure of the standard atmosphere (ISO 2533) below 11 km [Pa]."""
    return float(101325.0 * (1.0 - 0.0065 * elevation / 288.15) ** 5.25588)


def read_weather(path: Path | str) -> Weather:
    """Return the year of weather in an EPW or TMY3 file.

    Hours marked as missing are bridged by a straight line if no more than six stand in a
    row.  A column that is missing altogether is made from the others where a rule
    exists: dew point and humidity from each other, pressure from the elevation, the
    sky from dew point and cover; without cover the sky counts as overcast, which is the
    safe side for a radiator.

    Raises
    ------
    InputError
        With the line and column of everything that is wrong, up to twenty of them.
    """
    path = Path(path)
    lines = _lines_of(path)
    reader = _read_epw if lines[0].upper().startswith("LOCATION,") else _read_tmy
    return reader(lines, _Problems(path.name))


def shipped_weather(name: str = "deepstead") -> Path:
    """Return the path of a weather file that comes with the package."""
    folder = Path(str(resources.files("brinewright"))) / "data" / "weather"
    known = {found.stem: found for found in sorted(folder.glob("*.epw"))}
    if name not in known:
        raise UnknownNameError(name, known, "shipped weather")
    return known[name]


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
    """Return the lines of a text file; one that is too large or not text is refused unread."""
    try:
        size = path.stat().st_size if path.is_file() else -1
        if size > LARGEST_FILE:
            raise InputError(
                [
                    Problem(
                        f"The file has {size} bytes; a year of hourly weather has less than {LARGEST_FILE}.",
                        "Give one year in one file.",
                        path.name,
                        1,
                        1,
                    )
                ]
            )
        content = path.read_bytes()
    except OSError as error:
        raise InputError(
            [Problem(f"The weather file can't be read: {error.strerror}.", "", str(path))]
        ) from None
    if b"\0" in content or not content.strip():
        raise InputError(
            [
                Problem(
                    "This is not a text file in EPW or TMY3 form."
                    if content.strip()
                    else "The file is empty.",
                    'An EPW file begins with "LOCATION,".',
                    path.name,
                    1,
                    1,
                )
            ]
        )
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


def _assemble(
    name: str, site: list[float], values: dict[str, Hours], first: int, problems: _Problems
) -> Weather:
    """Return the weather, with what the file leaves out made from the rest."""
    bridged = _bridge(values, first, problems)
    for channel in CHANNELS:
        both = channel.name == "humidity" and np.isnan(values["dew_point"]).all()
        if (channel.name in PLAIN or both) and np.isnan(values[channel.name]).all():
            problems.add(first, 1, f"The {channel.label} is missing in every hour.", "It can't be made up.")
    problems.stop()
    latitude, longitude, utc_offset, elevation = site
    temperature = values["temperature"]
    if np.isnan(values["dew_point"]).all():
        values["dew_point"] = dew_point_of(temperature, values["humidity"])
    if np.isnan(values["humidity"]).all():
        values["humidity"] = saturation_pressure(values["dew_point"]) / saturation_pressure(temperature)
    if np.isnan(values["pressure"]).all():
        values["pressure"] = np.full(len(temperature), standard_pressure(elevation))
    longwave, cover = values.pop("longwave"), values.pop("cover")
    is_estimated = bool(np.isnan(longwave).all())
    if is_estimated:
        cover = np.full(len(temperature), 10.0) if np.isnan(cover).all() else cover
        emissivity = np.minimum(sky_emissivity(values["dew_point"], cover), 1.0)
        longwave = emissivity * STEFAN_BOLTZMANN * temperature**4
    return Weather(
        name=name,
        latitude=latitude,
        longitude=longitude,
        elevation=elevation,
        utc_offset=utc_offset,
        sky_temperature=(longwave / STEFAN_BOLTZMANN) ** 0.25,
        sky_is_estimated=is_estimated,
        bridged=bridged,
        **values,
    )


def _read_epw(lines: list[str], problems: _Problems) -> Weather:
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
    return _assemble(fields[1].strip() if len(fields) > 1 else "", site, values, first, problems)


def _epw_stamp(fields: list[str]) -> tuple[int, int, int]:
    return int(fields[1]), int(fields[2]), int(fields[3])


def _read_tmy(lines: list[str], problems: _Problems) -> Weather:
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
        elif channel.name in PLAIN:
            problems.add(2, 1, f'There is no column "{channel.tmy_title}".', "It is needed.")
    problems.stop()
    values = _values(lines, 3, indices, len(titles), len(titles), _tmy_stamp, True, problems)
    return _assemble(fields[1].strip(), site, values, 3, problems)


def _tmy_stamp(fields: list[str]) -> tuple[int, int, int]:
    month, day, _ = (int(text) for text in fields[0].split("/"))
    hour, minute = (int(text) for text in fields[1].split(":"))
    if minute:
        raise ValueError(fields[1])
    return month, day, hour
