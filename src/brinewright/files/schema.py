"""JSON Schemas of loops and rulebooks, made from what the kinds declare.

An editor completes and underlines with them.  They say less than the reader does: names of
other parts, ports and limits that depend on each other are the reader's to judge.
"""

from brinewright.catalogue import KINDS
from brinewright.files.frame import LINE_KIND
from brinewright.files.migrate import VERSIONS
from brinewright.files.schema_terms import (
    TAG_TEXT,
    TEXT,
    Schema,
    array_of,
    described_as,
    document,
    every_parameter,
    numbers,
    parameters_schema,
    points_text,
    quantity_text,
    schedule_table,
    structure,
)
from brinewright.files.signals import LOGIC, SIGNAL, drive_keys
from brinewright.files.start import SETTLED
from brinewright.files.substances import GAS, LIQUID, MATERIAL
from brinewright.files.values import file_key
from brinewright.model.kind import Kind
from brinewright.model.margins import MARGINS
from brinewright.model.site import CHOICES, SITE

_PORT: Schema = {"type": "string", "pattern": "^[^.]+\\.[^.]+$", "description": "TAG.port"}


def loop_schema() -> Schema:
    """Return the schema of loop files."""
    properties: Schema = {
        "format": {"const": f"brinewright/loop/{VERSIONS['loop']}"},
        "name": TEXT,
        "note": TEXT,
        "rulebook": {
            "type": "string",
            "description": "A file beside this one, or the name of a shipped rulebook.",
        },
        "liquid": {"type": "string", "description": "The liquid, where there is one circuit."},
        "temperature": described_as(quantity_text("temperature"), "Working mean of the one circuit."),
        "site": numbers(SITE, schedules=True),
        "circuit": array_of(_circuit()),
        "part": array_of(_part()),
        "line": array_of(_line()),
        "switch": array_of(_switch()),
        "logic": array_of(_logic()),
        "schedule": {"type": "object", "additionalProperties": schedule_table()},
        "force": array_of(_force()),
        "waiver": array_of(
            structure(
                {
                    "finding": {"type": "string", "pattern": "^BW-F\\d{2,3}[a-z]?$"},
                    "reason": TEXT,
                    "until": TEXT,
                },
                ("finding", "reason"),
            )
        ),
        "signature": array_of(
            structure(
                {
                    "finding": {"type": "string", "pattern": "^BW-F\\d{2,3}[a-z]?$"},
                    "by": TEXT,
                    "on": {"type": "string", "pattern": "^\\d{4}-\\d{2}-\\d{2}$"},
                    "note": TEXT,
                },
                ("finding", "by", "on"),
            )
        ),
        "margin": numbers(MARGINS),
        "start": {"anyOf": [{"const": SETTLED}, _start()]},
    }
    return document("A loop", properties, ("format", "rulebook", "part", "start"))


def rulebook_schema() -> Schema:
    """Return the schema of rulebook files."""
    properties: Schema = {
        "format": {"const": f"brinewright/rulebook/{VERSIONS['rulebook']}"},
        "name": TEXT,
        "world": {"enum": ["stylised", "real"]},
        "choice": numbers(CHOICES),
        "site": numbers(SITE),
        "liquid": {"type": "object", "additionalProperties": numbers(LIQUID)},
        "gas": {"type": "object", "additionalProperties": numbers(GAS)},
        "material": {"type": "object", "additionalProperties": numbers(MATERIAL)},
        "provenance": {"type": "object"},
    }
    for kind in KINDS:
        key = kind.name.replace(" ", "-")
        entry = described_as(_entry(kind), kind.summary)
        properties[key] = {"type": "object", "additionalProperties": entry, "description": kind.summary}
    return document("A rulebook", properties, ("format", "name", "world", "site"))


def _entry(kind: Kind) -> Schema:
    """Return an entry of a rulebook: the law decides which numbers it has."""
    materials = {"materials": described_as(array_of(TEXT), "Materials in which it can be had; absent: any.")}
    branches = [
        structure(
            {"law": described_as({"const": law.name}, law.text)}
            | parameters_schema((*kind.parameters, *law.parameters))
            | materials,
            () if len(kind.laws) == 1 else ("law",),
        )
        for law in kind.laws
    ]
    return branches[0] if len(branches) == 1 else {"anyOf": branches}


def _sited() -> Schema:
    return structure({"in": TAG_TEXT, "height": quantity_text("length")})


def _part() -> Schema:
    """Return a part: `use` decides which numbers and links it has."""
    common: Schema = {
        "tag": TAG_TEXT,
        "use": {"type": "string", "pattern": "^[a-z-]+\\..+$", "description": "An entry of the rulebook."},
        "count": {"type": "integer", "minimum": 1, "description": "Number of equal parts in the bank."},
        "material": TEXT,
        "sited": _sited(),
        "feeder": described_as(TAG_TEXT, "The feeder that brings its power."),
        "shed": {
            "type": "integer",
            "minimum": 0,
            "description": "Order in which it is dropped, 1 first; 0 never.",
        },
        "note": TEXT,
    }
    branches = []
    for kind in KINDS:
        if kind.is_line:
            continue
        own = parameters_schema(every_parameter(kind), schedules=True)
        for link in kind.references:
            tags = {"anyOf": [TAG_TEXT, array_of(TAG_TEXT)]} if link.many else TAG_TEXT
            own[file_key(link.name)] = described_as(tags, link.text)
        use = {"type": "string", "pattern": f"^{kind.name.replace(' ', '-')}\\."}
        branches.append(
            {
                "if": {"properties": {"use": use}, "required": ["use"]},
                "then": structure(dict.fromkeys(common, True) | own),
            }
        )
    return {"type": "object", "required": ["tag", "use"], "properties": common, "allOf": branches}


def _line() -> Schema:
    properties: Schema = {
        "tag": TAG_TEXT,
        "from": _PORT,
        "to": _PORT,
        "length": quantity_text("length"),
        "bore": quantity_text("length"),
        "use": {"type": "string", "pattern": f"^{LINE_KIND.name.replace(' ', '-')}\\."},
        "section": described_as(TEXT, "What is emptied together."),
        "rank": {"type": "integer", "minimum": 0, "description": "Claim at the junction it enters, 1 first."},
        "levels": {"type": "array", "items": quantity_text("length"), "minItems": 2, "maxItems": 2},
        "material": TEXT,
        "sited": _sited(),
        **parameters_schema(every_parameter(LINE_KIND), schedules=True),
    }
    return structure(properties, ("tag", "from", "to", "length", "bore"))


def _circuit() -> Schema:
    properties = {"name": TEXT, "liquid": TEXT, "at": TAG_TEXT, "temperature": quantity_text("temperature")}
    return structure(properties, properties)


def _drives() -> Schema:
    names = dict.fromkeys(name for kind in KINDS if kind.positions for name in drive_keys(kind))
    words = dict.fromkeys(word for kind in KINDS for word in kind.positions or ())
    return array_of(structure({**dict.fromkeys(names, TAG_TEXT), "made": {"enum": list(words)}}, ("made",)))


def _switch() -> Schema:
    properties: Schema = {
        "tag": TAG_TEXT,
        "sense": {"enum": ["high", "low"], "description": "high makes on rise, low makes on fall"},
        "senses": {"type": "string", "examples": ["L-104 at 8 m", "TK-101 level"]},
        "set": {"type": ["string", "number"], "description": "Where it breaks."},
        "differential": {
            "type": ["string", "number"],
            "description": "How far beyond the set point it makes.",
        },
        "lag": quantity_text("time"),
        "inclusive": {"type": "boolean"},
        "start": {"enum": list(SIGNAL)},
        "drives": _drives(),
        "sited": _sited(),
        "material": TEXT,
        "note": TEXT,
    }
    return structure(properties, ("tag", "sense", "senses", "set"))


def _logic() -> Schema:
    properties: Schema = {
        "tag": TAG_TEXT,
        "does": {"enum": list(LOGIC)},
        "inputs": {"anyOf": [TAG_TEXT, array_of(TAG_TEXT)]},
        "resets": {"anyOf": [TAG_TEXT, array_of(TAG_TEXT)]},
        "on_delay": quantity_text("time"),
        "off_delay": quantity_text("time"),
        "start": {"enum": list(SIGNAL)},
        "drives": _drives(),
        "note": TEXT,
    }
    return structure(properties, ("tag", "does", "inputs"))


def _force() -> Schema:
    properties: Schema = {
        "target": {"type": "string", "examples": ["TSH-110", "TV-110A.position"]},
        "value": {"type": ["string", "number"]},
        "start": quantity_text("time of day"),
        "end": quantity_text("time of day"),
        "table": points_text({"type": ["string", "number"]}),
    }
    return structure(properties, ("target",))


def _start() -> Schema:
    """Return what [start] may state of a store, whatever its kind."""
    properties: dict[str, list[Schema]] = {}
    for kind in KINDS:
        for key, schema in parameters_schema(kind.start).items():
            known = properties.setdefault(key, [])
            if schema not in known:
                known.append(schema)
    row = {key: found[0] if len(found) == 1 else {"anyOf": found} for key, found in properties.items()}
    return {"type": "object", "additionalProperties": structure(row)}
