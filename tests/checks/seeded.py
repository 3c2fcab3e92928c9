"""Sound loops, and the same with one mistake in their files."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import brinewright as bw
from brinewright.checks import Report, criterion_named
from brinewright.files import parse_design
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run import simulate

SCENARIOS = Path(str(bw.scenario("kettle-ridge"))).parent
Change = Callable[[str], str]
"""What a mistake does to the text of a loop file."""


@dataclass(frozen=True, kw_only=True)
class Seed:
    """One mistake in a sound loop, and how it must be found."""

    code: str
    sound: str
    mistake: str
    names: str
    """A tag that the finding must name."""
    changes: tuple[Change, ...]

    def __str__(self) -> str:
        return f"{self.code} {self.sound}: {self.mistake}"

    def text(self, sound: str) -> str:
        """Return the file with the mistake in it."""
        for change in self.changes:
            before, sound = sound, change(sound)
            assert before != sound
        return sound


def scenario_text(name: str) -> str:
    """Return the file of a shipped scenario."""
    return Path(str(bw.scenario(name))).read_text(encoding="utf-8")


def span_of(text: str, tag: str) -> tuple[int, int]:
    """Return where the table of a part, line or switch begins and ends."""
    begin = text.rindex("[[", 0, text.index(f'tag = "{tag}"\n'))
    ends = [text.find(mark, begin + 2) for mark in ("\n[", "\n# ----")]
    return begin, min(end for end in ends if end >= 0) + 1


def swap(old: str, new: str) -> Change:
    """Replace a passage that stands in the file exactly once."""

    def change(text: str) -> str:
        assert text.count(old) == 1, f"{text.count(old)} times: {old}"
        return text.replace(old, new)

    return change


def field(tag: str, key: str, value: str) -> Change:
    """State a key of a part, line or switch, whether it is stated there or not."""

    def change(text: str) -> str:
        begin, end = span_of(text, tag)
        table = text[begin:end]
        row = f"{key} = {value}"
        changed, count = re.subn(rf"^{key} = .*$", row, table, flags=re.MULTILINE)
        return text[:begin] + (changed if count else table.rstrip("\n") + f"\n{row}\n\n") + text[end:]

    return change


def leave_out(tag: str) -> Change:
    """Leave a part, line or switch out."""

    def change(text: str) -> str:
        begin, end = span_of(text, tag)
        return text[:begin] + text[end:]

    return change


def start(tag: str, values: str) -> Change:
    """State how a part begins, whether that is stated or not."""

    def change(text: str) -> str:
        row = f"{tag} = {{ {values} }}"
        changed, count = re.subn(rf"^{tag} = .*$", row, text, flags=re.MULTILINE)
        return changed if count else text.rstrip("\n") + f"\n{row}\n"

    return change


def add(tables: str) -> Change:
    """Put more parts, lines or switches into the file."""
    return lambda text: text.replace("\n[start]", f"\n{tables.strip()}\n\n[start]")


def part(tag: str, use: str, **values: str) -> str:
    """Return the table of a part, its values as they stand in a file."""
    rows = "".join(f"{key} = {value}\n" for key, value in values.items())
    return f'[[part]]\ntag = "{tag}"\nuse = "{use}"\n{rows}\n'


def line(tag: str, begin: str, end: str, *, length: float = 4.0, bore: str = "200 mm", **values: str) -> str:
    """Return the table of an insulated line."""
    rows = "".join(f"{key} = {value}\n" for key, value in values.items())
    return (
        f'[[line]]\ntag = "{tag}"\nfrom = "{begin}"\nto = "{end}"\nuse = "pipe-run.insulated"\n'
        f'length = "{length} m"\nbore = "{bore}"\n{rows}\n'
    )


def switch(
    tag: str, senses: str, set_point: str, drives: str, *, sense: str = "high", differential: str = "0.5 K",
    begins: str = "broken",
) -> str:  # fmt: skip
    """Return the table of a switch."""
    return (
        f'[[switch]]\ntag = "{tag}"\nsense = "{sense}"\nsenses = "{senses}"\nset = "{set_point}"\n'
        f'differential = "{differential}"\nstart = "{begins}"\ndrives = [{drives}]\n\n'
    )


@cache
def design(text: str) -> tuple[Loop, Rulebook]:
    """Return loop and rulebook of a file's text."""
    return parse_design(text, SCENARIOS)


@cache
def day_of(text: str) -> bw.Result:
    """Return the run of a day that all checks of one loop share."""
    loop, rules = design(text)
    return simulate(loop, rules, duration=86400.0, folder=SCENARIOS)


@cache
def report_of(text: str, code: str) -> Report:
    """Return what one check finds; the same question is not asked twice."""
    loop, rules = design(text)
    day = day_of(text) if criterion_named(code).method == "run" else None
    return bw.check(loop, rules, codes={code}, day=day, folder=SCENARIOS)


def is_found(seed: Seed, sound: str) -> bool:
    """Tell whether the mistake is found by its own code, at its own place."""
    return any(seed.names in finding.subject for finding in report_of(seed.text(sound), seed.code).findings)


def is_silent(seed: Seed, sound: str) -> bool:
    """Tell whether the sound loop does not raise that code at all."""
    return not report_of(sound, seed.code).findings
