"""A reading as written in a loop: "L-104 at 8 m", "TK-101 level", "CH-201 inlet temperature"."""

import re
from dataclasses import dataclass

from brinewright.errors import InputError, Problem
from brinewright.units import parse

_AT = re.compile(r"(\S+) at (.+)")
_OF = re.compile(r"(\S+) (.+)")


@dataclass(frozen=True)
class Reading:
    """What a sensor reads: a channel of a part or line, or the temperature at a point of a line."""

    tag: str
    channel: str
    at: float | None = None
    """Distance from the start of the line [m]; None: no point of a line."""


def read_reading(text: str) -> Reading:
    """Return the reading that a text names.

    >>> read_reading("L-104 at 8 m")
    Reading(tag='L-104', channel='temperature', at=8.0)
    >>> read_reading("TK-101 level")
    Reading(tag='TK-101', channel='level', at=None)
    """
    words = " ".join(text.split())
    if match := _AT.fullmatch(words):
        return Reading(match[1], "temperature", parse(match[2], "length"))
    if match := _OF.fullmatch(words):
        return Reading(match[1], match[2].replace("_", " "))
    advice = 'Write a tag and what is read there, such as "TK-101 level" or "L-104 at 8 m".'
    raise InputError([Problem(f'"{text}" is no reading.', advice)])


QUANTITY_OF_UNIT = {
    "K": "temperature",
    "1": "ratio",
    "kg/s": "mass flow",
    "Pa": "pressure",
    "W": "power",
    "J": "energy",
    "m": "length",
    "kg": "mass",
    "m3/s": "volume flow",
    "m/s": "speed",
    "V": "voltage",
    "A": "current",
    "W/K": "conductance",
    "s": "time",
    "Hz": "frequency",
}
"""The quantity in which a set point on a channel of this unit is written."""

DIFFERENCE_OF = {"temperature": "temperature difference", "pressure": "pressure difference"}
"""The quantity of a differential where it is not that of the set point."""


def quantity_of(channel: str, unit: str) -> str:
    """Return the quantity in which a set point on a channel is written.

    >>> quantity_of("pressure", "Pa"), quantity_of("pressure loss", "Pa")
    ('pressure', 'pressure difference')
    """
    if unit == "Pa" and channel != "pressure":
        return "pressure difference"
    return QUANTITY_OF_UNIT.get(unit, "ratio")
