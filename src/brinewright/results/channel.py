"""The name of one recorded quantity."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ChannelInfo:
    """One recorded quantity of one part, with the SI unit it is recorded in.

    >>> ChannelInfo("TK-101", "temperature", "K").key
    'TK-101.temperature'
    """

    tag: str
    quantity: str
    unit: str

    @property
    def key(self) -> str:
        """Return the name of its column in files: tag, dot, quantity."""
        return f"{self.tag}.{self.quantity}"
