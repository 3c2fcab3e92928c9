"""What every fluid answers: its range, its properties, their values, errors and sources."""

from abc import ABC, abstractmethod
from dataclasses import dataclass

from brinewright.errors import InputError, PropertyRangeError
from brinewright.fluids.properties import Property, find_property
from brinewright.fluids.tables import Vector

Span = tuple[float, float]


@dataclass(frozen=True)
class FluidRange:
    """Lowest and highest temperature [K], pressure [Pa] and concentration [-] of a fluid."""

    temperature: Span
    pressure: Span
    concentration: Span | None = None


@dataclass(frozen=True)
class Evaluation:
    """One value with its phase and the error that is stated for it (relative)."""

    value: float
    phase: str
    error: float
    source: str


class Fluid(ABC):
    """A liquid or a gas whose properties come from tables with a range and a stated error."""

    name: str
    kind: str
    range: FluidRange
    properties: tuple[str, ...]
    source: str

    @abstractmethod
    def _evaluate(self, entry: Property, T: float | None, p: float | None, x: float | None) -> Evaluation:
        """Return one value; the property is one of `properties`."""

    @abstractmethod
    def error(self, name: str) -> float:
        """Return the largest stated relative error of a property, anywhere in the range [-]."""

    @abstractmethod
    def line(self, pressure: float) -> Vector:
        """Return rho, c_p, mu and k along an isobar, as a vector for `line.line_values`."""

    def evaluate(
        self, name: str, T: float | None = None, p: float | None = None, x: float | None = None
    ) -> Evaluation:
        """Return a value in SI with its phase, stated error and source.

        Parameters
        ----------
        name : the property, such as "density" or "cp"
        T : temperature [K]
        p : absolute pressure [Pa]
        x : dryness of two-phase water, 0 liquid to 1 steam [-]
        """
        entry = find_property(name)
        self.require(entry)
        return self._evaluate(entry, T, p, x)

    def value(
        self, name: str, T: float | None = None, p: float | None = None, x: float | None = None
    ) -> float:
        """Return a value in SI; see `evaluate`."""
        return self.evaluate(name, T, p, x).value

    def require(self, entry: Property) -> None:
        """Refuse a property that this fluid does not have."""
        if entry.name not in self.properties:
            raise InputError(f"No {entry.name} is known of {self.name}; it has {', '.join(self.properties)}.")

    def demand(self, entry: Property, **given: float | None) -> None:
        """Refuse to go on without the named conditions."""
        missing = [name for name, value in given.items() if value is None]
        if missing:
            raise InputError(f"The {entry.name} of {self.name} needs a {' and a '.join(missing)}.")

    def outside(self, what: str, came: str, span: str, source: str = "") -> PropertyRangeError:
        """Return the error that says what came, what the range is and whose it is."""
        return PropertyRangeError(
            f"{self.name}: {what} {came} lies outside {span} ({source or self.source})."
        )

    def check_temperature(self, T: float, low: float, high: float) -> None:
        """Refuse a temperature outside a range [K]."""
        if not low <= T <= high:
            raise self.outside("temperature", celsius(T), f"{celsius(low)} to {celsius(high)}")

    def check_pressure(self, p: float, low: float, high: float) -> None:
        """Refuse a pressure outside a range [Pa]."""
        if not low <= p <= high:
            raise self.outside("pressure", bar(p), f"{bar(low)} to {bar(high)}")


def celsius(temperature: float) -> str:
    """Return a temperature in words, such as "22.5 degC"."""
    return f"{round(temperature - 273.15, 2):g} degC"


def bar(pressure: float) -> str:
    """Return a pressure in words, such as "2.3 bar abs"."""
    return f"{pressure / 1e5:.5g} bar abs"
