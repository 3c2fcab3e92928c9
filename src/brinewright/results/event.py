"""Something that happened at a time and a place."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Event:
    """A happening with its time from the start of the run [s], its place, a stable code and a sentence.

    >>> Event(3720.0, "VE-301", "dry-out", "The vessel ran dry.").clock
    '1:02:00'
    """

    time_s: float
    tag: str
    code: str
    text: str

    @property
    def clock(self) -> str:
        """Return the time since the start as hours, minutes and seconds."""
        seconds = round(self.time_s)
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"

    def as_dict(self) -> dict[str, Any]:
        """Return the event as it stands in JSON."""
        return asdict(self)
