"""What surrounds a plant under real laws, at its worst."""

from dataclasses import dataclass

from brinewright.files.weather import Weather
from brinewright.model.brief import Brief
from brinewright.model.rulebook import Rulebook


@dataclass(frozen=True)
class Place:
    """What surrounds the plant."""

    ambient: float
    """Warmest around consumers and vessel [K]."""
    coldest: float
    """Of the air outside [K]."""
    sky: float
    """Warmest radiation temperature of the sky, by the hour of the year [K]."""
    pressure: float
    """[Pa]"""
    gravity: float


def place_of(brief: Brief, rules: Rulebook, weather: Weather | None) -> Place:
    """Return the site of a brief, at its worst."""
    site = {**rules.site, **brief.site}

    def number(name: str, otherwise: float) -> float:
        value = site.get(name)
        return float(value) if isinstance(value, int | float) else otherwise

    ambient = number("ambient_temperature", 293.15)
    sky = float(weather.sky_temperature.max()) if weather is not None else number("sky_temperature", ambient)
    coldest = float(weather.temperature.min()) if weather is not None else ambient
    return Place(ambient, coldest, sky, number("ambient_pressure", 101325.0), number("gravity", 9.80665))
