"""A mapping that can't be changed, and can be pickled and hashed."""

from collections.abc import Iterator, Mapping
from typing import Any


class Frozen(Mapping[str, Any]):
    """Names and values; equal to any mapping with the same items.

    >>> values = Frozen({"length": 12.0})
    >>> values["length"], values == {"length": 12.0}
    (12.0, True)
    """

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[str, Any] | None = None) -> None:
        self._items: dict[str, Any] = dict(items or {})

    def __getitem__(self, name: str) -> Any:
        return self._items[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        return hash(frozenset(self._items.items()))

    def __reduce__(self) -> tuple[type["Frozen"], tuple[dict[str, Any]]]:
        return (Frozen, (self._items,))

    def __repr__(self) -> str:
        return f"Frozen({self._items!r})"


EMPTY = Frozen()
"""No items."""
