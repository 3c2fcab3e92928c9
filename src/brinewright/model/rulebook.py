"""A rulebook: the laws and numbers of a place; frozen, in SI."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from brinewright.errors import UnknownNameError
from brinewright.model.frozen import EMPTY
from brinewright.model.loop import Value


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One piece of equipment that the place has: kind, name, law and its numbers (SI)."""

    kind: str
    name: str
    law: str
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    materials: tuple[str, ...] = ()
    """Materials in which it can be had; empty: any."""

    @property
    def key(self) -> str:
        """Return what `use` states for this entry: kind.name."""
        return f"{self.kind.replace(' ', '-')}.{self.name}"


@dataclass(frozen=True, kw_only=True)
class Liquid:
    """A coolant.  `properties` names a shipped table (real); else the numbers are declared."""

    name: str
    heat_capacity: float = 0.0
    """[J/(kg K)]"""
    density: float = 0.0
    """[kg/m3]"""
    freezes: float = 0.0
    """[K]"""
    boils: float = 0.0
    """[K]; 0 in a real place: from the vapour pressure at the local pressure."""
    viscosity: float = 0.0
    conductivity: float = 0.0
    properties: str = ""


@dataclass(frozen=True, kw_only=True)
class Gas:
    """An enclosure gas: a declared conductance factor (stylised) or the name of a shipped table."""

    name: str
    factor: float = 0.0
    properties: str = ""


@dataclass(frozen=True, kw_only=True)
class Material:
    """A material and the temperature it stands."""

    name: str
    limit: float
    """[K]"""
    heat_capacity: float = 0.0
    density: float = 0.0
    conductivity: float = 0.0
    emissivity: float = 0.0
    scarcity: float = 1.0
    """Relative cost per kilogram."""


@dataclass(frozen=True, kw_only=True)
class Rulebook:
    """Everything a place declares."""

    name: str
    world: str
    """"stylised" or "real"."""
    choices: Mapping[str, str] = field(default_factory=lambda: EMPTY)
    """Stylised choices that change the answer and have no default, such as `stagnant sensor`."""
    site: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    entries: tuple[Entry, ...] = ()
    liquids: tuple[Liquid, ...] = ()
    gases: tuple[Gas, ...] = ()
    materials: tuple[Material, ...] = ()
    provenance: Mapping[str, Any] = field(default_factory=lambda: EMPTY)

    def entry(self, key: str) -> Entry:
        """Return the entry written `kind.name` in `use`."""
        for entry in self.entries:
            if entry.key == key:
                return entry
        raise UnknownNameError(key, [entry.key for entry in self.entries], "entry in the rulebook")

    def liquid(self, name: str) -> Liquid:
        """Return the liquid of this name."""
        return _find(self.liquids, name, "liquid in the rulebook")

    def gas(self, name: str) -> Gas:
        """Return the gas of this name."""
        return _find(self.gases, name, "gas in the rulebook")

    def material(self, name: str) -> Material:
        """Return the material of this name."""
        return _find(self.materials, name, "material in the rulebook")


Named = TypeVar("Named", Liquid, Gas, Material)


def _find(items: tuple[Named, ...], name: str, what: str) -> Named:
    for item in items:
        if item.name == name:
            return item
    raise UnknownNameError(name, [item.name for item in items], what)
