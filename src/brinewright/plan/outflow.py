"""Where each litre of a section goes: by its own weight, by pump, or nowhere."""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from brinewright.plan.drainage import Content, Outlet, Pocket
from brinewright.plan.emptying import time_of_all
from brinewright.plan.heights import Flood, Mouth, Piece, Relief, relief_of
from brinewright.plan.pipework import LITRES, Pipework
from brinewright.plan.section import Section

LEAST = 0.05
"""Less than this is not told [l]."""


@dataclass
class Outflow:
    """The whole account of a section's liquid."""

    relief: Relief
    contents: list[Content] = field(default_factory=list)
    outlets: list[Outlet] = field(default_factory=list)
    pockets: list[Pocket] = field(default_factory=list)
    vents: list[str] = field(default_factory=list)
    unvented: list[Pocket] = field(default_factory=list)

    def given(self) -> dict[str, float]:
        """Return the litres that each store is given."""
        total: dict[str, float] = defaultdict(float)
        for content in self.contents:
            for way in (content.by_gravity, content.by_pump):
                for store, litres in way.items():
                    total[store] += litres
        return dict(total)


def outflow(
    pipes: Pipework, section: Section, levels: Mapping[str, float], *, pump: float | None = None
) -> Outflow:
    """Return where each litre of a section goes.

    Parameters
    ----------
    pipes, section : what is emptied
    levels : how full each store is [1]
    pump : volume flow of the pump that lifts what does not run by itself [m3/s]; None for not stated

    Notes
    -----
    Liquid runs to a store by itself from any point above the store's brim.  Machines are taken
    to empty with their pipes.
    """
    relief = relief_of(pipes, section, levels)
    account = Outflow(relief)
    if not relief.is_known:
        return account
    takers = _takers(pipes, section, levels)
    falls, lifts, into = _mouths(pipes, section, relief, takers)
    first, both = relief.flood(falls), relief.flood([*falls, *lifts])
    bands: dict[Mouth, list[tuple[float, float, float, float]]] = defaultdict(list)
    shares: dict[str, dict[str, dict[str, float]]] = defaultdict(
        lambda: {"gravity": {}, "pump": {}, "stays": {}}
    )
    for piece in relief.pieces:
        kept, lifted = first.stays(piece), both.stays(piece)
        share = shares[piece.tag]
        if kept < 1.0 and (mouth := first.runs_to(piece)):
            low, high = first.emptied(piece)
            bands[mouth].append((piece.litres * (1.0 - kept), low, high, piece.depth))
            _add(share["gravity"], into[mouth], piece.litres * (1.0 - kept))
        if kept > lifted and (mouth := both.runs_to(piece)):
            bands[mouth].append((piece.litres * (kept - lifted), *both.emptied(piece), piece.depth))
            _add(share["pump"], into[mouth], piece.litres * (kept - lifted))
        _add(share["stays"], "", piece.litres * lifted)
    account.contents = [_content(pipes, relief, tag, shares[tag]) for tag in _tags(section)]
    account.outlets = [
        _outlet(mouth, mouth in falls, into[mouth], bands[mouth], pipes.site("gravity"), pump)
        for mouth in (*falls, *lifts)
        if sum(band[0] for band in bands[mouth]) > LEAST
    ]
    account.pockets = [_pocket(relief, both, group) for group in _groups(relief, both)]
    airs = _air(pipes, section, relief, falls)
    account.vents = sorted(mouth.tag for mouth in airs)
    hangs = relief.flood(airs, upside_down=True)
    account.unvented = [_unvented(relief, hangs, group) for group in _groups(relief, hangs)]
    return account


def _tags(section: Section) -> tuple[str, ...]:
    return (*section.lines, *section.parts, *section.stores)


def _add(shares: dict[str, float], name: str, litres: float) -> None:
    shares[name] = shares.get(name, 0.0) + litres


def _takers(pipes: Pipework, section: Section, levels: Mapping[str, float]) -> list[str]:
    """Return the stores of the same liquid that are not emptied themselves, the roomiest first."""
    circuits = {pipes.circuit(tag) for tag in section.lines}
    stores = [
        store for store in pipes.stores if store not in section.stores and pipes.circuit(store) in circuits
    ]
    return sorted(stores, key=lambda store: -room(pipes, store, levels[store]))


def room(pipes: Pipework, store: str, level: float) -> float:
    """Return what a store can still take at a level [l]."""
    view = pipes.views[store]
    return LITRES * view.number("volume") * max(0.0, view.number("highest_level") - level)


def _mouths(
    pipes: Pipework, section: Section, relief: Relief, takers: Sequence[str]
) -> tuple[list[Mouth], list[Mouth], dict[Mouth, str]]:
    """Return the ways out by weight and by pump, and the store that each leads into."""
    falls: list[Mouth] = []
    lifts: list[Mouth] = []
    into: dict[Mouth, str] = {}
    for one in section.isolations:
        if not one.position:
            end = pipes.end(one.line, start=False)
            assert end.height is not None
            mouth = Mouth(one.line, f"{one.line}>", end.height, pipes.lines[one.line].bore)
            falls.append(mouth)
            into[mouth] = one.tag
    for tag, point in sorted(relief.places.items()):
        if not pipes.is_drain(tag) or point not in relief.heights:
            continue
        view = pipes.views[tag]
        mouth = Mouth(tag, point, relief.heights[point], view.number("bore"))
        named = [store for store in view.refers("into") if store not in section.stores]
        below = [store for store in (*named, *takers) if pipes.brim(store) <= mouth.height]
        if named and named[0] not in below:
            below = []  # what is piped to a store above it has no other way
        (falls if below else lifts).append(mouth)
        into[mouth] = below[0] if below else (named or list(takers) or [""])[0]
    return falls, lifts, into


def _content(pipes: Pipework, relief: Relief, tag: str, share: Mapping[str, Mapping[str, float]]) -> Content:
    heights = [
        relief.heights[point]
        for piece in relief.pieces
        if piece.tag == tag
        for point in (piece.first, piece.last)
    ]
    litres = sum(sum(way.values()) for way in share.values())
    return Content(
        tag=tag,
        litres=litres,
        kilograms=litres / LITRES * pipes.density(tag),
        lowest=min(heights, default=None),
        highest=max(heights, default=None),
        by_gravity=_told(share["gravity"]),
        by_pump=_told(share["pump"]),
        stays=sum(share["stays"].values()),
    )


def _told(shares: Mapping[str, float]) -> dict[str, float]:
    return {store: litres for store, litres in sorted(shares.items()) if litres > 0.0}


def unjudged(pipes: Pipework, section: Section, levels: Mapping[str, float]) -> list[Content]:
    """Return what stands in a section whose heights are not all stated: litres, and nothing else."""
    rows = []
    for tag in _tags(section):
        sides = {end.side for end in pipes.ends.get(tag, ()) if end.line in section.lines}
        litres = sum(pipes.litres(tag, side) for side in sides) if sides else pipes.litres(tag)
        if tag in section.stores:
            litres = LITRES * pipes.views[tag].number("volume") * levels[tag]
        heights = pipes.lines[tag].levels if tag in pipes.lines else None
        rows.append(
            Content(
                tag=tag,
                litres=litres,
                kilograms=litres / LITRES * pipes.density(tag),
                lowest=min(heights) if heights else None,
                highest=max(heights) if heights else None,
                by_gravity={},
                by_pump={},
                stays=0.0,
            )
        )
    return rows


def _outlet(
    mouth: Mouth,
    is_fall: bool,
    into: str,
    bands: Sequence[tuple[float, float, float, float]],
    gravity: float,
    pump: float | None,
) -> Outlet:
    litres = sum(band[0] for band in bands)
    if is_fall:
        time: float | None = time_of_all(bands, mouth.height, mouth.bore, gravity)
        time = None if time is not None and math.isinf(time) else time
    else:
        time = litres / LITRES / pump if pump else None
    return Outlet(
        tag=mouth.tag,
        height=mouth.height,
        bore=mouth.bore,
        means="gravity" if is_fall else "pump",
        into=into,
        litres=litres,
        least_time=time,
    )


def _air(pipes: Pipework, section: Section, relief: Relief, falls: Sequence[Mouth]) -> list[Mouth]:
    """Return where air can come in: vent points, and lines that end in the open above a store."""
    vents = [
        Mouth(tag, point, relief.heights[point], pipes.views[tag].number("bore"))
        for tag, point in sorted(relief.places.items())
        if pipes.is_vent(tag) and point in relief.heights
    ]
    breathing = {one.line for one in section.isolations if not one.position and pipes.is_open(one.tag)}
    tops = [
        Mouth(tag, f"{tag}^", relief.heights[f"{tag}^"], 0.0) for tag in section.stores if pipes.is_open(tag)
    ]
    return [*vents, *tops, *(mouth for mouth in falls if mouth.tag in breathing)]


def _groups(relief: Relief, flood: Flood) -> list[list[Piece]]:
    """Return the pieces that keep something, those that hang together in one group."""
    left = [piece for piece in relief.pieces if flood.stays(piece) > 0.0]
    groups: list[list[Piece]] = []
    while left:
        group, points = [left.pop(0)], set()
        grown = True
        while grown:
            points = {point for piece in group for point in (piece.first, piece.last)}
            near = [piece for piece in left if {piece.first, piece.last} & points]
            group += near
            left = [piece for piece in left if piece not in near]
            grown = bool(near)
        if _kept(flood, group) > LEAST:
            groups.append(group)
    return groups


def _kept(flood: Flood, group: Sequence[Piece]) -> float:
    return sum(piece.litres * flood.stays(piece) for piece in group)


def _at(relief: Relief, group: Sequence[Piece], *, highest: bool) -> tuple[str, float]:
    """Return the extreme point of a group, told as a place on a line or part, and its height [m]."""
    points = {point: piece.tag for piece in group for point in (piece.first, piece.last)}
    choose = max if highest else min
    point = choose(sorted(points), key=lambda name: relief.heights[name])
    where = {"<": "the start of ", ">": "the end of "}.get(point[-1], "")
    return (where + point.rstrip("<>_^")), relief.heights[point]


def _pocket(relief: Relief, flood: Flood, group: Sequence[Piece]) -> Pocket:
    litres = _kept(flood, group)
    at, height = _at(relief, group, highest=False)
    tags = tuple(dict.fromkeys(piece.tag for piece in group if piece.litres > 0.0))
    has_way = any(flood.runs_to(piece) for piece in group)
    why = "every way out lies higher" if has_way else "nothing leads out of it"
    return Pocket(
        tags=tags,
        litres=litres,
        height=height,
        at=at,
        text=f"{litres:.0f} l stay in {', '.join(tags)}: {why}.",
        remedy=f"Put a drain point at {at}, {height:g} m.",
    )


def _unvented(relief: Relief, flood: Flood, group: Sequence[Piece]) -> Pocket:
    litres = _kept(flood, group)
    at, height = _at(relief, group, highest=True)
    tags = tuple(dict.fromkeys(piece.tag for piece in group if piece.litres > 0.0))
    return Pocket(
        tags=tags,
        litres=litres,
        height=height,
        at=at,
        text=f"No air reaches {at} at {height:g} m: {litres:.0f} l hang in {', '.join(tags)}, "
        "and as much air stays there when it is filled.",
        remedy=f"Put a vent point at {at}.",
    )
