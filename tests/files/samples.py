"""The small invented loop and rulebook that the tests of files change and break."""

from functools import cache
from pathlib import Path

from brinewright.files import parse_loop, parse_rulebook
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook

DATA = Path(__file__).parent / "data"
LOOP_TEXT = (DATA / "brook.loop.toml").read_text("utf-8")
RULEBOOK_TEXT = (DATA / "brook.rulebook.toml").read_text("utf-8")
MARK = "«"
"""Stands in a broken text where the error must be reported."""


@cache
def brook_rulebook() -> Rulebook:
    return parse_rulebook(RULEBOOK_TEXT)


@cache
def brook() -> Loop:
    return parse_loop(LOOP_TEXT, brook_rulebook())


def broken(text: str, old: str, new: str) -> tuple[str, int, int]:
    """Return the text with `old` exchanged for `new`, and the line and column of the mark."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    marked = text.replace(old, new)
    position = marked.index(MARK)
    line = marked.count("\n", 0, position) + 1
    column = position - (marked.rfind("\n", 0, position) + 1) + 1
    return marked.replace(MARK, ""), line, column
