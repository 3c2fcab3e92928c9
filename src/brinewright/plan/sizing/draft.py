"""A loop under construction: parts, lines and switches, in chapters with a sentence each."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brinewright.files.toml import toml_document, toml_key, toml_table
from brinewright.files.write import loop_document
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Circuit, Drive, Line, Loop, Part, Schedule, Sited, Switch, Value
from brinewright.plan.sizing.setting import bore_for
from brinewright.plan.sizing.stock import Item

LAG = 1.0
"""Lag of a sensor in a run [s]."""
TICKS = 1.0
"""Time that a decision takes beside lag and stroke: the tick in which it is read [s].

A sensor further ahead is no safer: the valve then moves before the edge of a slug has come, and
what stood before the edge goes the wrong way at every cycle.
"""
FLOOR = 0.5
"""Height of runs above the floor [m]."""


@dataclass
class Draft:
    """Parts and lines in the order of the file."""

    pipe: Item
    density: float
    parts: list[Part] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    switches: list[Switch] = field(default_factory=list)
    schedules: list[Schedule] = field(default_factory=list)
    start: dict[str, dict[str, Value]] = field(default_factory=dict)
    chapters: list[tuple[str, list[str]]] = field(default_factory=list)

    def chapter(self, sentence: str) -> None:
        """Begin a chapter of the file."""
        self.chapters.append((sentence, []))

    def _noted(self, tag: str) -> None:
        self.chapters[-1][1].append(tag)

    def part(
        self,
        tag: str,
        item: Item,
        *,
        count: int = 1,
        material: str = "",
        feeder: str = "",
        sited: Sited | None = None,
        refers: Mapping[str, tuple[str, ...]] | None = None,
        shed: int = 0,
        values: Mapping[str, Value] | None = None,
    ) -> str:
        """Add a part; what stands over its entry's numbers comes from the item and from `values`."""
        self.parts.append(
            Part(
                tag=tag,
                use=item.use,
                count=count,
                material=material,
                feeder=feeder,
                sited=sited,
                shed=shed,
                refers=Frozen(refers or {}),
                values=Frozen({**item.over, **(values or {})}),
            )
        )
        self._noted(tag)
        return tag

    def line(
        self,
        tag: str,
        start: str,
        end: str,
        length: float,
        flow: float,
        section: str,
        *,
        rank: int = 0,
        levels: tuple[float, float] = (FLOOR, FLOOR),
    ) -> str:
        """Add a line wide enough for a flow [kg/s]."""
        self.lines.append(
            Line(
                tag=tag,
                start=start,
                end=end,
                length=length,
                bore=bore_for(flow, self.density),
                use=self.pipe.use,
                section=section,
                rank=rank,
                levels=levels,
            )
        )
        self._noted(tag)
        return tag

    def lead(self, flow: float, stroke: float) -> tuple[float, float]:
        """Return how long a line before a valve is and how far before its end its sensor sits, [m] and [m].

        L >= v (tau + t_stroke): what the sensor has read has not passed the valve when it moves.
        """
        bore = bore_for(flow, self.density)
        speed = flow / (self.density * math.pi * bore**2 / 4.0)
        ahead = math.ceil(speed * (LAG + stroke + TICKS) * 10.0) / 10.0
        return math.ceil(ahead + 4.0), ahead

    def high_switch(
        self,
        tag: str,
        senses: str,
        setting: float,
        differential: float,
        drives: tuple[Drive, ...],
        *,
        made: bool,
    ) -> str:
        """Add a switch that makes on rise."""
        self.switches.append(
            Switch(
                tag=tag,
                sense="high",
                senses=senses,
                setting=setting,
                differential=differential,
                lag=LAG,
                start="made" if made else "broken",
                drives=drives,
            )
        )
        self._noted(tag)
        return tag

    def loop(self, name: str, rulebook: str, site: Mapping[str, Value], circuit: Circuit) -> Loop:
        """Return the loop."""
        return Loop(
            name=name,
            rulebook=rulebook,
            site=site,
            circuits=(circuit,),
            parts=tuple(self.parts),
            lines=tuple(self.lines),
            switches=tuple(self.switches),
            schedules=tuple(self.schedules),
            start=Frozen({tag: Frozen(row) for tag, row in self.start.items()}),
        )


def commented(loop: Loop, head: str, chapters: list[tuple[str, list[str]]]) -> str:
    """Return a loop as TOML, in chapters with a sentence each."""
    document = loop_document(loop)
    top: dict[str, Any] = {
        key: document[key]
        for key in ("format", "name", "rulebook", "liquid", "temperature")
        if key in document
    }
    rows = {
        row["tag"]: (f"[[{key}]]", row) for key in ("part", "line", "switch") for row in document.get(key, ())
    }
    texts = ["".join(f"# {line}\n" for line in head.splitlines()) + toml_table("", top)]
    if "site" in document:
        texts.append(toml_table("[site]", document["site"]))
    texts += [toml_table("[[circuit]]", row) for row in document.get("circuit", ())]
    for sentence, tags in chapters:
        tables = [toml_table(*rows.pop(tag)) for tag in tags]
        if tables:
            texts.append(f"# ---- {sentence}\n{tables[0]}")
            texts += tables[1:]
    texts += [toml_table(header, row) for header, row in rows.values()]
    for name, row in document.get("schedule", {}).items():
        texts.append(toml_table(f"[schedule.{toml_key(name)}]", row))
    texts.append(toml_table("[start]", document["start"]))
    return toml_document(texts)
