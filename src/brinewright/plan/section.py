"""What must be emptied when part of a loop is to be opened, and what shuts it off from the rest."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from brinewright.errors import UnknownNameError
from brinewright.plan.pipework import End, Pipework

WHOLE = "all"
"""Names every line of the loop."""


@dataclass(frozen=True, kw_only=True)
class Isolation:
    """A place where the section is shut off from the rest of the plant."""

    tag: str
    """The valve or store that does it."""
    position: str
    """Where it is held: "shut", or the way of a three-way valve that stays open; "" for an open mouth."""
    line: str
    """The line of the section that ends on it."""
    text: str


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A place where a valve is missing, so that more than was asked for is emptied, or a tank follows."""

    tag: str
    """The part at which nothing can be shut."""
    line: str
    """The line of the section that ends on it."""
    store: bool
    """Whether it is a store, whose own content would follow."""
    text: str
    remedy: str


@dataclass(frozen=True, kw_only=True)
class Section:
    """What was asked for, what must be emptied with it, and its boundary."""

    asked: tuple[str, ...]
    lines: tuple[str, ...]
    parts: tuple[str, ...]
    stores: tuple[str, ...]
    """Stores that are to be emptied themselves, because they were asked for by tag."""
    beyond: tuple[str, ...]
    """Lines and parts that nobody asked for, emptied because no valve stands between."""
    left: tuple[str, ...]
    """Lines of a named section that stay full, because they lie between a store and its valve."""
    isolations: tuple[Isolation, ...]
    openings: tuple[Opening, ...]


def section_names(pipes: Pipework) -> tuple[str, ...]:
    """Return the names of all sections of a loop, and the word for all of it."""
    return (*sorted({line.section for line in pipes.lines.values() if line.section}), WHOLE)


def enclose(pipes: Pipework, names: Iterable[str]) -> Section:
    """Return what must be emptied to open the named sections, lines or parts.

    A section goes on until a valve, or a store that it enters from above, ends it.  Where
    neither stands, the boundary moves outwards and the missing valve is told.

    Parameters
    ----------
    pipes : the loop as pipes
    names : sections, tags of lines or parts, or "all"

    Raises
    ------
    UnknownNameError
        If a name is neither a section nor a tag.
    """
    asked = tuple(dict.fromkeys(names))
    lines, parts = _asked(pipes, asked)
    left = {tag for tag in lines if tag not in asked and _is_neck(pipes, tag, parts)}
    lines -= left
    parts = {tag for tag in parts if tag in asked or _is_between(pipes, tag, lines)}
    wanted = lines | parts
    stores = {tag for tag in parts if pipes.is_store(tag)}
    missing: dict[tuple[str, str], Opening] = {}
    held: dict[tuple[str, str], Isolation | Opening] = {}
    lines, grown = set(lines), True
    while grown:
        # what shuts a way off depends on which other ways are in the section, so all are asked again
        held, grown = {}, False
        for end in [pipes.end(line, start=start) for line in sorted(lines) for start in (True, False)]:
            others = _others(pipes, end)
            if end.tag in stores or (
                others and all(o.line in lines for o in others) and not pipes.is_store(end.tag)
            ):
                continue
            stop = _held(pipes, end, lines)
            if stop is not None:
                held[(end.line, end.tag)] = stop
                continue
            more = [other.line for other in others if other.line not in lines]
            if more:
                lines |= set(more)
                missing[(end.line, end.tag)] = _missing(end, more)
                grown = True
    parts |= {tag for tag in pipes.ends if _is_between(pipes, tag, lines)}
    beyond = (lines | parts) - wanted - {tag for tag in parts if _is_between(pipes, tag, wanted)}
    found = list(held.values())
    return Section(
        asked=asked,
        lines=tuple(tag for tag in pipes.lines if tag in lines),
        parts=tuple(tag for tag in pipes.parts if tag in parts - stores),
        stores=tuple(sorted(stores)),
        beyond=tuple(tag for tag in (*pipes.lines, *pipes.parts) if tag in beyond),
        left=tuple(tag for tag in pipes.lines if tag in left - lines),
        isolations=tuple(_once(one for one in found if isinstance(one, Isolation))),
        openings=(*missing.values(), *(one for one in found if isinstance(one, Opening))),
    )


def _others(pipes: Pipework, end: End) -> list[End]:
    """Return the other ends of lines on the same side of a part."""
    return [
        other
        for other in pipes.ends[end.tag]
        if other.side == end.side and (other.line, other.is_start) != (end.line, end.is_start)
    ]


def _once(isolations: Iterable[Isolation]) -> list[Isolation]:
    """Return one isolation for each valve and position; a store may be entered by several lines."""
    seen: dict[tuple[str, str, str], Isolation] = {}
    for one in isolations:
        seen.setdefault((one.tag, one.position, "" if one.position else one.line), one)
    return list(seen.values())


def _asked(pipes: Pipework, names: Sequence[str]) -> tuple[set[str], set[str]]:
    """Return the lines and parts that are named, with the parts that lie between named lines."""
    lines: set[str] = set()
    parts: set[str] = set()
    known = section_names(pipes)
    for name in names:
        if name == WHOLE:
            lines |= set(pipes.lines)
        elif name in known:
            lines |= {line.tag for line in pipes.lines.values() if line.section == name}
        elif name in pipes.lines:
            lines.add(name)
        elif name in pipes.ends:
            parts.add(name)
            lines |= {end.line for end in pipes.ends[name]}
        else:
            raise UnknownNameError(
                name, [*known, *pipes.lines, *pipes.ends], "section, line or part with liquid"
            )
    return lines, parts | {tag for tag in pipes.ends if _is_between(pipes, tag, lines)}


def _is_between(pipes: Pipework, tag: str, lines: set[str]) -> bool:
    """Tell whether every line on a side of a part is among these, and it is no store."""
    sides = {end.side for end in pipes.ends[tag]}
    return not pipes.is_store(tag) and any(
        all(end.line in lines for end in pipes.ends[tag] if end.side == side) for side in sides
    )


def _is_neck(pipes: Pipework, tag: str, parts: set[str]) -> bool:
    """Tell whether a line joins a store with nothing but a shut-off valve, and the store stays full."""
    first, last = (pipes.end(tag, start=start).tag for start in (True, False))
    return any(
        pipes.is_store(store) and store not in parts and pipes.is_shut_off(valve)
        for store, valve in ((first, last), (last, first))
    )


def _held(pipes: Pipework, end: End, lines: set[str]) -> Isolation | Opening | None:
    """Return what shuts a section off at one end of a line; None where the section goes on."""
    tag = end.tag
    if pipes.is_store(tag):
        return _at_store(pipes, end)
    if pipes.is_shut_off(tag):
        return Isolation(
            tag=tag, position="shut", line=end.line, text=f"Shut {tag} at the end of {end.line}."
        )
    if pipes.is_selector(tag):
        return _at_selector(pipes, end, lines)
    return None


def _at_selector(pipes: Pipework, end: End, lines: set[str]) -> Isolation | None:
    """Return how a three-way valve is held so that its ways into the section end there, if it can be."""
    ends = pipes.ends[end.tag]
    inside = {one.port if one.port in ("a", "b") else "common" for one in ends if one.line in lines}
    if inside in ({"a"}, {"common", "b"}):
        position, shut = "b", "a"
    elif inside in ({"b"}, {"common", "a"}):
        position, shut = "a", "b"
    else:
        return None
    return Isolation(
        tag=end.tag,
        position=position,
        line=end.line,
        text=f"Hold {end.tag} at {position}: its way {shut} is shut.",
    )


def _at_store(pipes: Pipework, end: End) -> Isolation | Opening:
    enters = not end.is_start
    if enters and end.height is not None and end.height >= pipes.brim(end.tag):
        return Isolation(
            tag=end.tag,
            position="",
            line=end.line,
            text=f"{end.line} ends above the liquid of {end.tag}: nothing can run back.",
        )
    where = "its outlet" if not enters else "the end of " + end.line
    return Opening(
        tag=end.tag,
        line=end.line,
        store=True,
        text=f"No valve stands between {end.tag} and {end.line}: the content of {end.tag} would follow.",
        remedy=f"Put a shut-off valve at {where}"
        + ("." if not enters else f", or let {end.line} end above the brim of {end.tag}."),
    )


def _missing(end: End, more: Sequence[str]) -> Opening:
    others = ", ".join(more)
    return Opening(
        tag=end.tag,
        line=end.line,
        store=False,
        text=f"No valve stands between {end.line} and {others} at {end.tag}: {others} must be emptied too.",
        remedy=f"Put a shut-off valve between {end.tag} and {end.line}.",
    )
