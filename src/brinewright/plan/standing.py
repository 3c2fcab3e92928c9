"""How a design stands after a run, in the few numbers by which one is held against another."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from brinewright.checks.case import DAY, LoopCase
from brinewright.errors import RunError
from brinewright.plan.upsets import upsets
from brinewright.results import Result
from brinewright.run.simulate import simulate

WORTH = {"K": 0.5, "K vessel": 2.0, "%": 5.0, "kWh": 1.0}
"""A change from which on a figure matters, by what it is; common practice, no source."""


@dataclass(frozen=True)
class Gap:
    """What lies between two designs."""

    score: float
    text: str

    @property
    def matters(self) -> bool:
        """Return whether it is large enough to matter, or crosses a limit."""
        return self.score >= 1.0


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Margins of one design under one rulebook, from a run; more is better."""

    margins: Mapping[str, float]
    """Of each consumer to its limit [K]."""
    vessels: Mapping[str, float]
    """Of each vessel to the limit of its material [K]."""
    charge: float
    """Least charge of the batteries [%]; 100 without one."""
    missing: float
    """Power that was not delivered [kWh]."""
    senseless: tuple[str, ...]
    """What keeps it from doing its job at all."""
    result: Result | None

    @property
    def worst(self) -> float:
        """Return the least margin of all consumers [K]."""
        return min(self.margins.values(), default=math.inf)

    @property
    def holds(self) -> bool:
        """Return whether every consumer, vessel and load is within its limits."""
        return (
            self.result is not None
            and not self.senseless
            and self.worst >= 0.0
            and min(self.vessels.values(), default=0.0) >= 0.0
            and self.missing < WORTH["kWh"]
        )

    @property
    def distance(self) -> float:
        """Return how far it is from holding: what all are out of their limits [K], 10 kWh counted as one."""
        if self.result is None or self.senseless:
            return 1e6
        beyond = sum(max(0.0, -margin) for margin in (*self.margins.values(), *self.vessels.values()))
        return beyond + (self.missing / 10.0 if self.missing >= WORTH["kWh"] else 0.0)

    def gap(self, other: "Standing") -> Gap:
        """Return what lies between this design and another, the gravest first."""
        if other.result is None:
            return Gap(1e6, "The run can no longer be finished.")
        new = [text for text in other.senseless if text not in self.senseless]
        if new:
            return Gap(1e5, " ".join(new))
        rows = [
            _of(("margin of"), tag, mine, other.margins.get(tag), "K", "K")
            for tag, mine in self.margins.items()
        ]
        rows += [
            _of("margin of the metal of", tag, mine, other.vessels.get(tag), "K vessel", "K")
            for tag, mine in self.vessels.items()
        ]
        rows.append(_of("least charge of", "the battery", self.charge, other.charge, "%", "%"))
        rows.append(_of("power that is", "not delivered", -self.missing, -other.missing, "kWh", "kWh"))
        score, text = max(rows, key=lambda row: row[0])
        if score < 1e-3:
            return Gap(score, "Nothing that can be told in a day.")
        return Gap(score, text)


def _of(
    what: str, subject: str, mine: float, theirs: float | None, worth: str, unit: str
) -> tuple[float, str]:
    if theirs is None or not (math.isfinite(mine) and math.isfinite(theirs)):
        return 0.0, ""
    change = theirs - mine
    crosses = mine >= 0.0 > theirs
    score = abs(change) / WORTH[worth] * (0.5 if change > 0.0 else 1.0) + (100.0 if crosses else 0.0)
    shown = (abs(mine), abs(theirs)) if worth == "kWh" else (mine, theirs)
    said = f"The {what} {subject} goes from {shown[0]:.1f} to {shown[1]:.1f} {unit}"
    return score, f"{said}{': out of its limit' if crosses else ''}."


def standing(case: LoopCase, *, duration: float = DAY) -> Standing:
    """Return how a design stands after a run.

    Parameters
    ----------
    case : the design under its rulebook
    duration : of the run [s]
    """
    try:
        result = simulate(case.loop, case.rules, duration=duration, folder=case.folder)
    except RunError:
        return Standing(margins={}, vessels={}, charge=0.0, missing=0.0, senseless=(), result=None)
    margins = {
        view.tag: view.number("highest_temperature") - result[view.tag]["temperature"].max
        for view in case.playing("consumer")
        if view.tag in result and "temperature" in result[view.tag]
    }
    vessels = {
        view.tag: view.material.limit - result[view.tag]["temperature"].max
        for view in case.parts
        if view.gives("steam out") and view.material is not None
    }
    charges = [100.0 * result[tag]["charge"].min for tag in result if "charge" in result[tag]]
    grave = ("dead-headed", "unfinished")
    return Standing(
        margins=margins,
        vessels=vessels,
        charge=min(charges, default=100.0),
        missing=float(result.power.get("shortfall_kWh", 0.0)),
        senseless=tuple(upset.text for upset in upsets(0, case, result) if upset.what in grave),
        result=result,
    )
