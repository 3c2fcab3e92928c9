"""What tells people of a fault: the instruments that are there, and the guard that is not."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.model.reading import quantity_of
from brinewright.plan.base import Base, Limit
from brinewright.plan.failure import Failure
from brinewright.plan.fault import Fault
from brinewright.plan.stage import Run, extremes
from brinewright.units import show

ENOUGH = 60.0
"""How long before a failure something must be seen to be of use [s]."""
HALF_WAY = 0.5
"""Where between what is usual and its limit a guard is set; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Notice:
    """An instrument that shows something it never shows on a sound day."""

    tag: str
    quantity: str
    time: float
    """[s] after the fault began"""
    text: str

    def as_dict(self) -> dict[str, Any]:
        """Return the notice as it stands in JSON."""
        return {"tag": self.tag, "quantity": self.quantity, "after_s": self.time, "text": self.text}


@dataclass(frozen=True, kw_only=True)
class Guard:
    """A guard that this loop lacks, and how much sooner it would have spoken than the failure."""

    text: str
    lead: float | None
    """[s]; None if even that guard would have come too late."""

    def as_dict(self) -> dict[str, Any]:
        """Return the guard as it stands in JSON."""
        return {"text": self.text, "lead_s": self.lead}


@dataclass(frozen=True, kw_only=True)
class Nearest:
    """The limit that a plant came nearest to, by what was used of its usual distance."""

    tag: str
    code: str
    left: float
    """What was left, in the unit."""
    unit: str
    used: float
    """Share of the usual distance that was used up [-]."""

    def as_dict(self) -> dict[str, Any]:
        """Return it as it stands in JSON."""
        return {"tag": self.tag, "code": self.code, "left": self.left, "unit": self.unit, "used": self.used}


def notices(base: Base, run: Run, fault: Fault) -> tuple[Notice, ...]:
    """Return what the instruments of the loop show, in order of time.

    Parameters
    ----------
    base : what is usual
    run : with the fault
    fault : a switch that is itself wrong tells nothing
    """
    found = [*_switches(base, run, fault), *_proofs(base, run, fault)]
    return tuple(sorted(found, key=lambda one: (one.time, one.tag)))


def _switches(base: Base, run: Run, fault: Fault) -> Iterator[Notice]:
    for switch in base.loop.switches:
        key = (switch.tag, "reading")
        if switch.tag in fault.tags or key not in base.columns:
            continue
        low, high = base.usual(*key, fault.from_start)
        values = run.values(base.columns[key])
        at = _when(run, (values < low) | (values > high))
        if at is None:
            continue
        value = float(values[int(np.argmax((values < low) | (values > high)))])
        side = "above" if value > high else "below"
        edge = show(high if value > high else low, switch.quantity, digits=3)
        yield Notice(
            tag=switch.tag,
            quantity="reading",
            time=at,
            text=f"{switch.tag} reads {side} {edge}, which it never does on a sound day",
        )


def _proofs(base: Base, run: Run, fault: Fault) -> Iterator[Notice]:
    """Tell the flow proofs of machines that always have flow on a sound day."""
    for tag, view in base.views.items():
        key = (tag, "flow")
        if not view.declares("flow_proof") or key not in base.columns:
            continue
        proof = view.number("flow_proof")
        if base.range_of(base.plant.places[key], fault.from_start)[0] < proof:
            continue
        at = _when(run, run.values(base.columns[key]) < proof)
        if at is not None:
            yield Notice(tag=tag, quantity="flow", time=at, text=f"the flow proof of {tag} stops it")


def _when(run: Run, flags: NDArray[np.bool_]) -> float | None:
    """Return when something first is so after the fault began [s]; None if never."""
    here = flags & (run.times > 0.0)
    return float(run.times[int(np.argmax(here))]) if here.any() else None


def missing_guard(base: Base, run: Run, fault: Fault, failure: Failure) -> Guard:
    """Return the guard that would speak before a failure, and how much sooner."""
    limits = base.limits(run.simulation.plant)
    limit = next((one for one in limits if (one.tag, one.code) == (failure.tag, failure.code)), None)
    if limit is not None and limit.unit == "K":
        return _thermometer(base, run, failure, limit, fault.from_start)
    if failure.code in ("freezing", "boiling"):
        word = "low" if failure.code == "freezing" else "high"
        return Guard(text=f"a {word} temperature switch on {failure.tag}", lead=None)
    if failure.family == "flow":
        columns, usual = base.consumer_flows
        flow = sum((run.values(column) for column in columns), np.zeros(len(run.times)))
        at = _when(run, flow < 0.5 * usual)
        return Guard(text="a flow switch on the way to the consumers", lead=_lead(failure, at))
    if failure.family == "power":
        lost = {force.target.partition(".")[0] for force in fault.forces}
        charges = [key for key in base.columns if key[1] == "charge" and key[0] not in lost]
        if charges:
            tag, name = charges[0]
            setting = HALF_WAY * base.range_of(base.plant.places[(tag, name)], fault.from_start)[0]
            at = _when(run, run.values(base.columns[(tag, name)]) < setting)
            told = show(setting, "ratio", "%", digits=2)
            return Guard(text=f"a low charge alarm on {tag} at {told}", lead=_lead(failure, at))
        return Guard(text=f"an alarm on what {failure.tag} can still give", lead=None)
    return Guard(text=f"a low level switch on {failure.tag}" if failure.code == "dry"
                 else f"a high pressure switch on {failure.tag}", lead=None)  # fmt: skip


def _thermometer(base: Base, run: Run, failure: Failure, limit: Limit, from_start: bool) -> Guard:
    usual = base.range_of(limit.value, from_start)[limit.above]
    setting = usual + HALF_WAY * (limit.limit - usual)
    column = base.columns[(limit.tag, limit.quantity)]
    values = run.values(column)
    at = _when(run, values > setting if limit.above else values < setting)
    word = "high" if limit.above else "low"
    told = show(setting, quantity_of(limit.quantity, limit.unit), digits=3)
    text = f"a {word} temperature switch on the {limit.quantity} of {limit.tag}, set at {told}"
    return Guard(text=text, lead=_lead(failure, at))


def _lead(failure: Failure, at: float | None) -> float | None:
    return failure.time - at if at is not None and failure.time - at > 0.0 else None


def nearest(base: Base, run: Run, from_start: bool = False) -> Nearest | None:
    """Return the temperature limit that the run used up most of its usual distance to."""
    least, greatest = extremes(run)
    found = None
    for limit in base.limits(run.simulation.plant):
        if limit.unit != "K" or (limit.tag, limit.code) in base.already[False]:
            continue
        usual = base.range_of(limit.value, from_start)[limit.above]
        reached = float((greatest if limit.above else least)[limit.value])
        distance = abs(limit.limit - usual)
        left = (limit.limit - reached) * (1.0 if limit.above else -1.0)
        used = max(1.0 - left / distance, 0.0) if distance > 0.0 else 1.0
        if found is None or used > found.used:
            found = Nearest(tag=limit.tag, code=limit.code, left=left, unit=limit.unit, used=used)
    return found


def back_after(base: Base, run: Run, ends: float) -> float | None:
    """Return how long after a fault has ended all is as usual again, and stays so [s]; None if it does not.

    Judged by the switches' readings, and by the temperatures of the consumers.
    """
    strange = np.zeros(len(run.times), dtype=bool)
    for (tag, name), column in base.columns.items():
        view = base.views.get(tag)
        looked_at = name == "reading" or (
            name == "temperature" and view is not None and view.declared.role == "consumer"
        )
        if looked_at:
            low, high = base.usual(tag, name)
            values = run.values(column)
            strange |= (values < low) | (values > high)
    if not len(strange) or strange[-1] or run.times[-1] < ends:
        return None
    late = np.flatnonzero(strange)
    last = float(run.times[late[-1]]) if len(late) else 0.0
    return max(last - ends, 0.0)
