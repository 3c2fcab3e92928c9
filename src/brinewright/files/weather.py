"""Hourly weather of a year, read from the open EPW and TMY3 (CSV) forms.

Both forms give local standard time without daylight saving.  A temperature, a
pressure or a wind holds at the moment of its time stamp, an irradiance is the mean of
the hour before it; `Weather.at` keeps that difference.
"""

from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path
from typing import NamedTuple

import numpy as np

from brinewright.errors import UnknownNameError
from brinewright.files.weather_rows import Rows, read_rows
from brinewright.files.weather_rules import (
    Hours,
    black_temperature,
    dew_point_of,
    saturation_pressure,
    sky_emissivity,
    sky_radiation,
    standard_pressure,
)

IRRADIANCES = ("global_irradiance", "direct_irradiance", "diffuse_irradiance")
OVERCAST = 10.0  # tenths


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
    return _complete(read_rows(Path(path)))


def shipped_weather(name: str = "deepstead") -> Path:
    """Return the path of a weather file that comes with the package."""
    folder = Path(str(resources.files("brinewright"))) / "data" / "weather"
    known = {found.stem: found for found in sorted(folder.glob("*.epw"))}
    if name not in known:
        raise UnknownNameError(name, known, "shipped weather")
    return known[name]


def _complete(rows: Rows) -> Weather:
    """Return the weather, with what the file leaves out made from the rest."""
    values = dict(rows.values)
    longwave, cover = values.pop("longwave"), values.pop("cover")
    temperature = values["temperature"]
    if np.isnan(values["dew_point"]).all():
        values["dew_point"] = dew_point_of(temperature, values["humidity"])
    if np.isnan(values["humidity"]).all():
        values["humidity"] = saturation_pressure(values["dew_point"]) / saturation_pressure(temperature)
    if np.isnan(values["pressure"]).all():
        values["pressure"] = np.full(len(temperature), standard_pressure(rows.elevation))
    is_estimated = bool(np.isnan(longwave).all())
    if is_estimated:
        cover = np.full(len(temperature), OVERCAST) if np.isnan(cover).all() else cover
        longwave = sky_radiation(temperature, sky_emissivity(values["dew_point"], cover))
    return Weather(
        name=rows.name,
        latitude=rows.latitude,
        longitude=rows.longitude,
        elevation=rows.elevation,
        utc_offset=rows.utc_offset,
        sky_temperature=black_temperature(longwave),
        sky_is_estimated=is_estimated,
        bridged=rows.bridged,
        **values,
    )
