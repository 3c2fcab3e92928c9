"""The verb `property`."""

import json
import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from brinewright.cli.failure import DONE

if TYPE_CHECKING:
    from brinewright.fluids import PropertyValue


def show_property(
    fluid: str,
    name: Annotated[str, Parameter(name="PROPERTY")],
    /,
    *,
    temperature: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    pressure: str | None = None,
    dryness: str | None = None,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Show one property of a fluid, its range and its source.

    Parameters
    ----------
    fluid
        Name of the fluid, such as "water", "propylene glycol 30 %" or "air". "help" lists them.
    name
        The property, such as "density", "cp" or "saturation pressure". "help" lists them.
    temperature
        Temperature, such as "22 degC".
    pressure
        Absolute pressure, such as "2.3 bar abs".
    dryness
        Dryness of two-phase water, 0 (liquid) to 1 (steam).
    as_json
        Print the value as JSON.
    """
    from brinewright.fluids import property_value
    from brinewright.units import parse

    if "help" in (fluid, name):
        print(what_can_be_asked())
        return DONE
    found = property_value(
        fluid,
        name,
        temperature=None if temperature is None else parse(temperature, "temperature"),
        pressure=None if pressure is None else parse(pressure, "pressure"),
        dryness=None if dryness is None else parse(dryness, "ratio"),
    )
    print(json.dumps(document(found), indent=1, ensure_ascii=False) if as_json else in_words(found))
    return DONE


def document(found: "PropertyValue") -> dict[str, Any]:
    """Return a property value as it stands in JSON; the shape is `data/schema/property.json`."""
    told = asdict(found)
    about = told.pop("range")
    conditions = {f"{key}_{UNITS[key]}": value for key, value in told.pop("conditions").items()}
    spans = {f"{key}_{UNITS[key]}": span for key, span in about.items() if span is not None}
    return {"format": "brinewright/property/1", **told, "conditions": conditions, "range": spans}


UNITS = {"temperature": "K", "pressure": "Pa", "dryness": "1", "concentration": "1"}
"""SI units of what is given and of what a range is over."""


TRADE = {
    "Pa": ("bar abs", 1e-5, 0.0),
    "K": ("degC", 1.0, -273.15),
    "J/kg": ("kJ/kg", 1e-3, 0.0),
    "J/(kg K)": ("kJ/(kg K)", 1e-3, 0.0),
    "Pa s": ("mPa s", 1e3, 0.0),
    "m2/s": ("mm2/s", 1e6, 0.0),
}
"""Units in which the trade reads what is SI inside, each with its scale and its zero."""


def what_can_be_asked() -> str:
    """Return the names of all fluids and properties, a line each."""
    from brinewright.fluids import fluid_names
    from brinewright.fluids.properties import PROPERTIES

    fluids = "\n".join(f"  {name}" for name in fluid_names())
    asked = "\n".join(
        f"  {entry.name} [{entry.unit}]" + (f", or {', '.join(entry.aliases)}" if entry.aliases else "")
        for entry in PROPERTIES.values()
    )
    return f"Fluids (write the share that you have for 20 %)\n{fluids}\nProperties\n{asked}"


def in_words(found: "PropertyValue") -> str:
    """Return a property value with its conditions, error, range and source, a line each."""
    given = ", ".join(f"{key} {_shown(value, key)}" for key, value in found.conditions.items())
    spans = asdict(found.range).items()
    ranges = "; ".join(
        f"{key} {_shown(span[0], key)} to {_shown(span[1], key)}" for key, span in spans if span
    )
    value = f"{found.value:.6g}" + (f" {found.unit}" if found.unit not in ("1", "-") else "")
    if found.unit in TRADE:
        unit, scale, zero = TRADE[found.unit]
        value += f" = {found.value * scale + zero:.6g} {unit}"
    return (
        f"{found.property} of {found.fluid}{f' at {given}' if given else ''}: {value} ({found.phase})\n"
        f"  error   at most {100 * found.error:.2g} % against its source\n"
        f"  range   {ranges}\n"
        f"  source  {found.source}"
    )


def _shown(value: float, key: str) -> str:
    if value == math.inf:
        return "any"
    if key == "temperature":
        return f"{round(value - 273.15, 2) + 0.0:g} degC"
    return f"{value / 1e5:.5g} bar abs" if key == "pressure" else f"{value:.4g}"
