"""One property value with everything needed to trust it."""

from dataclasses import dataclass, field

from brinewright.fluids.fluid import FluidRange
from brinewright.fluids.names import fluid as find_fluid
from brinewright.fluids.properties import find_property


@dataclass(frozen=True)
class PropertyValue:
    """What was asked, the answer in SI, and its range, stated error and source."""

    value: float
    unit: str
    fluid: str
    property: str
    phase: str
    error: float
    """Relative, against the source formulation; h, u and s against at least 100 kJ/kg or 0.3 kJ/(kg K)."""
    source: str
    range: FluidRange
    conditions: dict[str, float] = field(default_factory=dict)
    """What was given: temperature [K], pressure [Pa], dryness [-]."""


def property_value(
    fluid: str,
    property: str,  # noqa: A002 - the word that users write
    *,
    temperature: float | None = None,
    pressure: float | None = None,
    dryness: float | None = None,
) -> PropertyValue:
    """Return one property of a fluid in SI, with range, stated error and source.

    Parameters
    ----------
    fluid : name, such as "water", "ethylene glycol 30 %" or "air"
    property : name or short form, such as "density", "cp" or "saturation pressure"
    temperature : [K]
    pressure : absolute [Pa]
    dryness : of two-phase water, 0 liquid to 1 steam [-]

    Raises
    ------
    PropertyRangeError
        A condition outside the range of the table or rule.
    InputError
        Too few or too many conditions.
    UnknownNameError
        A fluid or property that does not exist.

    Example
    -------
    >>> found = property_value("water", "saturation pressure", temperature=398.15)
    >>> round(found.value), found.unit, found.phase
    (232238, 'Pa', 'two-phase')
    """
    known = find_fluid(fluid)
    entry = find_property(property)
    result = known.evaluate(entry.name, temperature, pressure, dryness)
    given = {"temperature": temperature, "pressure": pressure, "dryness": dryness}
    return PropertyValue(
        value=result.value,
        unit=entry.unit,
        fluid=known.name,
        property=entry.name,
        phase=result.phase,
        error=result.error,
        source=result.source,
        range=known.range,
        conditions={name: value for name, value in given.items() if value is not None},
    )
