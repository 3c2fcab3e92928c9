"""Where two loops differ, number by number, each as its file would state it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from brinewright.files.write import loop_document, stated_values
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook

NAMED = ("part", "line", "switch", "logic", "circuit")
"""Tables of a loop whose rows have a name of their own."""


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One number, word or part that is not the same in every design."""

    subject: str
    """Tag, or the table that it stands in."""
    parameter: str
    """"" where the whole part is missing in one of them."""
    values: tuple[str, ...]
    """As each file states it, with its unit; "" where it does not."""

    @property
    def name(self) -> str:
        """Return the dotted name, as `--set` takes it."""
        return f"{self.subject}.{self.parameter}" if self.parameter else self.subject


def differences(loops: Sequence[Loop]) -> tuple[Difference, ...]:
    """Return everything that the files of several loops state differently, in the order of the first.

    The name of a loop, its rulebook and its waivers are left out.
    """
    told = [_flat(loop) for loop in loops]
    whole = [{subject for subject, parameter in rows if parameter == "use"} for rows in told]
    named = set().union(*whole)
    found = []
    missing: set[str] = set()
    for subject, parameter in _keys(told):
        there = [subject in subjects for subjects in whole]
        if subject in named and not all(there):
            if subject not in missing:
                missing.add(subject)
                values = tuple(
                    rows.get((subject, "use"), "there") if is_there else ""
                    for rows, is_there in zip(told, there, strict=True)
                )
                found.append(Difference(subject=subject, parameter="", values=values))
            continue
        values = tuple(rows.get((subject, parameter), "") for rows in told)
        if len(set(values)) > 1:
            found.append(Difference(subject=subject, parameter=parameter, values=values))
    return tuple(found)


def _keys(told: Sequence[Mapping[tuple[str, str], str]]) -> list[tuple[str, str]]:
    return list(dict.fromkeys(key for rows in told for key in rows))


def _flat(loop: Loop) -> dict[tuple[str, str], str]:
    """Return what a loop's file states, by subject and parameter."""
    document = loop_document(loop)
    rows: dict[tuple[str, str], str] = {}
    for table in NAMED:
        for row in document.get(table, ()):
            subject = str(row.get("tag", row.get("name", "")))
            rows[(subject, "use")] = str(row.get("use", table))
            _put(
                rows,
                subject,
                {key: value for key, value in row.items() if key not in ("tag", ("name"), "use")},
            )
    for name, row in document.get("schedule", {}).items():
        _put(rows, f"schedule {name}", row)
    for table in ("site", "margin", "liquid", "temperature"):
        if table in document:
            _put(
                rows,
                table,
                document[table] if isinstance(document[table], dict) else {table: document[table]},
            )
    start = document.get("start", {})
    for tag, row in start.items() if isinstance(start, dict) else ():
        _put(rows, f"start.{tag}", row)
    return rows


def _put(rows: dict[tuple[str, str], str], subject: str, row: Mapping[str, Any]) -> None:
    for path, value in _leaves(row):
        rows[(subject, path)] = value


def _leaves(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield from _leaves(item, f"{path}.{key}" if path else str(key))
    elif isinstance(value, list | tuple) and any(isinstance(item, Mapping) for item in value):
        yield path, "; ".join(_drive(item) for item in value)
    elif isinstance(value, list | tuple):
        yield (
            path,
            (", ").join(" ".join(map(str, item)) if isinstance(item, list) else str(item) for item in value),
        )
    else:
        yield path, str(value)


def _drive(item: Mapping[str, Any]) -> str:
    """Return what a signal drives in one word each: "TV-110 a"."""
    return " ".join(str(value) for value in item.values())


def law_differences(loop: Loop, rulebooks: Sequence[Rulebook]) -> tuple[Difference, ...]:
    """Return the entries that a loop uses whose law or numbers differ between rulebooks."""
    used = sorted({part.use for part in loop.parts} | {line.use for line in loop.lines if line.use})
    found = []
    for use in used:
        entries = [rules.entry(use) for rules in rulebooks]
        laws = tuple(entry.law for entry in entries)
        if len(set(laws)) > 1:
            found.append(Difference(subject=use, parameter="law", values=laws))
            continue
        told = [stated_values(use, entry.values) for entry in entries]
        for name in dict.fromkeys(name for row in told for name in row):
            values = tuple(str(row.get(name, "")) for row in told)
            if len(set(values)) > 1:
                found.append(Difference(subject=use, parameter=name, values=values))
    return tuple(found)
