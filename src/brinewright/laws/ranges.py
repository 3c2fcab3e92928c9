"""Whether values lie in the range for which a correlation was made."""

from collections.abc import Mapping

Limits = Mapping[str, tuple[float, float]]
"""Lowest and highest value of each argument of one correlation."""


def outside(limits: Limits, **values: float) -> tuple[str, ...]:
    """Return the names of the values that lie outside their range.

    Example
    -------
    >>> outside({"reynolds": (3000.0, 5e6)}, reynolds=1000.0, prandtl=7.0)
    ('reynolds',)
    """
    return tuple(
        name
        for name, value in values.items()
        if name in limits and not limits[name][0] <= value <= limits[name][1]
    )
