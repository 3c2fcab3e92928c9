"""Events as people want to read them: what keeps happening is told once, with how often."""

from collections.abc import Iterable

from brinewright.results import Event


def told_once(events: Iterable[Event]) -> list[tuple[Event, int]]:
    """Return the first event of each place and code with how often it happened, in order of time.

    >>> again = [Event(60.0, "TK-101", "full", "It is full."), Event(90.0, "TK-101", "full", "It is full.")]
    >>> [(event.time_s, count) for event, count in told_once(again)]
    [(60.0, 2)]
    """
    first: dict[tuple[str, str], Event] = {}
    count: dict[tuple[str, str], int] = {}
    for event in events:
        key = (event.tag, event.code)
        first.setdefault(key, event)
        count[key] = count.get(key, 0) + 1
    return [(event, count[key]) for key, event in first.items()]


def often(count: int) -> str:
    """Return how often something happened, as an addition to a sentence; nothing for once.

    >>> often(1), often(1200)
    ('', ' (1,200 times)')
    """
    return f" ({count:,} times)" if count > 1 else ""
