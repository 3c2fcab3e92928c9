"""Every error that Brinewright raises on purpose.

BrinewrightError
├── InputError            (ValueError)    a file, an option or an argument is wrong
├── UnknownNameError      (KeyError)      a name that does not exist; lists the nearest
├── PropertyRangeError    (ValueError)    a property asked for outside its range
├── OutputError           (OSError)       a result could not be written
└── RunError              (RuntimeError)  a run that could not be finished or trusted
"""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


class BrinewrightError(Exception):
    """Base of all errors of this package; its text is one or more clear sentences."""


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong with an input, and the line to write instead."""

    message: str
    advice: str = ""
    file: str = ""
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        where = (
            f"{self.file}:{self.line}:{self.column}: "
            if self.line
            else (f"{self.file}: " if self.file else "")
        )
        return f"{where}{self.message}" + (f" {self.advice}" if self.advice else "")


class InputError(BrinewrightError, ValueError):
    """The input is wrong; `problems` holds every finding of the file at once."""

    def __init__(self, problems: Iterable[Problem] | str) -> None:
        self.problems = (Problem(problems),) if isinstance(problems, str) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type["InputError"], tuple[tuple[Problem, ...]]]:
        return (InputError, (self.problems,))


class UnknownNameError(BrinewrightError, KeyError):
    """A name that does not exist, with the nearest three that do."""

    def __init__(self, name: str, known: Iterable[str], what: str = "name") -> None:
        self.name, self.known, self.what = name, tuple(known), what
        super().__init__(name)

    def __str__(self) -> str:
        return f'There is no {self.what} "{self.name}".{nearest_names(self.name, self.known)}'

    def __reduce__(self) -> tuple[type["UnknownNameError"], tuple[str, tuple[str, ...], str]]:
        return (UnknownNameError, (self.name, self.known, self.what))


class PropertyRangeError(BrinewrightError, ValueError):
    """A property asked for outside the range of its table or rule."""


class OutputError(BrinewrightError, OSError):
    """A result could not be written; nothing was left half done."""


class RunError(BrinewrightError, RuntimeError):
    """A run that could not be finished, or whose ledger does not close."""


def nearest_names(name: str, known: Iterable[str]) -> str:
    """Return " Nearest: a, b, c." for the names closest to `name`, or an empty text."""
    near = difflib.get_close_matches(name, list(known), n=3, cutoff=0.4)
    return f" Nearest: {', '.join(near)}." if near else ""
