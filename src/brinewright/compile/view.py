"""A part as its kind sees it: every number resolved, the liquid it stands in known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from brinewright.errors import InputError
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.loop import Sited
from brinewright.model.lowering import Filling
from brinewright.model.rulebook import Entry, Liquid, Material, Rulebook


@dataclass(frozen=True)
class View:
    """A part with its numbers: stated at the part, else in the rulebook's entry, else the default."""

    tag: str
    declared: Kind
    rules: Rulebook
    entry: Entry | None
    values: Mapping[str, Any]
    begins: Mapping[str, Any] = field(default_factory=dict)
    references: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    count: int = 1
    section: str = ""
    made_of: str = ""
    sited: Sited | None = None
    feeder: str = ""
    shed: int = 0
    ports: frozenset[str] = frozenset()
    fillings: Mapping[str, Filling] = field(default_factory=dict)
    pressure_driven: bool = False
    schedules: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    @property
    def kind(self) -> str:
        return self.declared.name

    @property
    def law(self) -> str:
        return self.entry.law if self.entry else self.declared.laws[0].name

    def _parameter(self, name: str) -> Parameter:
        law: Law = self.declared.law(self.law)
        for parameter in (*law.parameters, *self.declared.parameters):
            if parameter.name == name:
                return parameter
        raise KeyError(f"{self.declared.name} declares no parameter {name!r} under the law {self.law!r}")

    def _value(self, name: str) -> Any:
        if name in self.values:
            return self.values[name]
        if self.entry and name in self.entry.values:
            return self.entry.values[name]
        return self._parameter(name).default

    def has(self, name: str) -> bool:
        return self._value(name) is not None

    def number(self, name: str) -> float:
        value = self._value(name)
        return 0.0 if value is None else float(value)

    def word(self, name: str) -> str:
        value = self._value(name)
        return "" if value is None else str(value)

    def flag(self, name: str) -> bool:
        return bool(self._value(name))

    def raw(self, name: str) -> Any:
        """Return a parameter as it is: a number, or the name of a schedule."""
        return self._value(name)

    def rows(self, name: str) -> Sequence[Sequence[float]]:
        value = self._value(name)
        return () if value is None else value

    def declares(self, name: str) -> bool:
        """Tell whether the kind declares this parameter under the part's law."""
        law = self.declared.law(self.law)
        return any(parameter.name == name for parameter in (*law.parameters, *self.declared.parameters))

    def gives(self, channel: str) -> bool:
        """Tell whether the kind declares this channel."""
        return any(declared.name == channel for declared in self.declared.channels)

    def begins_at(self, name: str) -> float | None:
        """Return an optional start value, None where it is not stated."""
        return float(self.begins[name]) if name in self.begins else None

    def start_word(self, name: str) -> str:
        """Return a start word, "" where it is not stated."""
        return str(self.begins.get(name, ""))

    def start(self, name: str) -> float:
        if name in self.begins:
            return float(self.begins[name])
        for parameter in self.declared.start:
            if parameter.name == name:
                if parameter.default is None:
                    raise InputError(f'{self.tag}: [start] must state "{name}" for a {self.declared.name}.')
                return float(parameter.default)
        raise KeyError(f"{self.declared.name} declares no start {name!r}")

    def first(self, name: str) -> float:
        """Return the first value of a schedule parameter."""
        raw = self._value(name)
        return self.schedules[raw][0] if isinstance(raw, str) else float(raw or 0.0)

    def peak(self, name: str) -> float:
        """Return the greatest value of a schedule parameter."""
        raw = self._value(name)
        if isinstance(raw, str):
            return max(self.schedules[raw])
        return 0.0 if raw is None else float(raw)

    def metal_heat_capacity(self, name: str) -> float:
        """Return a stated specific heat capacity, else that of the part's material [J/(kg K)]."""
        if self.has(name):
            return self.number(name)
        if self.material is None or self.material.heat_capacity <= 0.0:
            raise InputError(
                f'{self.tag}: neither "{name}" nor a material with a heat capacity is stated. '
                f'Write material = "…" or {name} = "480 J/(kg K)".'
            )
        return self.material.heat_capacity

    def wall_conductivity(self, name: str) -> float:
        """Return a stated conductivity, else that of the part's material [W/(m K)]."""
        if self.has(name):
            return self.number(name)
        if self.material is None or self.material.conductivity <= 0.0:
            raise InputError(
                f'{self.tag}: neither "{name}" nor a material with a conductivity is stated. '
                f'Write material = "…" or {name} = "45 W/(m K)".'
            )
        return self.material.conductivity

    def limit(self, name: str) -> float:
        """Return a stated temperature limit, else that of the part's material; 0 for none [K]."""
        if self.has(name):
            return self.number(name)
        return self.material.limit if self.material else 0.0

    def refers(self, name: str) -> tuple[str, ...]:
        return tuple(self.references.get(name, ()))

    def connected(self, port: str) -> bool:
        return port in self.ports

    @property
    def material(self) -> Material | None:
        return self.rules.material(self.made_of) if self.made_of else None

    @property
    def inside(self) -> str:
        return self.sited.inside if self.sited else ""

    @property
    def height(self) -> float:
        return self.sited.height if self.sited else 0.0

    def filling(self, port: str = "") -> Filling:
        """Return the liquid at a port (of its side, if the part has two), by default the part's only one."""
        side = port.partition("-")[0] if "-" in port else ""
        if side in self.fillings:
            return self.fillings[side]
        if self.fillings:
            return next(iter(self.fillings.values()))
        raise InputError(f"{self.tag}: no line ends on it, so no liquid is known for it.")

    @property
    def liquid(self) -> Liquid:
        return self.filling().liquid

    @property
    def heat_capacity(self) -> float:
        return self.filling().heat_capacity

    @property
    def density(self) -> float:
        return self.filling().density

    @property
    def working_mean(self) -> float:
        return self.filling().temperature

    @property
    def viscosity(self) -> float:
        return self.filling().viscosity

    @property
    def conductivity(self) -> float:
        return self.filling().conductivity
