"""What a rulebook and a brief put at hand: entries with every number resolved."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from brinewright.files.rulebook import KIND_KEYS
from brinewright.model.brief import AtHand
from brinewright.model.frozen import EMPTY, Frozen
from brinewright.model.kind import Kind
from brinewright.model.loop import Value
from brinewright.model.rulebook import Entry, Liquid, Material, Rulebook


@dataclass(frozen=True)
class Item:
    """An entry of the rulebook, with numbers that stand over its own."""

    entry: Entry
    over: Mapping[str, Value] = field(default_factory=lambda: EMPTY)

    @property
    def use(self) -> str:
        """Return what `use` states for it."""
        return self.entry.key

    @cached_property
    def kind(self) -> Kind:
        """Return its kind."""
        return KIND_KEYS[self.entry.key.partition(".")[0]]

    @cached_property
    def values(self) -> Mapping[str, Value]:
        """Return every number: stated here, at the entry, or by default."""
        law = self.kind.law(self.entry.law)
        usual = {
            parameter.name: parameter.default
            for parameter in (*self.kind.parameters, *law.parameters)
            if parameter.default is not None
        }
        return MappingProxyType({**usual, **self.entry.values, **self.over})

    def has(self, name: str) -> bool:
        """Tell whether a number is stated or has a default."""
        return name in self.values

    def number(self, name: str, otherwise: float | None = None) -> float:
        """Return a number [SI]; `otherwise` where it is not stated."""
        value = self.values.get(name, otherwise)
        assert isinstance(value, int | float), f"{self.use} {name}"
        return float(value)

    def word(self, name: str, otherwise: str = "") -> str:
        """Return a word."""
        return str(self.values.get(name, otherwise))

    def with_values(self, **over: Value) -> "Item":
        """Return the item with other numbers over its own."""
        return Item(self.entry, Frozen({**self.over, **over}))


@dataclass(frozen=True)
class Stock:
    """A place's equipment, materials and liquids, and how much of each there is."""

    rules: Rulebook
    at_hand: AtHand

    def items(self, kind: str, **words: str) -> list[Item]:
        """Return the entries of a kind of which at least one is at hand, with the words asked for."""
        found = [Item(entry) for entry in self.rules.entries if entry.kind == kind]
        return [
            item
            for item in found
            if self.at_hand.number(item.use) >= 1
            and all(item.word(name) == word for name, word in words.items())
        ]

    def first(self, kind: str, **words: str) -> Item | None:
        """Return the first such entry, None where there is none."""
        found = self.items(kind, **words)
        return found[0] if found else None

    def number(self, item: Item) -> float:
        """Return how many of an entry are at hand."""
        return self.at_hand.number(item.use)

    def materials(self, item: Item) -> list[Material]:
        """Return the materials in which it can be had and of which there is any, cheapest first."""
        names = item.entry.materials or tuple(material.name for material in self.rules.materials)
        known = [self.rules.material(name) for name in names if self.at_hand.mass(name) > 0.0]
        return sorted(known, key=lambda material: (material.scarcity, material.limit, material.name))

    def liquids(self, allowed: tuple[str, ...]) -> list[Liquid]:
        """Return the liquids that may be used."""
        return [liquid for liquid in self.rules.liquids if not allowed or liquid.name in allowed]
