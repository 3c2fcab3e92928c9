"""The JSON Schema of briefs."""

from collections.abc import Callable

from brinewright.catalogue import KINDS
from brinewright.files.brief import HEAT, HEAT_IS, WITHOUT_END, is_consumer, is_sink, is_source
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
    parameter_schema,
    parameters_schema,
    quantity_text,
    schedule_table,
    structure,
)
from brinewright.model.brief import AIMS, LAYOUTS
from brinewright.model.kind import Kind, Parameter
from brinewright.model.site import SITE


def brief_schema() -> Schema:
    """Return the schema of briefs."""
    consumers, sources = _needs(is_consumer, HEAT, "distance", "height"), _needs(is_source)
    sources["properties"]["into"] = described_as(TAG_TEXT, "The consumer it warms; absent: the vessel.")
    stage = {
        "name": TEXT,
        "load": described_as(quantity_text("ratio"), "Factor on the heat of every consumer before."),
        "consumer": array_of(consumers),
        "source": array_of(sources),
        "at_hand": _at_hand(),
    }
    properties: Schema = {
        "format": {"const": f"brinewright/brief/{VERSIONS['brief']}"},
        "name": TEXT,
        "note": TEXT,
        "rulebook": {
            "type": "string",
            "description": "A file beside this one, or the name of a shipped rulebook.",
        },
        "site": numbers(SITE, schedules=True),
        "consumer": array_of(consumers),
        "source": array_of(sources),
        "sink": array_of(_needs(is_sink, None, "distance")),
        "schedule": {"type": "object", "additionalProperties": schedule_table()},
        "at_hand": _at_hand(),
        "survive": structure(
            {
                "chillers": {"type": "integer", "minimum": 0},
                "turbines": {"type": "integer", "minimum": 0},
                "without_power": quantity_text("time"),
            }
        ),
        "wanted": structure(
            {
                "supply": described_as(quantity_text("temperature"), "Mean supply temperature."),
                "flow": described_as(quantity_text("mass flow"), "Through all consumers together."),
                "margin": described_as(quantity_text("ratio"), "Added to every heat."),
                "hold": described_as(quantity_text("time"), "Time for which the return tank is sized."),
                "ride_through": described_as(quantity_text("time"), "Time it lasts without chillers."),
                "matters": array_of({"enum": list(AIMS)}),
                "layouts": array_of({"enum": list(LAYOUTS)}),
                "liquids": array_of(TEXT),
            }
        ),
        "stage": array_of(structure(stage, ("name",))),
    }
    return document("A brief", properties, ("format", "rulebook", "consumer"))


def _needs(fits: Callable[[Kind], bool], heat: Parameter | None = None, *lengths: str) -> Schema:
    """Return a consumer, source or sink of a brief: `use` decides which numbers it has."""
    common: Schema = {
        "tag": TAG_TEXT,
        "use": {"type": "string", "pattern": "^[a-z-]+\\..+$", "description": "An entry of the rulebook."},
        "name": TEXT,
        "note": TEXT,
        **{name: quantity_text("length") for name in lengths},
    }
    if heat:
        common["heat"] = parameter_schema(heat, schedules=True)
        common["shed"] = {
            "type": "integer",
            "minimum": 0,
            "description": "Order in which it may be left out.",
        }
    branches = []
    for kind in KINDS:
        if fits(kind):
            own = [p for p in every_parameter(kind) if not (heat and p.name in HEAT_IS)]
            names = dict.fromkeys((*common, "into"), True) | parameters_schema(own, schedules=True)
            use = {"type": "string", "pattern": f"^{kind.name.replace(' ', '-')}\\."}
            branches.append(
                {"if": {"properties": {"use": use}, "required": ["use"]}, "then": structure(names)}
            )
    return {"type": "object", "required": ["tag", "use"], "properties": common, "allOf": branches}


def _at_hand() -> Schema:
    plenty: Schema = {"const": WITHOUT_END}
    number: Schema = {"type": "integer", "minimum": 0}
    return structure(
        {
            "material": {
                "type": "object",
                "additionalProperties": {"anyOf": [plenty, quantity_text("mass")]},
                "description": "Mass by material; one that is not named is there in plenty.",
            },
            "equipment": {
                "type": "object",
                "additionalProperties": {"anyOf": [plenty, number]},
                "description": "Number by entry; one that is not named is there in plenty.",
            },
            "power": described_as(quantity_text("power"), "Electric power from outside."),
        }
    )
