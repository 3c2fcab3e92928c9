"""The few forms of Markdown that the reference pages are made of."""

import inspect
from collections.abc import Iterable, Sequence


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table without its empty columns, or an empty text if there are no rows."""
    body = [[_cell(cell) for cell in row] for row in rows]
    kept = [index for index in range(len(head)) if any(row[index] for row in body)]
    if not body:
        return ""
    lines = [[head[index] for index in kept], ["---"] * len(kept)]
    lines += [[row[index] for index in kept] for row in body]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def section(title: str, body: str, level: int = 2) -> str:
    """Return a titled section, or an empty text if there is nothing to say."""
    return f"{'#' * level} {title}\n\n{body.rstrip()}\n\n" if body.strip() else ""


def code(text: str, language: str = "text") -> str:
    """Return a block of code."""
    return f"```{language}\n{text.rstrip()}\n```\n"


def first_line(thing: object) -> str:
    """Return the first paragraph of a docstring on one line."""
    return " ".join((inspect.getdoc(thing) or "").split("\n\n")[0].split())
