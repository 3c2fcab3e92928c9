"""Read [start]: where each store of a loop begins."""

from brinewright.errors import nearest_names
from brinewright.files.frame import Frame
from brinewright.files.tables import Table
from brinewright.files.values import example_of, file_key, read_values, refuse_missing, refuse_reversed
from brinewright.model.frozen import EMPTY, Frozen
from brinewright.model.loop import Part

SETTLED = "settled"
"""What stands in place of the table when the run begins from a repeating day."""


def read_start(frame: Frame, top: Table, parts: tuple[Part, ...]) -> tuple[Frozen, bool]:
    """Return what [start] states by tag, and whether the loop begins settled."""
    raw = top.take("start")
    if raw == SETTLED:
        return EMPTY, True
    if raw is None:
        said = 'the table [start] is missing: where each store begins, or start = "settled" at the top.'
        top.wrong("", said, _example(frame), at_key=True)
        return EMPTY, False
    if isinstance(raw, str):
        top.wrong(
            "start", f'start = "{raw[:40]}"; expected a table or "{SETTLED}".', f'Write start = "{SETTLED}"'
        )
        return EMPTY, False
    outer = Table(raw, ("start",), frame.problems, "start", ambient=frame.ambient)
    rows = {tag: Frozen(_row(frame, outer, tag)) for tag in outer.values}
    if outer.is_table:
        _refuse_unstated(frame, outer, parts)
    return Frozen(rows), False


def _row(frame: Frame, outer: Table, tag: str) -> dict[str, float | str | bool | tuple[object, ...]]:
    owner = frame.owners.get(tag)
    table = Table(
        outer.values[tag], ("start", tag), frame.problems, f'start of "{tag[:40]}"', ambient=frame.ambient
    )
    if owner is None or owner.what not in ("part", "line"):
        names = [name for name, other in frame.owners.items() if other.kind and other.kind.start]
        table.wrong(
            "", f'there is no part or line "{tag[:60]}".', nearest_names(tag[:60], names).strip(), at_key=True
        )
        return {}
    if owner.kind is None or not table.is_table:
        return {}
    if not owner.kind.start:
        table.wrong("", f"a {owner.kind.name} stores nothing.", "Leave the line out.", at_key=True)
        return {}
    values = read_values(table, owner.kind.start, ())
    refuse_missing(table, owner.kind.start, values)
    refuse_reversed(table, values)
    table.refuse_rest(file_key(parameter.name) for parameter in owner.kind.start)
    return dict(values)


def _refuse_unstated(frame: Frame, outer: Table, parts: tuple[Part, ...]) -> None:
    """Note each store that [start] says nothing of."""
    for part in parts:
        owner = frame.owners.get(part.tag)
        if owner is None or owner.kind is None or part.tag in outer.values:
            continue
        needed = [p for p in owner.kind.start if p.default is None and not p.optional]
        if needed:
            pairs = ", ".join(f"{file_key(p.name)} = {example_of(p)}" for p in needed)
            said = f'"{part.tag}", a {owner.kind.name}, is missing.'
            outer.wrong("", said, f"Add the line: {part.tag} = {{ {pairs} }}", at_key=True)


def _example(frame: Frame) -> str:
    for tag, owner in frame.owners.items():
        needed = [p for p in owner.kind.start if p.default is None and not p.optional] if owner.kind else []
        if needed:
            pairs = ", ".join(f"{file_key(p.name)} = {example_of(p)}" for p in needed)
            return f"Add [start] and under it: {tag} = {{ {pairs} }}"
    return f'Write start = "{SETTLED}" above the first table.'
