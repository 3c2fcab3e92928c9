"""JSON Schemas of loops and rulebooks, made from what the kinds declare.

An editor completes and underlines with them.  They say less than the reader does: names of
other parts, ports and limits that depend on each other are the reader's to judge.
"""

from collections.abc import Iterable
from typing import Any

from brinewright.catalogue import KINDS
from brinewright.files.frame import LINE_KIND, TAG
from brinewright.files.migrate import VERSIONS
from brinewright.files.signals import LOGIC, SIGNAL, drive_keys
from brinewright.files.start import SETTLED
from brinewright.files.substances import GAS, LIQUID, MATERIAL
from brinewright.files.values import file_key
from brinewright.model.kind import Kind, Parameter
from brinewright.model.margins import MARGINS
from brinewright.model.site import CHOICES, SITE
from brinewright.units import QUANTITIES

Schema = dict[str, Any]
DIALECT = "http://json-schema.org/draft-07/schema#"
_TEXT: Schema = {"type": "string"}
_TAG: Schema = {"type": "string", "pattern": f"^{TAG.pattern}$"}
_PORT: Schema = {"type": "string", "pattern": "^[^.]+\\.[^.]+$", "description": "TAG.port"}
_NUMBER = r"^\s*[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?"


def loop_schema() -> Schema:
    """Return the schema of loop files."""
    properties: Schema = {
        "format": {"const": f"brinewright/loop/{VERSIONS['loop']}"},
        "name": _TEXT,
        "note": _TEXT,
        "rulebook": {
            "type": "string",
            "description": "A file beside this one, or the name of a shipped rulebook.",
        },
        "liquid": {"type": "string", "description": "The liquid, where there is one circuit."},
        "temperature": _described(_quantity("temperature"), "Working mean of the one circuit."),
        "site": _table(SITE, schedules=True),
        "circuit": _array(_circuit()),
        "part": _array(_part()),
        "line": _array(_line()),
        "switch": _array(_switch()),
        "logic": _array(_logic()),
        "schedule": {"type": "object", "additionalProperties": _schedule()},
        "force": _array(_force()),
        "waiver": _array(
            _object(
                {
                    "finding": {"type": "string", "pattern": "^BW-F\\d{2,3}[a-z]?$"},
                    "reason": _TEXT,
                    "until": _TEXT,
                },
                ("finding", "reason"),
            )
        ),
        "margin": _table(MARGINS),
        "start": {"anyOf": [{"const": SETTLED}, _start()]},
    }
    return _document("A loop", properties, ("format", "rulebook", "part", "start"))


def rulebook_schema() -> Schema:
    """Return the schema of rulebook files."""
    properties: Schema = {
        "format": {"const": f"brinewright/rulebook/{VERSIONS['rulebook']}"},
        "name": _TEXT,
        "world": {"enum": ["stylised", "real"]},
        "choice": _table(CHOICES),
        "site": _table(SITE),
        "liquid": {"type": "object", "additionalProperties": _table(LIQUID)},
        "gas": {"type": "object", "additionalProperties": _table(GAS)},
        "material": {"type": "object", "additionalProperties": _table(MATERIAL)},
        "provenance": {"type": "object"},
    }
    for kind in KINDS:
        key = kind.name.replace(" ", "-")
        entry = _described(_entry(kind), kind.summary)
        properties[key] = {"type": "object", "additionalProperties": entry, "description": kind.summary}
    return _document("A rulebook", properties, ("format", "name", "world", "site"))


def _document(title: str, properties: Schema, required: Iterable[str]) -> Schema:
    definitions = {file_key(name): _spelled(name) for name in QUANTITIES}
    used = {name: schema for name, schema in definitions.items() if f"'{_link(name)}'" in str(properties)}
    return {"$schema": DIALECT, "title": title, **_object(properties, required), "definitions": used}


def _object(properties: Schema, required: Iterable[str] = ()) -> Schema:
    schema: Schema = {"type": "object", "additionalProperties": False, "properties": properties}
    names = list(required)
    return schema | ({"required": names} if names else {})


def _array(items: Schema) -> Schema:
    return {"type": "array", "items": items}


def _described(schema: Schema, text: str) -> Schema:
    # Beside a $ref nothing else is read.
    return {"allOf": [schema], "description": text} if "$ref" in schema else {**schema, "description": text}


def _quantity(quantity: str) -> Schema:
    return {"$ref": _link(file_key(quantity))}


def _link(name: str) -> str:
    return f"#/definitions/{name}"


def _spelled(quantity: str) -> Schema:
    kind = QUANTITIES[quantity]
    spelled = "|".join(_escaped(unit) for unit in kind.units if unit)
    pattern = rf"{_NUMBER}\s*({spelled}{'|' if kind.bare else ''})\s*$"
    if quantity == "time of day":
        pattern = rf"(^\d{{1,2}}:\d{{2}}(:\d{{2}})?$)|({pattern})"
    text: Schema = {"type": "string", "pattern": pattern, "examples": [kind.example]}
    return {"anyOf": [text, {"type": "number"}]} if kind.bare else text


def _escaped(unit: str) -> str:
    return "".join(f"\\{letter}" if letter in "()/.%" else letter for letter in unit)


def _parameter(parameter: Parameter, *, schedules: bool = False) -> Schema:
    quantity = parameter.quantity
    schema: Schema
    if quantity == "schedule":
        schema = _quantity(parameter.schedule_of)
        if schedules:
            schema = {
                "anyOf": [
                    schema,
                    {"type": "string", "description": "Name of a schedule.", "pattern": "^[A-Za-z]"},
                ]
            }
    elif quantity in QUANTITIES:
        schema = _quantity(quantity)
    elif quantity == "word":
        schema = {"enum": list(parameter.choices)}
    elif quantity == "table":
        cells = [
            _quantity(of) if of in QUANTITIES else {"type": ["number", "string"]}
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
    return _described(schema, parameter.text)


def _parameters(parameters: Iterable[Parameter], *, schedules: bool = False) -> Schema:
    return {file_key(parameter.name): _parameter(parameter, schedules=schedules) for parameter in parameters}


def _table(parameters: Iterable[Parameter], *, schedules: bool = False) -> Schema:
    return _object(_parameters(parameters, schedules=schedules))


def _entry(kind: Kind) -> Schema:
    """Return an entry of a rulebook: the law decides which numbers it has."""
    materials = {"materials": _described(_array(_TEXT), "Materials in which it can be had; absent: any.")}
    branches = [
        _object(
            {"law": _described({"const": law.name}, law.text)}
            | _parameters((*kind.parameters, *law.parameters))
            | materials,
            () if len(kind.laws) == 1 else ("law",),
        )
        for law in kind.laws
    ]
    return branches[0] if len(branches) == 1 else {"anyOf": branches}


def _every(kind: Kind) -> list[Parameter]:
    named = {p.name: p for law in kind.laws for p in law.parameters} | {p.name: p for p in kind.parameters}
    return list(named.values())


def _sited() -> Schema:
    return _object({"in": _TAG, "height": _quantity("length")})


def _part() -> Schema:
    """Return a part: `use` decides which numbers and links it has."""
    common: Schema = {
        "tag": _TAG,
        "use": {"type": "string", "pattern": "^[a-z-]+\\..+$", "description": "An entry of the rulebook."},
        "count": {"type": "integer", "minimum": 1, "description": "Number of equal parts in the bank."},
        "material": _TEXT,
        "sited": _sited(),
        "feeder": _described(_TAG, "The feeder that brings its power."),
        "shed": {
            "type": "integer",
            "minimum": 0,
            "description": "Order in which it is dropped, 1 first; 0 never.",
        },
        "note": _TEXT,
    }
    branches = []
    for kind in KINDS:
        if kind.is_line:
            continue
        own = _parameters(_every(kind), schedules=True)
        for link in kind.references:
            tags = {"anyOf": [_TAG, _array(_TAG)]} if link.many else _TAG
            own[file_key(link.name)] = _described(tags, link.text)
        use = {"type": "string", "pattern": f"^{kind.name.replace(' ', '-')}\\."}
        branches.append(
            {
                "if": {"properties": {"use": use}, "required": ["use"]},
                "then": _object(dict.fromkeys(common, True) | own),
            }
        )
    return {"type": "object", "required": ["tag", "use"], "properties": common, "allOf": branches}


def _line() -> Schema:
    properties: Schema = {
        "tag": _TAG,
        "from": _PORT,
        "to": _PORT,
        "length": _quantity("length"),
        "bore": _quantity("length"),
        "use": {"type": "string", "pattern": f"^{LINE_KIND.name.replace(' ', '-')}\\."},
        "section": _described(_TEXT, "What is emptied together."),
        "rank": {"type": "integer", "minimum": 0, "description": "Claim at the junction it enters, 1 first."},
        "levels": {"type": "array", "items": _quantity("length"), "minItems": 2, "maxItems": 2},
        "material": _TEXT,
        "sited": _sited(),
        **_parameters(_every(LINE_KIND), schedules=True),
    }
    return _object(properties, ("tag", "from", "to", "length", "bore"))


def _circuit() -> Schema:
    properties = {"name": _TEXT, "liquid": _TEXT, "at": _TAG, "temperature": _quantity("temperature")}
    return _object(properties, properties)


def _drives() -> Schema:
    names = dict.fromkeys(name for kind in KINDS if kind.positions for name in drive_keys(kind))
    words = dict.fromkeys(word for kind in KINDS for word in kind.positions or ())
    return _array(_object({**dict.fromkeys(names, _TAG), "made": {"enum": list(words)}}, ("made",)))


def _switch() -> Schema:
    properties: Schema = {
        "tag": _TAG,
        "sense": {"enum": ["high", "low"], "description": "high makes on rise, low makes on fall"},
        "senses": {"type": "string", "examples": ["L-104 at 8 m", "TK-101 level"]},
        "set": {"type": ["string", "number"], "description": "Where it breaks."},
        "differential": {
            "type": ["string", "number"],
            "description": "How far beyond the set point it makes.",
        },
        "lag": _quantity("time"),
        "inclusive": {"type": "boolean"},
        "start": {"enum": list(SIGNAL)},
        "drives": _drives(),
        "sited": _sited(),
        "material": _TEXT,
        "note": _TEXT,
    }
    return _object(properties, ("tag", "sense", "senses", "set"))


def _logic() -> Schema:
    properties: Schema = {
        "tag": _TAG,
        "does": {"enum": list(LOGIC)},
        "inputs": {"anyOf": [_TAG, _array(_TAG)]},
        "resets": {"anyOf": [_TAG, _array(_TAG)]},
        "on_delay": _quantity("time"),
        "off_delay": _quantity("time"),
        "start": {"enum": list(SIGNAL)},
        "drives": _drives(),
        "note": _TEXT,
    }
    return _object(properties, ("tag", "does", "inputs"))


def _points(value: Schema) -> Schema:
    row = {"type": "array", "items": [_quantity("time of day"), value], "minItems": 2, "maxItems": 2}
    return {"type": "array", "items": row, "minItems": 1}


def _schedule() -> Schema:
    properties: Schema = {
        "quantity": {"enum": list(QUANTITIES)},
        "points": _points({"type": ["string", "number"]}),
        "repeats": {"anyOf": [{"const": "never"}, _quantity("time")]},
        "ramps": {"type": "boolean", "description": "Straight lines between the points instead of steps."},
    }
    return _object(properties, ("quantity", "points"))


def _force() -> Schema:
    properties: Schema = {
        "target": {"type": "string", "examples": ["TSH-110", "TV-110A.position"]},
        "value": {"type": ["string", "number"]},
        "start": _quantity("time of day"),
        "end": _quantity("time of day"),
        "table": _points({"type": ["string", "number"]}),
    }
    return _object(properties, ("target",))


def _start() -> Schema:
    """Return what [start] may state of a store, whatever its kind."""
    properties: dict[str, list[Schema]] = {}
    for kind in KINDS:
        for key, schema in _parameters(kind.start).items():
            known = properties.setdefault(key, [])
            if schema not in known:
                known.append(schema)
    row = {key: found[0] if len(found) == 1 else {"anyOf": found} for key, found in properties.items()}
    return {"type": "object", "additionalProperties": _object(row)}
