"""The terms that JSON Schemas of files are made of."""

from collections.abc import Iterable
from typing import Any

from brinewright.files.frame import TAG
from brinewright.files.values import file_key
from brinewright.model.kind import Kind, Parameter
from brinewright.units import QUANTITIES

Schema = dict[str, Any]
DIALECT = "http://json-schema.org/draft-07/schema#"
TEXT: Schema = {"type": "string"}
TAG_TEXT: Schema = {"type": "string", "pattern": f"^{TAG.pattern}$"}
_NUMBER = r"^\s*[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?"


def document(title: str, properties: Schema, required: Iterable[str]) -> Schema:
    """Return a whole schema, with the quantities that it uses spelled out."""
    definitions = {file_key(name): spelling(name) for name in QUANTITIES}
    used = {name: schema for name, schema in definitions.items() if f"'{term(name)}'" in str(properties)}
    return {"$schema": DIALECT, "title": title, **structure(properties, required), "definitions": used}


def structure(properties: Schema, required: Iterable[str] = ()) -> Schema:
    """Return a table of known keys."""
    schema: Schema = {"type": "object", "additionalProperties": False, "properties": properties}
    names = list(required)
    return schema | ({"required": names} if names else {})


def array_of(items: Schema) -> Schema:
    """Return a list of items."""
    return {"type": "array", "items": items}


def described_as(schema: Schema, text: str) -> Schema:
    """Return a schema with its description."""
    # Beside a $ref nothing else is read.
    return {"allOf": [schema], "description": text} if "$ref" in schema else {**schema, "description": text}


def quantity_text(quantity: str) -> Schema:
    """Return a quantity: a text with its unit."""
    return {"$ref": term(file_key(quantity))}


def term(name: str) -> str:
    """Return the place of a definition."""
    return f"#/definitions/{name}"


def spelling(quantity: str) -> Schema:
    """Return which texts are a quantity."""
    kind = QUANTITIES[quantity]
    spelled = "|".join(_escaped(unit) for unit in kind.units if unit)
    pattern = rf"{_NUMBER}\s*({spelled}{'|' if kind.bare else ''})\s*$"
    if quantity == "time of day":
        pattern = rf"(^\d{{1,2}}:\d{{2}}(:\d{{2}})?$)|({pattern})"
    text: Schema = {"type": "string", "pattern": pattern, "examples": [kind.example]}
    return {"anyOf": [text, {"type": "number"}]} if kind.bare else text


def _escaped(unit: str) -> str:
    return "".join(f"\\{letter}" if letter in "()/.%" else letter for letter in unit)


def parameter_schema(parameter: Parameter, *, schedules: bool = False) -> Schema:
    """Return the value of one parameter."""
    quantity = parameter.quantity
    schema: Schema
    if quantity == "schedule":
        schema = quantity_text(parameter.schedule_of)
        if schedules:
            schema = {
                "anyOf": [
                    schema,
                    {"type": "string", "description": "Name of a schedule.", "pattern": "^[A-Za-z]"},
                ]
            }
    elif quantity in QUANTITIES:
        schema = quantity_text(quantity)
    elif quantity == "word":
        schema = {"enum": list(parameter.choices)}
    elif quantity == "table":
        cells = [
            quantity_text(of) if of in QUANTITIES else {"type": ["number", "string"]}
            for _, of in parameter.columns
        ]
        row = {"type": "array", "items": cells, "minItems": len(cells), "maxItems": len(cells)}
        schema = {"type": "array", "items": row, "minItems": 1}
    else:
        schema = {
            "type": {"flag": "boolean", "count": "integer", "number": "number", "text": "string"}[quantity]
        }
        if quantity in ("count", "number"):
            schema |= {"minimum": parameter.low} if parameter.low is not None else {}
            schema |= {"maximum": parameter.high} if parameter.high is not None else {}
    return described_as(schema, parameter.text)


def parameters_schema(parameters: Iterable[Parameter], *, schedules: bool = False) -> Schema:
    """Return the values of parameters by their names in files."""
    return {
        file_key(parameter.name): parameter_schema(parameter, schedules=schedules) for parameter in parameters
    }


def numbers(parameters: Iterable[Parameter], *, schedules: bool = False) -> Schema:
    """Return a table of parameters."""
    return structure(parameters_schema(parameters, schedules=schedules))


def every_parameter(kind: Kind) -> list[Parameter]:
    """Return the parameters of a kind under all of its laws."""
    named = {p.name: p for law in kind.laws for p in law.parameters} | {p.name: p for p in kind.parameters}
    return list(named.values())


def points_text(value: Schema) -> Schema:
    """Return points of time and value."""
    row = {"type": "array", "items": [quantity_text("time of day"), value], "minItems": 2, "maxItems": 2}
    return {"type": "array", "items": row, "minItems": 1}


def schedule_table() -> Schema:
    """Return a schedule."""
    properties: Schema = {
        "quantity": {"enum": list(QUANTITIES)},
        "points": points_text({"type": ["string", "number"]}),
        "repeats": {"anyOf": [{"const": "never"}, quantity_text("time")]},
        "ramps": {"type": "boolean", "description": "Straight lines between the points instead of steps."},
    }
    return structure(properties, ("quantity", "points"))
