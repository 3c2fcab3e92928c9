"""A temperature to begin with, for what has none of its own."""

from brinewright.errors import InputError
from brinewright.model.lowering import Builder

MILD = 293.15
"""Where the ambient temperature follows a schedule or the weather [K]."""


def usual_ambient(builder: Builder) -> float:
    """Return the site's steady ambient temperature, else a mild one [K]."""
    try:
        return builder.site("ambient_temperature")
    except (InputError, ValueError):
        return MILD
