"""Change one value: in the text of a file, keeping its comments, or in a loop."""

import tomllib
from collections.abc import Iterator
from typing import Any

from brinewright.errors import InputError, Problem, nearest_names
from brinewright.files.document import Document
from brinewright.files.loop import loop_of
from brinewright.files.parts import declared
from brinewright.files.tables import Problems
from brinewright.files.write import kind_of, loop_document
from brinewright.model.loop import Line, Loop, Part
from brinewright.model.rulebook import Rulebook

_TAGGED = ("part", "line", "switch", "logic")
_TOP = ("name", "rulebook", "liquid", "temperature", "start")


def set_value(text: str, assignment: str) -> str:
    r"""Return the text of a file with one value changed and everything else as it was.

    Parameters
    ----------
    text : the TOML text
    assignment : such as "CH-201.count=4", "L-104.length=14 m" or "site.gravity=3.7 m/s2"

    Example
    -------
    >>> print(set_value('[site]\ngravity = "9.8 m/s2" # measured\n', "site.gravity=3.7 m/s2"))
    [site]
    gravity = "3.7 m/s2" # measured
    <BLANKLINE>
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    name, value = split_assignment(assignment)
    try:
        document = tomlkit.parse(text)
        table, key = _place(document, name)
        table[key] = value
        return tomlkit.dumps(document)
    except TOMLKitError as error:
        raise InputError(f"The file can't be changed, because it is not TOML: {error}.") from None


def with_value(loop: Loop, rulebook: Rulebook, name: str, text: str) -> Loop:
    """Return the loop with one value changed, read and judged as if its file said so.

    Parameters
    ----------
    loop : the loop, which stays as it is
    rulebook : the rulebook that it is held against
    name : such as "CH-201.count", "TSH-110.set", "site.gravity", "start.TK-101.level"
    text : the value as a file or a command line states it: "4", "22 degC"
    """
    return with_values(loop, rulebook, {name: text})


def with_values(loop: Loop, rulebook: Rulebook, values: dict[str, str]) -> Loop:
    """Return the loop with several values changed, judged when all of them are."""
    document = loop_document(loop)
    for name, text in values.items():
        table, key = _place(document, name)
        table[key] = _value(text)
    said = ", ".join(f"{name}={text}" for name, text in values.items())
    problems = Problems(Document(document, "", f"--set {said}"))
    return loop_of(document, rulebook, problems, foreign=_is_foreign(loop, rulebook))


def _is_foreign(loop: Loop, rulebook: Rulebook) -> bool:
    """Tell whether a loop states numbers of laws that this rulebook does not follow."""
    entries = {entry.key: entry for entry in rulebook.entries}
    items: tuple[Part | Line, ...] = (*loop.parts, *loop.lines)
    for item in items:
        entry = entries.get(item.use)
        if entry is not None:
            kind = kind_of(item.use)
            if set(item.values) - {parameter.name for parameter in declared(kind, kind.law(entry.law))}:
                return True
    return False


def split_assignment(assignment: str) -> tuple[str, Any]:
    """Return the name and the value of "NAME=VALUE"."""
    name, equals, text = assignment.partition("=")
    if not equals or not name.strip():
        advice = "Write for example CH-201.count=4 or TSH-110.set=22 degC."
        raise InputError([Problem(f'"{assignment[:80]}" is no NAME=VALUE.', advice)])
    return name.strip(), _value(text)


def _value(text: str) -> Any:
    """Return a TOML value where the text is one; else the text itself, so that units need no quotes."""
    try:
        value = tomllib.loads(f"value = {text}")["value"] if "\n" not in text else text
    except (ValueError, RecursionError):
        return text.strip()
    return value if isinstance(value, bool | int | float | str | list | dict) else text.strip()


def _place(document: Any, name: str) -> tuple[Any, str]:
    """Return the table in which a dotted name stands, and its last key."""
    head, *rest = name.split(".")
    for table in _tagged(document):
        if table.get("tag", table.get("name")) == head and rest:
            return _walk(table, rest, name)
    if rest and isinstance(document.get(head), dict):
        return _walk(document[head], rest, name)
    if rest and head in ("site", "start", "schedule", "margin") and head not in document:
        document[head] = {}
        return _walk(document[head], rest, name)
    if not rest and head in _TOP:
        return document, head
    tags = [str(table.get("tag", table.get("name", ""))) for table in _tagged(document)]
    near = nearest_names(head, [*tags, *_TOP, "site"]).strip()
    said = (
        f'"{name[:60]}" does not say which value of {head}.'
        if head in tags
        else f'There is no "{head[:60]}" to set.'
    )
    raise InputError([Problem(said, f"Write {head}.count=4, for example." if head in tags else near)])


def _tagged(document: Any) -> Iterator[Any]:
    for key in (*_TAGGED, "circuit"):
        tables = document.get(key)
        if isinstance(tables, list):
            yield from (table for table in tables if isinstance(table, dict))


def _walk(table: Any, rest: list[str], name: str) -> tuple[Any, str]:
    for key in rest[:-1]:
        if key not in table:
            table[key] = {}
        table = table[key]
        if not isinstance(table, dict):
            raise InputError([Problem(f'"{name[:60]}": {key} is no table, so nothing in it can be set.')])
    return table, rest[-1]
