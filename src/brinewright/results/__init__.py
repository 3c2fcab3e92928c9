"""What a run leaves behind: named series with units, a summary, where it came from, and its folder."""

from brinewright.results.channel import ChannelInfo
from brinewright.results.event import Event
from brinewright.results.outcome import DONE, INTERRUPTED, Outcome, stopped
from brinewright.results.part import ResultPart
from brinewright.results.result import Result
from brinewright.results.series import Series
from brinewright.results.statistics import Statistics
from brinewright.results.store import load, refuse_to_replace, save

__all__ = [
    "DONE",
    "INTERRUPTED",
    "ChannelInfo",
    "Event",
    "Outcome",
    "Result",
    "ResultPart",
    "Series",
    "Statistics",
    "load",
    "refuse_to_replace",
    "save",
    "stopped",
]
