"""Sound loops and single mistakes put into them, for tests that a fault is found by its own code."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import brinewright as bw
from brinewright.checks import Report, check
from brinewright.files import parse_design, with_values
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook

LOOPS = Path(__file__).parents[1] / "reference" / "loops"
RULES = {"kettle-ridge": "kettle", "kettle-ridge-hot-rock": "kettle", "deepstead": "earth"}

Change = Callable[[Loop, Rulebook], Loop | Rulebook]
"""What a mistake makes of a loop, or of its place."""


@cache
def sound(name: str) -> tuple[Loop, Rulebook, Path]:
    """Return a shipped loop, or test loop S as a series of chillers in the soft alloy ("alloy-s")."""
    if name in RULES:
        path = bw.scenario(name)
        return bw.read_loop(path), bw.read_rulebook(RULES[name]), path.parent
    text = (LOOPS / f"{name.replace('alloy', 'series')}.loop.toml").read_text(encoding="utf-8")
    loop, rules = parse_design(text, LOOPS)
    if name.startswith("alloy"):
        # so little heat capacity follows the vessel faster than a run can step
        slower = values(CH_201__conductance="80 kW/K", CH_202__conductance="80 kW/K")
        changed = both(made_of("alloy-a", "CH-201", "CH-202"), slower)(loop, rules)
        assert isinstance(changed, Loop)
        loop = changed
    return loop, rules, LOOPS


@cache
def judged(name: str) -> Report:
    """Return what is found in a sound loop."""
    loop, rules, folder = sound(name)
    return check(loop, rules, folder=folder)


def found(name: str, change: Change, codes: set[str] | None = None) -> Report:
    """Return what is found in a sound loop with one mistake."""
    loop, rules, folder = sound(name)
    changed = change(loop, rules)
    loop, rules = (changed, rules) if isinstance(changed, Loop) else (loop, changed)
    return check(loop, rules, folder=folder, codes=codes)


def values(**stated: str) -> Change:
    """Return a change of values; CH_201__count stands for CH-201.count."""
    named: Mapping[str, str] = {
        f"{tag.replace('_', '-')}.{key}": value
        for (tag, _, key), value in ((name.partition("__"), value) for name, value in stated.items())
    }
    return lambda loop, rules: with_values(loop, rules, dict(named))


def part(tag: str, **what: Any) -> Change:
    """Return a change of what a part is, beside its values."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        return replace(loop, parts=tuple(replace(p, **what) if p.tag == tag else p for p in loop.parts))

    return change


def without(*tags: str) -> Change:
    """Return the removal of parts, lines and switches."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        return replace(
            loop,
            parts=tuple(p for p in loop.parts if p.tag not in tags),
            lines=tuple(line for line in loop.lines if line.tag not in tags),
            switches=tuple(switch for switch in loop.switches if switch.tag not in tags),
        )

    return change


def made_of(material: str, *tags: str) -> Change:
    """Return the choice of another material for parts."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        for tag in tags:
            parts = (replace(p, material=material) if p.tag == tag else p for p in loop.parts)
            loop = replace(loop, parts=tuple(parts))
        return loop

    return change


def both(*changes: Change) -> Change:
    """Return several changes that belong to one mistake."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        for one in changes:
            changed = one(loop, rules)
            assert isinstance(changed, Loop)
            loop = changed
        return loop

    return change


def site(**stated: float) -> Change:
    """Return a change of the site, in SI."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        return replace(loop, site=Frozen({**loop.site, **stated}))

    return change


def boils(at: float) -> Change:
    """Return a place whose liquids boil at a temperature [K]."""

    def change(loop: Loop, rules: Rulebook) -> Rulebook:
        del loop
        return replace(rules, liquids=tuple(replace(liquid, boils=at) for liquid in rules.liquids))

    return change


def starts(tag: str, *, running: bool, vessel: str, temperature: float) -> Change:
    """Return a start with a turbine that runs or rests, and a vessel at a temperature [K]."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        begin = {
            **loop.start,
            tag: Frozen({**loop.start.get(tag, {}), "running": running}),
            vessel: Frozen({**loop.start[vessel], "temperature": temperature}),
        }
        return replace(loop, start=Frozen(begin))

    return change


def senses(tag: str, reading: str, *, differential: float) -> Change:
    """Return a switch that reads something else, with another differential [K]."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        moved = (
            replace(each, senses=reading, differential=differential) if each.tag == tag else each
            for each in loop.switches
        )
        return replace(loop, switches=tuple(moved))

    return change


def straight() -> Change:
    """Return test loop S as a string whose two banks stand straight behind each other."""

    def change(loop: Loop, rules: Rulebook) -> Loop:
        del rules
        moved = {"L-112": "CH-202.in", "L-113": "T-121.in"}
        lines = (replace(line, end=moved.get(line.tag, line.end)) for line in loop.lines)
        gone = {"T-111", "TV-120", "TSH-120", "L-103", "L-121", "L-123"}
        return replace(
            loop,
            parts=tuple(p for p in loop.parts if p.tag not in gone),
            lines=tuple(line for line in lines if line.tag not in gone),
            switches=tuple(switch for switch in loop.switches if switch.tag not in gone),
        )

    return change


@dataclass(frozen=True)
class Seed:
    """One mistake in a sound loop."""

    code: str
    name: str
    """Of the sound loop."""
    mistake: str
    tag: str
    """That a finding must name first."""
    change: Change

    @property
    def label(self) -> str:
        """Return a short name for a test."""
        return f"{self.code} {self.mistake}"
