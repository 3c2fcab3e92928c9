"""One TOML file as plain values, with the line and column of each.

Values come from the standard library's reader.  Places are looked up only when something
is wrong, so a good file does not pay for them.
"""

import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from brinewright.errors import InputError, Problem
from brinewright.files.places import Places

LARGEST_FILE = 4_000_000
"""Largest file that is read [bytes]."""
MOST_PARTS = 20_000
"""Most tables of one name, such as [[part]], in one file."""
DEEPEST = 12
"""Deepest nesting of tables, arrays and dotted names."""
MOST_LINES = 250_000
"""Most lines of one file."""
LONGEST_LINE = 20_000
"""Longest line [characters]."""
_MOST_REPAIRS = 20

_OUTSIDE = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"""|\Z)|\'\'\'.*?(?:\'\'\'|\Z)|"(?:\\.|[^"\\\n])*"?|\'[^\'\n]*\'?|#[^\n]*',
    re.DOTALL,
)
_DOTTED = re.compile(rf"(?:[\w-]+[ \t]*\.[ \t]*){{{DEEPEST}}}")
_TABLE_NAME = re.compile(r"^[ \t]*\[\[[ \t]*([\w-]+)", re.MULTILINE)
_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_UNQUOTED = re.compile(
    r"""^(\s*[\w-]+(?:\s*\.\s*[\w-]+)*\s*=\s*)([^\s"'\[{#][^"'\[{#\]}]{0,60}?)(\s*(?:#.*)?)$"""
)
_LONG_NUMBER = re.compile(r"\d{4000,}")


@dataclass(frozen=True)
class Document:
    """The values of one file and where they stand."""

    values: dict[str, Any]
    text: str = ""
    file: str = ""
    problems: tuple[Problem, ...] = ()
    """What is wrong already, although the rest could be read."""

    @cached_property
    def places(self) -> Places:
        """Return the places of all keys and values; built when first asked for."""
        return Places(self.text)


def read_text(path: Path) -> str:
    """Return the text of a file, refused in words when it is missing, too large or not text."""
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= LARGEST_FILE else b""
    except FileNotFoundError:
        raise _refused("There is no such file.", _neighbours(path), path) from None
    except IsADirectoryError:
        raise _refused("This is a folder, not a file.", _neighbours(path / "x"), path) from None
    except OSError as error:
        raise _refused(f"The file can't be read: {error.strerror or error}.", "", path) from None
    except ValueError:
        raise _refused("This is no name of a file.", "", path) from None
    if size > LARGEST_FILE:
        raise _refused(
            f"The file has {size / 1e6:.1f} MB; at most {LARGEST_FILE / 1e6:g} MB are read.",
            "Split the design, or look whether this is the right file.",
            path,
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8", "replace")
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        problem = Problem("The file is not UTF-8 text.", "Save it as UTF-8.", str(path), line, column)
        raise InputError([problem]) from None


def parse_document(text: str, file: str = "") -> Document:
    """Return the values of a TOML text; what is no TOML is refused with its line and column.

    A quantity without quotes (`length = 12 m`) is noted and read as if it had them, so that
    one such slip does not hide the other problems of the file.
    """
    _guard(text, file)
    problems: list[Problem] = []
    while True:
        try:
            return Document(tomllib.loads(text), text, file, tuple(problems))
        except RecursionError:
            raise _refused("Tables or lists are nested too deep.", "", file) from None
        except ValueError as error:
            problem, repaired = _explained(error, text, file)
            problems.append(problem)
            if repaired is None or len(problems) > _MOST_REPAIRS:
                raise InputError(problems) from None
            text = repaired


def _refused(message: str, advice: str, file: str | Path, line: int = 0, column: int = 0) -> InputError:
    return InputError([Problem(message, advice, str(file), line, column)])


def _neighbours(path: Path) -> str:
    try:
        names = sorted(item.name for item in path.parent.glob("*.toml"))
    except (OSError, ValueError):
        return ""
    return f"In that folder are: {', '.join(names[:8])}." if names else ""


def _guard(text: str, file: str) -> None:
    """Refuse what would take the readers below very long."""
    if len(text) > LARGEST_FILE:
        raise _refused(f"The text has more than {LARGEST_FILE / 1e6:g} million characters.", "", file)
    for name, number in Counter(_TABLE_NAME.findall(text)).items():
        if number > MOST_PARTS:
            message = f"There are {number:,} tables [[{name}]]; at most {MOST_PARTS:,} are read."
            raise _refused(message, "Write a bank of equal parts as one part with a count.", file)
    if text.count("\n") >= MOST_LINES:
        raise _refused(f"The text has more than {MOST_LINES:,} lines.", "", file)
    bare = _OUTSIDE.sub(lambda match: "s" + "\n" * match.group().count("\n"), text)
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            message = f"The line has {len(line):,} characters; at most {LONGEST_LINE:,} are read."
            raise _refused(message, "Break it into several.", file, number, LONGEST_LINE)
    deep = _DOTTED.search(bare)
    position = deep.start() if deep else _too_deep(bare)
    if position is not None:
        row = bare.count("\n", 0, position) + 1
        column = position - bare.rfind("\n", 0, position)
        message = f"Tables, lists or names are nested more than {DEEPEST} deep."
        raise _refused(message, "No file of ours needs that.", file, row, column)


def _too_deep(bare: str) -> int | None:
    depth = 0
    for match in re.finditer(r"[\[\]{}]", bare):
        depth += 1 if match.group() in "[{" else -1
        if depth > DEEPEST:
            return match.start()
    return None


def _explained(error: ValueError, text: str, file: str) -> tuple[Problem, str | None]:
    """Return the problem of a text that is no TOML, and the text mended where that is safe."""
    reason = str(error)
    where = _WHERE.search(reason)
    lines = text.split("\n")
    if where is None:
        long = _LONG_NUMBER.search(text)
        position = long.start() if long else 0
        line, column = text.count("\n", 0, position) + 1, position - text.rfind("\n", 0, position)
        reason = "a number is too long" if long else reason
    elif where[1] is None:
        line, column, reason = (
            len(lines),
            len(lines[-1]) + 1,
            reason[: where.start()] + " at the end of the file",
        )
    else:
        line, column, reason = int(where[1]), int(where[2]), reason[: where.start()]
    written = lines[line - 1].rstrip("\r")
    unquoted = _UNQUOTED.match(written)
    if unquoted and not _is_value(unquoted[2]):
        head, value, tail = unquoted.groups()
        meant = value.lower() if value.lower() in ("true", "false") else f'"{value}"'
        lines[line - 1] = f"{head}{meant}{tail}"
        key = head.strip().rstrip("=").rstrip()
        said = "must be written small" if meant[0] != '"' else "stands without quotes"
        problem = Problem(f"{key} = {value} {said}.", f"Write {key} = {meant}.", file, line, len(head) + 1)
        return problem, "\n".join(lines)
    return Problem(
        f"This is not TOML: {reason[:1].lower() + reason[1:]}.", _hint(reason, written), file, line, column
    ), None


def _is_value(text: str) -> bool:
    try:
        tomllib.loads(f"x = {text}")
    except ValueError:
        return False
    return True


def _hint(reason: str, written: str) -> str:
    if "overwrite" in reason or "twice" in reason or "mutate" in reason:
        return "Each name stands once in its table; look for it further up."
    if written.count('"') % 2:
        return "A text ends with the same quotes that it begins with, on the same line."
    if "declaration" in reason:
        return "A table's name ends with as many brackets as it begins with."
    if re.match(r"\s*[\w-]+\s*:", written):
        return 'A name and its value are joined by "=".'
    if re.match(r"\s*[\w-]+\s*=\s*(#|$)", written):
        return "After the equals sign stands a value."
    return ""
