"""One table of a file, read key by key; what is wrong is noted and reading goes on."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from brinewright.errors import InputError, Problem, nearest_names
from brinewright.files.document import Document
from brinewright.files.places import Path
from brinewright.units import QUANTITIES, parse, show

LONGEST_TEXT = 2_000
"""Longest text of one value [characters]."""


class WrongValueError(Exception):
    """A value that can't be read: the message, and the advice."""

    def __init__(self, message: str, advice: str = "") -> None:
        self.message, self.advice = message, advice
        super().__init__(message)


@dataclass
class Problems:
    """All that is wrong with one document, placed when the list is complete."""

    document: Document
    noted: list[tuple[Path, bool, str, str]] = field(default_factory=list)

    def add(self, path: Path, message: str, advice: str = "", *, at_key: bool = False) -> None:
        """Note a problem at a value, or at its key."""
        self.noted.append((path, at_key, message, advice))

    def listed(self) -> list[Problem]:
        """Return the problems in the order of the file."""
        placed = list(self.document.problems)
        if not self.document.text:
            return placed + [Problem(said, advice, self.document.file) for _, _, said, advice in self.noted]
        for path, at_key, message, advice in self.noted:
            places = self.document.places
            line, column = places.key(path) if at_key else places.value(path)
            placed.append(Problem(message, advice, self.document.file, line, column))
        return sorted(dict.fromkeys(placed), key=lambda problem: (problem.line, problem.column))

    def raise_if_any(self) -> None:
        """Raise `InputError` with every problem, if there is one."""
        if self.noted or self.document.problems:
            raise InputError(self.listed())


class Table:
    """A table of the file: takes keys one after another and notes what is left over."""

    def __init__(
        self, values: Any, path: Path, problems: Problems, name: str, *, ambient: float | None = None
    ) -> None:
        self.path, self.problems, self.name, self.ambient = path, problems, name, ambient
        self.values: dict[str, Any] = values if isinstance(values, dict) else {}
        self.taken: set[str] = set()
        self.is_table = isinstance(values, dict)
        if not self.is_table:
            problems.add(
                path,
                f"{name} is {described(values)}, not a table.",
                "Write it in braces or under [brackets].",
            )

    def wrong(self, key: str, message: str, advice: str = "", *, at_key: bool = False) -> None:
        """Note a problem of one key, or of the table itself when the key is empty."""
        path = (*self.path, key) if key else self.path
        self.problems.add(path, f"{self.name}: {message}", advice, at_key=at_key)

    def missing(self, key: str, example: str, why: str = "") -> None:
        """Note that a required key is absent."""
        if self.is_table:
            reason = f" {why}" if why else ""
            self.wrong("", f"{key} is missing.{reason}", f"Add the line: {key} = {example}", at_key=True)

    def take(self, key: str) -> Any:
        """Return the raw value of a key, None when it is absent."""
        self.taken.add(key)
        return self.values.get(key)

    def text(self, key: str, default: str | None = "", example: str = '"..."') -> str:
        """Return a text; `default` None makes it required."""
        value = self.take(key)
        if value is None:
            if default is None:
                self.missing(key, example)
            return default or ""
        try:
            return read_text_value(key, value, example)
        except WrongValueError as wrong:
            self.wrong(key, wrong.message, wrong.advice)
            return default or ""

    def word(self, key: str, choices: Iterable[str], default: str | None = None) -> str:
        """Return one of a few words; `default` None makes it required."""
        words = tuple(choices)
        value = self.take(key)
        if value is None:
            if default is None:
                self.missing(key, f'"{words[0]}"', f"It is {one_of(words)}.")
            return default if default is not None else words[0]
        try:
            return read_word(key, value, words)
        except WrongValueError as wrong:
            self.wrong(key, wrong.message, wrong.advice)
            return default if default is not None else words[0]

    def flag(self, key: str, default: bool = False) -> bool:
        """Return true or false."""
        value = self.take(key)
        if value is None or isinstance(value, bool):
            return bool(value) if value is not None else default
        self.wrong(key, f"{key} is {described(value)}; expected true or false.", f"Write {key} = true")
        return default

    def count(self, key: str, default: int, low: int = 0, high: int = 10_000) -> int:
        """Return a whole number between `low` and `high`."""
        value = self.take(key)
        if value is None:
            return default
        try:
            return read_count(key, value, low, high)
        except WrongValueError as wrong:
            self.wrong(key, wrong.message, wrong.advice)
            return default

    def quantity(
        self,
        key: str,
        quantity: str,
        default: float | None = None,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        positive: bool = False,
    ) -> float:
        """Return a quantity in SI; `default` None makes it required."""
        value = self.take(key)
        if value is None:
            if default is None:
                self.missing(key, f'"{QUANTITIES[quantity].example}"')
            return default if default is not None else math.nan
        try:
            number = read_quantity(key, value, quantity, self.ambient)
            check_range(key, number, quantity, low, high, positive=positive)
        except WrongValueError as wrong:
            self.wrong(key, wrong.message, wrong.advice)
            return default if default is not None else math.nan
        return number

    def table(self, key: str) -> "Table | None":
        """Return a table inside this one, None when it is absent."""
        value = self.take(key)
        if value is None:
            return None
        return Table(value, (*self.path, key), self.problems, f"{self.name} {key}", ambient=self.ambient)

    def rows(self, key: str, example: str) -> list[Any]:
        """Return a list, empty when it is absent."""
        value = self.take(key)
        if value is None:
            return []
        if isinstance(value, list):
            return value
        self.wrong(key, f"{key} is {described(value)}, not a list.", f"Write {key} = {example}")
        return []

    def texts(self, key: str, example: str) -> tuple[str, ...]:
        """Return a list of texts; a single text counts as a list of one."""
        value = self.take(key)
        if value is None:
            return ()
        items = value if isinstance(value, list) else [value]
        for item in items:
            if not isinstance(item, str):
                self.wrong(
                    key, f"{key} has {described(item)} where a text was expected.", f"Write {key} = {example}"
                )
                return ()
        return tuple(items)

    def refuse_rest(self, known: Iterable[str], hints: dict[str, str] | None = None) -> None:
        """Note every key that nobody took; `known` are the names that would have been."""
        names = list(dict.fromkeys(known))
        for key in self.values:
            if key in self.taken:
                continue
            short = key if len(key) <= 60 else key[:57] + "..."
            hint = (hints or {}).get(key) or nearest_names(key, names).strip()
            hint = hint or (f"Known here: {', '.join(names[:12])}." if names else "")
            self.wrong(key, f'"{short}" is not known here.', hint, at_key=True)


def described(value: Any) -> str:
    """Return how a sentence calls a TOML value."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"the bare number {value:.12g}" if abs(value) < 1e300 else "a bare number"
    if isinstance(value, str):
        return f'the text "{value if len(value) <= 40 else value[:37] + "..."}"'
    if isinstance(value, list):
        return "a list"
    return "a table" if isinstance(value, dict) else "a date or time"


def one_of(words: Iterable[str]) -> str:
    """Return "a", "b" or "c" as a sentence has it."""
    quoted = [f'"{word}"' for word in words]
    return " or ".join([", ".join(quoted[:-1]), quoted[-1]]) if len(quoted) > 1 else quoted[0]


def read_text_value(key: str, value: Any, example: str = '"..."') -> str:
    """Return a text of bounded length."""
    if not isinstance(value, str):
        raise WrongValueError(f"{key} is {described(value)}; expected a text.", f"Write {key} = {example}")
    if len(value) > LONGEST_TEXT:
        raise WrongValueError(f"{key} has {len(value):,} characters; at most {LONGEST_TEXT:,} are read.")
    return value


def read_word(key: str, value: Any, words: tuple[str, ...]) -> str:
    """Return one of a few words."""
    if isinstance(value, str) and value in words:
        return value
    near = nearest_names(value, words).strip() if isinstance(value, str) else ""
    raise WrongValueError(
        f"{key} is {described(value)}; expected {one_of(words)}.", near or f'Write {key} = "{words[0]}"'
    )


def read_count(key: str, value: Any, low: float, high: float) -> int:
    """Return a whole number between bounds."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise WrongValueError(
            f"{key} is {described(value)}; expected a whole number.", f"Write {key} = {max(1, round(low))}"
        )
    if not low <= value <= high:
        number = f"{value:,}" if abs(value) < 10**15 else "a very large number"
        raise WrongValueError(
            f"{key} is {number}; expected {low:,.0f} to {high:,.0f}.", f"Write {key} = {max(1, round(low))}"
        )
    return value


def read_number(key: str, value: Any) -> float:
    """Return a finite bare number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WrongValueError(f"{key} is {described(value)}; expected a bare number.", f"Write {key} = 1.0")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise WrongValueError(f"{key} is not a finite number.", f"Write {key} = 1.0")
    return number


def read_quantity(key: str, value: Any, quantity: str, ambient: float | None = None) -> float:
    """Return a quantity in SI."""
    kind = QUANTITIES[quantity]
    if isinstance(value, str):
        try:
            return parse(value, quantity, ambient=ambient)
        except InputError as error:
            problem = error.problems[0]
            raise WrongValueError(f"{key} = {problem.message}", problem.advice) from None
    if kind.bare:
        return read_number(key, value)
    unit = kind.example.partition(" ")[2]
    written = f"{value:.12g} {unit}" if _is_number(value) and unit else kind.example
    expected = f"Expected a {quantity} with its unit, in quotes."
    raise WrongValueError(f"{key} is {described(value)}. {expected}", f'Write {key} = "{written}"')


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15


def check_range(
    key: str, number: float, quantity: str, low: float | None, high: float | None, *, positive: bool = False
) -> None:
    """Refuse a quantity outside its bounds [SI]."""
    if positive and number <= 0.0:
        raise WrongValueError(f"{key} is {_shown(number, quantity)}; expected more than zero.")
    if low is not None and number < low:
        raise WrongValueError(
            f"{key} is {_shown(number, quantity)}, less than the least allowed, {_shown(low, quantity)}."
        )
    if high is not None and number > high:
        raise WrongValueError(
            f"{key} is {_shown(number, quantity)}, more than the most allowed, {_shown(high, quantity)}."
        )


def _shown(number: float, quantity: str) -> str:
    return show(number, quantity, digits=6) if quantity in QUANTITIES else f"{number:.6g}"
