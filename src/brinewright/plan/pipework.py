"""A loop as pipes that can be emptied: what holds how much, what meets what, what can be shut.

What a part is is told by what its kind declares, never by which kind it is.
"""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from brinewright.compile.place import resolve
from brinewright.compile.view import View
from brinewright.laws.tank import pipe_volume
from brinewright.model.loop import Line, Loop
from brinewright.model.rulebook import Rulebook

LITRES = 1000.0
"""Litres in a cubic metre."""


@dataclass(frozen=True)
class End:
    """One end of a line on a port of a part, at a height [m] if the loop states one."""

    line: str
    is_start: bool
    tag: str
    port: str
    height: float | None

    @property
    def side(self) -> str:
        """Return the side of a part with two liquids: what stands before the hyphen, else ""."""
        return self.port.partition("-")[0] if "-" in self.port else ""


class Pipework:
    """Lines, parts and stores of a loop under a rulebook, with their contents and heights."""

    def __init__(self, loop: Loop, rules: Rulebook) -> None:
        self.loop = loop
        self.rules = rules
        self.views, self._site = resolve(loop, rules)
        self.lines: Mapping[str, Line] = {line.tag: line for line in loop.lines}
        self.parts = tuple(part.tag for part in loop.parts)

    def site(self, name: str, otherwise: float = 0.0) -> float:
        """Return a number of the site in SI, its first value where it follows a schedule."""
        value = self._site.get(name, otherwise)
        if isinstance(value, str):
            return next(s.values[0] for s in self.loop.schedules if s.name == value)
        return float(value)

    @cached_property
    def ends(self) -> Mapping[str, Sequence[End]]:
        """Return the ends of lines on each part, in the order of the file."""
        found: dict[str, list[End]] = defaultdict(list)
        for line in self.loop.lines:
            heights = line.levels or (None, None)
            for is_start, text, height in ((True, line.start, heights[0]), (False, line.end, heights[1])):
                tag, _, port = text.partition(".")
                found[tag].append(End(line.tag, is_start, tag, port, height))
        return found

    def end(self, line: str, *, start: bool) -> End:
        """Return one end of a line."""
        stated = self.lines[line].start if start else self.lines[line].end
        tag = stated.partition(".")[0]
        return next(end for end in self.ends[tag] if end.line == line and end.is_start == start)

    def view(self, tag: str) -> View:
        """Return a part or line with its numbers."""
        return self.views[tag]

    def litres(self, tag: str, side: str | None = None) -> float:
        """Return what stands in a line, or in a part and all its units, without a store's content [l].

        A line holds pi/4 d^2 L; a part holds what its `hold_up` says.
        """
        if tag in self.lines:
            line = self.lines[tag]
            return LITRES * float(pipe_volume(line.bore, line.length))
        view = self.views[tag]
        if self.is_store(tag) or not view.fillings:
            return 0.0
        names = sorted(
            parameter.name
            for parameter in (*view.declared.law(view.law).parameters, *view.declared.parameters)
            if parameter.name == "hold_up" or parameter.name.endswith("_hold_up")
        )
        total = 0.0
        for end_side in sorted({end.side for end in self.ends[tag]}):
            if side is not None and end_side != side:
                continue
            if name := _content_of(end_side, names):
                total += view.count * view.number(name) / self.density(tag, end_side) * LITRES
        return total

    def density(self, tag: str, side: str = "") -> float:
        """Return the density of the liquid in a part or line at its circuit's working mean [kg/m3]."""
        fillings = self.views[tag].fillings
        filling = fillings.get(side) or next(iter(fillings.values()))
        return filling.density

    def circuit(self, tag: str, side: str = "") -> str:
        """Return the name of the circuit in which a part or line stands, "" for none."""
        fillings = self.views[tag].fillings
        if not fillings:
            return ""
        return (fillings.get(side) or next(iter(fillings.values()))).name

    # what a part is, by what its kind declares ---------------------------------------

    def is_store(self, tag: str) -> bool:
        """Tell whether coolant waits in a part at a level."""
        return self.views[tag].declared.role == "store"

    def is_shut_off(self, tag: str) -> bool:
        """Tell whether a part can shut the way through it."""
        return self.views[tag].declared.positions == ("open", "shut") and self._is_valve(tag)

    def is_selector(self, tag: str) -> bool:
        """Tell whether a part opens one of two ways."""
        return self.views[tag].declared.positions == ("a", "b") and self._is_valve(tag)

    def _is_valve(self, tag: str) -> bool:
        return self.views[tag].declared.role == "valve"

    def is_one_way(self, tag: str) -> bool:
        """Tell whether a part lets liquid pass forwards only, by itself."""
        declared = self.views[tag].declared
        has_flap = any(channel.name == "open" for channel in declared.channels)
        return has_flap and declared.positions is None and len(self.ends[tag]) == 2

    def holds_when_stopped(self, tag: str) -> bool:
        """Tell whether nothing passes a part that is stopped, by what it declares."""
        view = self.views[tag]
        return view.declares("when_off") and view.word("when_off") == "stops"

    def is_consumer(self, tag: str) -> bool:
        """Tell whether a part is what the loop is there to cool."""
        return self.views[tag].declared.role == "consumer"

    def is_mover(self, tag: str) -> bool:
        """Tell whether a part drives the liquid."""
        return self.views[tag].declared.role == "mover"

    def is_drain(self, tag: str) -> bool:
        """Tell whether a part is a point through which a section is emptied."""
        return self._is_point(tag) and self.views[tag].declares("plugged")

    def is_vent(self, tag: str) -> bool:
        """Tell whether a part is a point through which air comes in and goes out."""
        return self._is_point(tag) and self.views[tag].declares("automatic")

    def _is_point(self, tag: str) -> bool:
        view = self.views[tag]
        return view.declares("bore") and bool(view.refers("on"))

    # stores --------------------------------------------------------------------------

    @cached_property
    def stores(self) -> tuple[str, ...]:
        """Return the tags of everything that stores coolant."""
        return tuple(tag for tag in self.parts if self.is_store(tag))

    def base(self, store: str) -> float:
        """Return the height of a store's bottom [m]; the datum where it states none."""
        return self.views[store].number("elevation")

    def store_height(self, store: str) -> float:
        """Return the inner height of a store [m]; as high as wide where it states none."""
        view = self.views[store]
        return view.number("tank_height") or (4.0 * view.number("volume") / math.pi) ** (1.0 / 3.0)

    def brim(self, store: str) -> float:
        """Return the height up to which a store may be filled [m]."""
        return self.base(store) + self.views[store].number("highest_level") * self.store_height(store)

    def is_open(self, store: str) -> bool:
        """Tell whether a store breathes: it declares no pressure of its own."""
        return not self.views[store].number("closed_pressure")


def _content_of(side: str, names: Sequence[str]) -> str:
    """Return which of the declared contents is that of a side of a part."""
    if f"{side}_hold_up" in names:
        return f"{side}_hold_up"
    if side:
        # a side that is named for what it does: what the part declares beside its main content
        return next((name for name in names if name != "hold_up"), names[0] if names else "")
    return "hold_up" if "hold_up" in names else ""
