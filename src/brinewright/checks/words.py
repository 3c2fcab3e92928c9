"""Short ways to say numbers and lists in the sentences of checks."""

from collections.abc import Iterable

from brinewright.checks.finding import shown


def degrees(value: float) -> str:
    """Return a temperature for people.

    >>> degrees(291.15)
    '18 degC'
    """
    return shown(value, "temperature")


def kelvins(value: float) -> str:
    """Return a difference of temperatures for people.

    >>> kelvins(0.5)
    '0.5 K'
    """
    return shown(value, "temperature difference")


def both(items: Iterable[str]) -> str:
    """Return names in a row.

    >>> both(["A", "B", "C"])
    'A, B and C'
    """
    *first, last = tuple(items) or ("nothing",)
    return f"{', '.join(first)} and {last}" if first else last
