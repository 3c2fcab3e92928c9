"""What can break, and what is only told: one word for each thing that a part reports."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

FAMILIES: tuple[str, ...] = ("consumer", "metal", "freezing", "boiling", "vessel", "flow", "power")
"""What a failure belongs to, in the order in which they are shown."""

DAMAGE = frozenset({"metal", "freezing", "boiling", "vessel"})
"""Families in which something is damaged; in the others a duty is not met."""

FAMILY: Mapping[str, str] = {
    "too-warm": "consumer",
    "too-cold": "consumer",
    "too-humid": "consumer",
    "water-too-warm": "consumer",
    "overheated": "metal",
    "freezing": "freezing",
    "boiling": "boiling",
    "dry": "vessel",
    "relief": "vessel",
    "blows": "vessel",
    "over-pressure": "vessel",
    "under-pressure": "vessel",
    "liquid-full": "vessel",
    "carry-over": "vessel",
    "hotwell-full": "vessel",
    "deadlock": "flow",
    "no-flow": "flow",
    "dead-headed": "flow",
    "cavitation": "flow",
    "suction-head": "flow",
    "brown-out": "power",
    "voltage-dip": "power",
    "feeder-opened": "power",
    "transformer-opened": "power",
}
"""Family of everything that breaks the plant's duty or the plant, by its code."""

ONLY_TOLD = frozenset(
    {
        "battery-empty",
        "bus-overload",
        "condensation-guard",
        "dirty",
        "feeder-overload",
        "frost-guard",
        "outside-table",
        "power-short",
        "standing",
        "transformer-overload",
        "voltage-drop",
    }
)
"""What is reported but breaks nothing by itself; a code that stands nowhere counts as a failure."""


@dataclass(frozen=True, kw_only=True)
class Failure:
    """Something that broke: when, where and what."""

    time: float
    """[s] after the fault began"""
    tag: str
    code: str
    text: str

    @property
    def family(self) -> str:
        """Return the family that it belongs to, one of `FAMILIES`."""
        return FAMILY.get(self.code, "vessel")

    @property
    def breaks(self) -> bool:
        """Return whether something is broken by it, or it is only told."""
        return self.code not in ONLY_TOLD

    @property
    def damages(self) -> bool:
        """Return whether something is damaged by it."""
        return self.family in DAMAGE

    @property
    def minutes(self) -> float:
        """Return the minutes after the fault."""
        return self.time / 60.0

    def as_dict(self) -> dict[str, Any]:
        """Return the failure as it stands in JSON."""
        return {
            "after_s": self.time,
            "tag": self.tag,
            "code": self.code,
            "family": self.family,
            "text": self.text,
        }
