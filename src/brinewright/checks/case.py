"""The loop under judgement, and what is worked out about it once for all checks."""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from brinewright.compile.place import resolve
from brinewright.compile.view import View
from brinewright.model.case import Case, Happened, Seen, Worked
from brinewright.model.loop import Line, Loop
from brinewright.model.margins import USUAL
from brinewright.model.rulebook import Rulebook
from brinewright.results import Result
from brinewright.run.simulate import simulate

DAY = 86400.0


class LoopCase:
    """One loop under one rulebook; each thing is worked out when it is first asked for."""

    def __init__(
        self,
        loop: Loop,
        rules: Rulebook,
        *,
        folder: Path | None = None,
        day: Result | None = None,
        progress: Callable[[float, float], None] | None = None,
    ) -> None:
        self.loop = loop
        self.rules = rules
        self.folder = folder
        self._day = day
        self._progress = progress
        self._worked: dict[Callable[[Case], Any], Any] = {}

    def once(self, make: Callable[[Case], Worked]) -> Worked:
        """Return what `make` works out from this loop, worked out when it is first asked for."""
        if make not in self._worked:
            self._worked[make] = make(self)
        worked: Worked = self._worked[make]
        return worked

    def supposing(self, known: Mapping[Callable[..., Any], Any]) -> "LoopCase":
        """Return the same loop with the same run, but with something else worked out of it.

        Parameters
        ----------
        known : what `once` returns for some functions; all else is worked out anew
        """
        other = LoopCase(self.loop, self.rules, folder=self.folder, day=self.day)
        other.__dict__["_resolved"] = self._resolved
        other._worked = dict(known)
        return other

    @cached_property
    def _resolved(self) -> tuple[dict[str, View], dict[str, Any]]:
        return resolve(self.loop, self.rules)

    @property
    def views(self) -> Mapping[str, View]:
        """Return every part and line by tag, with its numbers resolved."""
        return self._resolved[0]

    def site(self, name: str) -> float:
        """Return a number of the site in SI; 0 if it is not stated."""
        value = self._resolved[1].get(name)
        return float(value) if isinstance(value, int | float) else 0.0

    def margin(self, name: str) -> float:
        """Return a margin in SI: the loop's own, else the usual one."""
        own = self.loop.margins.get(name)
        return float(own) if isinstance(own, int | float) else USUAL[name]

    @cached_property
    def parts(self) -> tuple[View, ...]:
        """Return the views of all parts, in order of their tags."""
        return tuple(self.views[tag] for tag in sorted(part.tag for part in self.loop.parts))

    def of_kind(self, *kinds: str) -> Sequence[View]:
        """Return the parts of these kinds, in order of their tags."""
        return [view for view in self.parts if view.kind in kinds]

    def playing(self, role: str) -> Sequence[View]:
        """Return the parts whose kind plays a role, in order of their tags."""
        return [view for view in self.parts if view.declared.role == role]

    @cached_property
    def lines(self) -> Sequence[Line]:
        """Return the lines in order of their tags."""
        return sorted(self.loop.lines, key=lambda line: line.tag)

    def into(self, tag: str, port: str = "") -> Sequence[Line]:
        """Return the lines that end on a part (on one of its ports)."""
        return [line for line in self.lines if _is_at(line.end, tag, port)]

    def out_of(self, tag: str, port: str = "") -> Sequence[Line]:
        """Return the lines that begin on a part (on one of its ports)."""
        return [line for line in self.lines if _is_at(line.start, tag, port)]

    @property
    def day(self) -> Result:
        """Return the run of a day from the loop's own start, which all checks share."""
        if self._day is None:
            self._day = simulate(
                self.loop, self.rules, duration=DAY, folder=self.folder, progress=self._progress
            )
        return self._day

    def seen(self, tag: str, quantity: str) -> Seen | None:
        """Return what a channel did over the shared run; None if there is no such channel."""
        column = self.day.columns.get(tag, {}).get(quantity)
        if column is None:
            return None
        row = self.day.statistics.row(column)
        return Seen(row["first"], row["min"], row["mean"], row["max"], row["last"])

    def trace(self, tag: str, quantity: str) -> tuple[Any, Any]:
        """Return sample times [s] and values (SI) of a channel over the shared run, as arrays."""
        column = self.day.columns[tag][quantity]
        return self.day.times, self.day.values[:, column]

    @property
    def happened(self) -> Sequence[Happened]:
        """Return what happened in the shared run."""
        return [Happened(event.time_s, event.tag, event.code, event.text) for event in self.day.events]

    @property
    def residuals(self) -> Mapping[str, float]:
        """Return what the ledgers of the shared run left open, as shares."""
        day = self.day
        return {"energy": day.energy_residual, "mass": day.mass_residual, "electric": day.electric_residual}

    @property
    def audits(self) -> Mapping[str, Any]:
        """Return the two audits of the shared run."""
        return self.day.audits

    def changes(self, tag: str) -> int:
        """Return how often a switch changed over the shared run."""
        return self.day.switch_changes.get(tag, 0)


def _is_at(end: str, tag: str, port: str) -> bool:
    at, _, name = end.partition(".")
    return at == tag and (not port or name == port)
