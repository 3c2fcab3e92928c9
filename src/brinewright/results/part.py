"""The channels of one part, read by name."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from brinewright.errors import UnknownNameError
from brinewright.results.series import Series

if TYPE_CHECKING:
    from brinewright.results.result import Result


class _UnknownQuantityError(UnknownNameError, AttributeError):  # type: ignore[misc]
    """Also an `AttributeError`, because quantities are read as attributes too; both have a `name`."""


class ResultPart:
    """What was recorded of one part: `part.temperature`, or `part["metal temperature"]`.

    As an attribute a quantity of several words is written with underscores.
    """

    def __init__(self, result: "Result", tag: str) -> None:
        self._result = result
        self.tag = tag

    @property
    def columns(self) -> Mapping[str, int]:
        """Return the column of each quantity of this part."""
        return self._result.columns[self.tag]

    @property
    def quantities(self) -> tuple[str, ...]:
        """Return the names of what was recorded."""
        return tuple(self.columns)

    def __getitem__(self, quantity: str) -> Series:
        if quantity not in self.columns:
            raise _UnknownQuantityError(quantity, self.columns, f"quantity recorded for {self.tag}")
        return self._result.column(self.columns[quantity])

    def __getattr__(self, name: str) -> Series:
        if name.startswith("_"):
            raise AttributeError(name)
        return self[name if name in self.columns else name.replace("_", " ")]

    def __contains__(self, quantity: object) -> bool:
        return quantity in self.columns

    def __iter__(self) -> Iterator[str]:
        return iter(self.columns)

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *(quantity.replace(" ", "_") for quantity in self.columns)]

    def __repr__(self) -> str:
        return f"<{self.tag}: {', '.join(self.quantities)}>"
