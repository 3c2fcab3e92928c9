"""Read the liquids, gases and materials of a rulebook."""

from typing import Any

from brinewright.files.tables import Table
from brinewright.files.values import read_values, refuse_missing
from brinewright.model.kind import REQUIRED, Parameter
from brinewright.model.rulebook import Gas, Liquid, Material


def _number(name: str, quantity: str, text: str, high: float, default: float | None = 0.0) -> Parameter:
    return Parameter(name=name, quantity=quantity, text=text, default=default, low=0.0, high=high)


LIQUID: tuple[Parameter, ...] = (
    _number("heat_capacity", "specific heat capacity", "Specific heat capacity.", 1e5),
    _number("density", "density", "Density.", 3e4),
    _number("freezes", "temperature", "Temperature at which it freezes.", 3000.0),
    _number(
        "boils", "temperature", "Temperature at which it boils; absent: from its vapour pressure.", 3000.0
    ),
    _number("viscosity", "viscosity", "Dynamic viscosity; absent: not declared.", 1e4),
    _number("conductivity", "conductivity", "Thermal conductivity; absent: not declared.", 1e3),
    Parameter(
        name="properties", quantity="text", text="Shipped table that gives its properties.", default=""
    ),
)
GAS: tuple[Parameter, ...] = (
    _number(
        "factor", "ratio", "Conductance of an enclosure that it fills, relative to the declared one.", 1e6
    ),
    Parameter(
        name="properties", quantity="text", text="Shipped table that gives its properties.", default=""
    ),
)
MATERIAL: tuple[Parameter, ...] = (
    _number("limit", "temperature", "Temperature that it stands.", 5000.0, REQUIRED),
    _number("heat_capacity", "specific heat capacity", "Specific heat capacity; absent: not declared.", 1e5),
    _number("density", "density", "Density; absent: not declared.", 3e4),
    _number("conductivity", "conductivity", "Thermal conductivity; absent: not declared.", 1e4),
    _number("emissivity", "ratio", "Emissivity of its surface; absent: not declared.", 1.0),
    _number("scarcity", "ratio", "Relative cost by mass.", 1e9, 1.0),
)
DECLARED = ("heat_capacity", "density", "freezes", "boils")
"""What a stylised liquid without a table must state."""


def read_liquid(table: Table, name: str, world: str) -> Liquid:
    """Return a liquid: declared numbers in a stylised place, numbers or a table in a real one."""
    values: dict[str, Any] = _read(table, LIQUID)
    if world == "stylised" and "properties" not in table.values:
        refuse_missing(table, [_required(p) for p in LIQUID if p.name in DECLARED])
    elif not {"properties", "heat_capacity"} & set(table.values):
        table.missing("properties", '"water"', "A real liquid names its table, or declares its numbers.")
    for key in ("heat_capacity", "density"):
        if values.get(key) == 0.0:
            table.wrong(key, f"{key} is zero.")
    if 0.0 < values.get("boils", 0.0) <= values.get("freezes", 0.0):
        table.wrong("boils", "boils lies below freezes.", "Exchange the two, or look for the wrong one.")
    return Liquid(name=name, **values)


def read_gas(table: Table, name: str) -> Gas:
    """Return an enclosure gas."""
    values: dict[str, Any] = _read(table, GAS)
    if not {"factor", "properties"} & set(table.values):
        table.missing("factor", "1.0", 'Or name a shipped table: properties = "air".')
    return Gas(name=name, **values)


def read_material(table: Table, name: str) -> Material:
    """Return a material."""
    values: dict[str, Any] = {"limit": 0.0, **_read(table, MATERIAL)}
    refuse_missing(table, MATERIAL)
    return Material(name=name, **values)


def _read(table: Table, parameters: tuple[Parameter, ...]) -> dict[str, Any]:
    values = read_values(table, parameters, ())
    table.refuse_rest(parameter.name for parameter in parameters)
    return dict(values)


def _required(parameter: Parameter) -> Parameter:
    return Parameter(name=parameter.name, quantity=parameter.quantity, text=parameter.text)
