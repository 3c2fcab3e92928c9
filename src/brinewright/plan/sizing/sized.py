"""What `size` answers: a loop, its decisions and its proof, or the needs that are in the way."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from brinewright.files.whole import write_whole
from brinewright.model.frozen import EMPTY
from brinewright.model.loop import Loop
from brinewright.plan.sizing.design import Design
from brinewright.plan.sizing.proof import Proof
from brinewright.plan.sizing.record import Corner, Decision, Obstacle, finite
from brinewright.results.caution import caution


@dataclass(frozen=True, kw_only=True)
class StagePlan:
    """One stage of growth: what is there then, and what changes."""

    name: str
    loop: Loop | None
    text: str
    changes: tuple[str, ...]
    obstacles: tuple[Obstacle, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Sized:
    """The answer to a brief."""

    name: str
    world: str
    loop: Loop | None
    text: str = ""
    """Of the loop's file, with its comments."""
    decisions: tuple[Decision, ...] = ()
    proof: Proof | None = None
    rejected: tuple[str, ...] = ()
    """Designs that looked better and failed their proof, with the reason."""
    obstacles: tuple[Obstacle, ...] = ()
    nearest: "Sized | None" = None
    """The nearest design that works, where none meets the brief."""
    front: tuple[Corner, ...] = ()
    stages: tuple[StagePlan, ...] = ()
    tried: int = 0
    """Choices that were held against the brief."""
    design: Design | None = None
    wall_s: float = 0.0
    measures: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """What the aims were judged by."""

    @property
    def is_met(self) -> bool:
        """Return whether there is a loop that meets the brief and has been proven."""
        return self.loop is not None and self.proof is not None and self.proof.holds

    def decision(self, subject: str) -> Decision:
        """Return the decision on a subject, such as "layout"."""
        return next(decision for decision in self.decisions if decision.subject == subject)

    def write(self, path: str | Path, *, force: bool = False) -> Path:
        """Write the loop's file, whole or not at all; returns its path."""
        return write_whole(path, self.text, force=force)

    def as_dict(self) -> dict[str, Any]:
        """Return the answer as it stands in JSON; the shape is `data/schema/size.json`."""
        return {
            "format": "brinewright/size/1",
            "name": self.name,
            "world": self.world,
            "caution": caution(self.world),
            "is_met": self.is_met,
            "loop": self.text,
            "decisions": [decision.as_dict() for decision in self.decisions],
            "measures": dict(self.measures),
            "proof": _proof(self.proof) if self.proof else None,
            "rejected": list(self.rejected),
            "obstacles": [_obstacle(obstacle) for obstacle in self.obstacles],
            "nearest": self.nearest.as_dict() if self.nearest else None,
            "front": [{"name": corner.name, "measures": dict(corner.measures)} for corner in self.front],
            "stages": [
                {
                    "name": stage.name,
                    "loop": stage.text,
                    "changes": list(stage.changes),
                    "obstacles": [_obstacle(obstacle) for obstacle in stage.obstacles],
                }
                for stage in self.stages
            ],
            "tried": self.tried,
            "wall_s": self.wall_s,
        }


def _obstacle(obstacle: Obstacle) -> dict[str, Any]:
    return {
        "need": obstacle.need,
        "amount": finite(obstacle.amount),
        "text": obstacle.text,
        "relaxed": obstacle.relaxed,
        "layout": obstacle.layout,
    }


def _proof(proof: Proof) -> dict[str, Any]:
    return {
        "holds": proof.holds,
        "failures": list(proof.failures),
        "agreements": [
            {
                "what": row.what,
                "closed_form": row.closed_form,
                "run": row.run,
                "unit": row.unit,
                "difference": row.difference,
                "reason": row.reason,
            }
            for row in proof.agreements
        ],
        "consumers": [
            {"tag": tag, "coldest_K": coldest, "warmest_K": warmest}
            for tag, coldest, warmest in proof.consumers
        ],
        "supply_K": dict(zip(("min", "mean", "max"), proof.supply, strict=True)),
        "vessel_K": dict(zip(("min", "mean", "max"), proof.vessel, strict=True)),
        "battery_least_J": proof.battery_least,
        "findings": [finding.as_dict() for finding in (*proof.findings, *proof.advice)],
        "energy_residual": proof.result.energy_residual if proof.result else None,
    }


def changes(before: Sized, after: Sized) -> tuple[str, ...]:
    """Return what has to be changed from one loop to the next, part by part."""
    if before.loop is None or after.loop is None:
        return ("no design meets the brief at this stage",)
    old = {part.tag: part for part in before.loop.parts}
    new = {part.tag: part for part in after.loop.parts}
    said = [f"add {tag}: {_count(new[tag].count)}{new[tag].use}" for tag in new if tag not in old]
    said += [f"take out {tag}: {old[tag].use}" for tag in old if tag not in new]
    for tag, other in new.items():
        if tag not in old:
            continue
        one = old[tag]
        if one.count != other.count:
            said.append(f"{tag}: {one.count} to {other.count} of {other.use}")
        if one.material != other.material:
            said.append(f"{tag}: of {other.material} in place of {one.material}")
        for name, value in other.values.items():
            if one.values.get(name) != value and isinstance(value, float):
                said.append(f"{tag}: another {name}")
    sets = {switch.tag: switch.setting for switch in before.loop.switches}
    for switch in after.loop.switches:
        if switch.tag in sets and abs(sets[switch.tag] - switch.setting) > 1e-6:
            said.append(f"{switch.tag}: set to {switch.setting - 273.15:.1f} degC")
    return tuple(said)


def _count(count: int) -> str:
    return f"{count} of " if count > 1 else ""
