"""Where liquid runs by its own weight: heights, the ways out, and what stays behind.

Lines are straight between the heights of their ends, so liquid can only stay behind where two
of them meet lower than every way out.  The level that stays at a point is the lowest barrier
that has to be passed on the best way out:

    s(n) = min over ways out of the greatest height along the way

Held upside down the same answers which high points air cannot reach.
"""

import heapq
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from brinewright.plan.pipework import LITRES, End, Pipework
from brinewright.plan.section import Section

SPARE = 1e-9
"""Heights that differ by less are the same [m]."""


@dataclass(frozen=True)
class Piece:
    """A straight piece of the section between two points, with what stands in it."""

    tag: str
    """The line or part that it belongs to."""
    first: str
    last: str
    litres: float
    depth: float
    """Its own height where it lies level: the bore of a line [m]."""
    forwards_only: bool = False
    """Whether liquid passes from the first point to the last only."""


@dataclass(frozen=True)
class Mouth:
    """A place where liquid can leave, or air come in."""

    tag: str
    """The drain or vent point, or the line that ends in a store."""
    point: str
    height: float
    """Where it is, or the level that stands against it, if that is higher [m]."""
    bore: float


@dataclass
class Relief:
    """The section as points with heights [m] and the pieces between them."""

    heights: dict[str, float] = field(default_factory=dict)
    pieces: list[Piece] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    """Lines that state no heights."""
    places: dict[str, str] = field(default_factory=dict)
    """The point at which a drain or vent point, or the end of a line, lies."""

    @property
    def is_known(self) -> bool:
        """Whether every height is stated, so that it can be said where liquid runs."""
        return not self.unknown

    def flood(self, mouths: Sequence[Mouth], *, upside_down: bool = False) -> "Flood":
        """Return the level that stays at each point once everything has run to the mouths."""
        sign = -1.0 if upside_down else 1.0
        ways: dict[str, list[tuple[str, bool]]] = defaultdict(list)
        for piece in self.pieces:
            ways[piece.last].append((piece.first, True))
            ways[piece.first].append((piece.last, upside_down or not piece.forwards_only))
        levels: dict[str, float] = {}
        through: dict[str, Mouth] = {}
        queue = [
            (max(sign * mouth.height, sign * self.heights[mouth.point]), index, mouth.point)
            for index, mouth in enumerate(mouths)
        ]
        heapq.heapify(queue)
        while queue:
            level, index, point = heapq.heappop(queue)
            if point in levels:
                continue
            levels[point], through[point] = level, mouths[index]
            for other, can_come in ways[point]:
                if can_come and other not in levels:
                    heapq.heappush(queue, (max(level, sign * self.heights[other]), index, other))
        return Flood(self, {point: sign * level for point, level in levels.items()}, through, upside_down)


@dataclass(frozen=True)
class Flood:
    """Levels that stay [m], and the mouth that each point runs to."""

    relief: Relief
    levels: Mapping[str, float]
    through: Mapping[str, Mouth]
    upside_down: bool = False

    def _level(self, point: str) -> float:
        none = -math.inf if self.upside_down else math.inf
        return self.levels.get(point, none)

    def stays(self, piece: Piece) -> float:
        """Return the share of a piece that stays: liquid, or upside down what air cannot reach [1]."""
        sign = -1.0 if self.upside_down else 1.0
        low, high = sorted((piece.first, piece.last), key=lambda point: sign * self.relief.heights[point])
        bottom, top = sign * self.relief.heights[low], sign * self.relief.heights[high]
        level = sign * self._level(low)
        if top - bottom <= SPARE:
            return float(min(level, sign * self._level(high)) > bottom + SPARE)
        return min(1.0, max(0.0, (level - bottom) / (top - bottom)))

    def runs_to(self, piece: Piece) -> Mouth | None:
        """Return the mouth that a piece empties through; None if it has no way out."""
        heights = self.relief.heights
        points = sorted((piece.first, piece.last), key=lambda point: heights[point])
        if self.upside_down:
            points.reverse()
        reached = [point for point in points if point in self.through]
        return self.through[reached[0]] if reached else None

    def emptied(self, piece: Piece) -> tuple[float, float]:
        """Return the heights between which a piece is emptied [m]; equal for a level piece."""
        bottom, top = sorted((self.relief.heights[piece.first], self.relief.heights[piece.last]))
        return bottom + self.stays(piece) * (top - bottom), top


def relief_of(pipes: Pipework, section: Section, levels: Mapping[str, float]) -> Relief:
    """Return the points, heights and pieces of a section; lines are cut where drains and vents stand.

    `levels` says how full each store is, for those that are emptied themselves [1].
    """
    relief = Relief()
    points = [tag for tag in pipes.parts if pipes.is_drain(tag) or pipes.is_vent(tag)]
    relief.unknown = [tag for tag in section.lines if pipes.lines[tag].levels is None]
    if not relief.is_known:
        return relief
    for tag in section.lines:
        _lay_line(pipes, relief, tag, [point for point in points if tag in pipes.views[point].refers("on")])
    for tag in section.parts:
        for side in sorted({end.side for end in pipes.ends[tag]}):
            ends = [end for end in pipes.ends[tag] if end.side == side and end.line in section.lines]
            _lay_part(pipes, relief, tag, side, ends)
    for tag in section.stores:
        _lay_store(pipes, relief, tag, levels[tag])
    for point in points:
        on = pipes.views[point].refers("on")[0]
        if on in section.stores:
            relief.places[point] = f"{on}_" if pipes.is_drain(point) else f"{on}^"
        elif on in section.parts and point not in relief.places:
            stands = _point(pipes.ends[on][0]) if len(pipes.ends[on]) == 1 else _middle(pipes, relief, on)
            relief.places[point] = stands
    return relief


def _point(end: End) -> str:
    return f"{end.line}{'<' if end.is_start else '>'}"


def _middle(pipes: Pipework, relief: Relief, tag: str) -> str:
    """Return the lowest point of a part."""
    known = [_point(end) for end in pipes.ends[tag] if _point(end) in relief.heights]
    return min(known, key=lambda point: relief.heights[point])


def _lay_line(pipes: Pipework, relief: Relief, tag: str, points: Iterable[str]) -> None:
    line = pipes.lines[tag]
    assert line.levels is not None
    first, last = line.levels
    marks: list[tuple[float, str, float]] = [(0.0, f"{tag}<", first)]
    for point in points:
        view = pipes.views[point]
        at = min(view.number("distance"), line.length)
        on_line = first + (last - first) * at / line.length
        height = view.number("elevation") if view.has("elevation") else on_line
        marks.append((at, point, height))
        relief.places[point] = point
    marks = [*sorted(marks, key=lambda mark: mark[0]), (line.length, f"{tag}>", last)]
    for _, point, height in marks:
        relief.heights[point] = height
    litres = pipes.litres(tag)
    for (begin, one, _), (end, other, _) in pairwise(marks):
        relief.pieces.append(Piece(tag, one, other, litres * (end - begin) / line.length, line.bore))


def _lay_store(pipes: Pipework, relief: Relief, tag: str, level: float) -> None:
    base, height = pipes.base(tag), pipes.store_height(tag)
    bottom, top = f"{tag}_", f"{tag}^"
    relief.heights[bottom], relief.heights[top] = base, base + level * height
    litres = LITRES * pipes.views[tag].number("volume") * level
    relief.pieces.append(Piece(tag, bottom, top, litres, 0.0))
    for end in pipes.ends[tag]:
        if _point(end) in relief.heights:
            relief.pieces.append(Piece(tag, bottom if end.is_start else top, _point(end), 0.0, 0.0))


def _lay_part(pipes: Pipework, relief: Relief, tag: str, side: str, ends: Sequence[End]) -> None:
    if pipes.holds_when_stopped(tag) or len(ends) < 2:
        # nothing passes: what it holds stands at its lowest end
        litres = pipes.litres(tag, side)
        if ends:
            lowest = _point(min(ends, key=lambda end: relief.heights[_point(end)]))
            relief.pieces.append(Piece(tag, lowest, lowest, litres, 0.0))
        return
    litres, one_way = pipes.litres(tag, side), pipes.is_one_way(tag)
    if len(ends) == 2:
        comes, goes = sorted(ends, key=lambda end: end.is_start)  # a line that ends here brings liquid
        relief.pieces.append(Piece(tag, _point(comes), _point(goes), litres, 0.0, one_way))
        return
    centre = f"{tag}{side}"
    relief.heights[centre] = min(relief.heights[_point(end)] for end in ends)
    for end in ends:
        relief.pieces.append(Piece(tag, _point(end), centre, litres / len(ends), 0.0))
