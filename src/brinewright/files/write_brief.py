"""Write briefs: what is written reads back as the same."""

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from brinewright.files.brief import HEAT, WITHOUT_END
from brinewright.files.migrate import VERSIONS
from brinewright.files.toml import toml_document, toml_key, toml_table
from brinewright.files.whole import write_whole
from brinewright.files.write import file_value, site_row, stated_values, written_schedule
from brinewright.model.brief import LAYOUTS, AtHand, Brief, Consumer, Sink, Source, Stage, Survive, Wanted
from brinewright.units import show

Row = dict[str, Any]


def write_brief(brief: Brief, path: str | Path, *, force: bool = False) -> Path:
    """Write a brief's file, whole or not at all; returns its path."""
    return write_whole(path, brief_text(brief), force=force)


def brief_text(brief: Brief) -> str:
    """Return a brief as TOML."""
    top = {
        "format": f"brinewright/brief/{VERSIONS['brief']}",
        "name": brief.name,
        "rulebook": brief.rulebook,
    }
    tables = [toml_table("", {key: value for key, value in top.items() if value})]
    if brief.site:
        tables.append(toml_table("[site]", site_row(brief.site)))
    tables += [toml_table("[[consumer]]", _consumer(consumer)) for consumer in brief.consumers]
    tables += [toml_table("[[source]]", _source(source)) for source in brief.sources]
    tables += [toml_table("[[sink]]", _sink(sink)) for sink in brief.sinks]
    if brief.at_hand != AtHand():
        tables.append(toml_table("[at_hand]", _at_hand(brief.at_hand)))
    if brief.survive != Survive():
        tables.append(toml_table("[survive]", _survive(brief.survive)))
    if brief.wanted != Wanted():
        tables.append(toml_table("[wanted]", _wanted(brief.wanted)))
    tables += [toml_table("[[stage]]", _stage(stage)) for stage in brief.stages]
    for schedule in brief.schedules:
        tables.append(toml_table(f"[schedule.{toml_key(schedule.name)}]", written_schedule(schedule)))
    return toml_document(tables)


def _some(row: Mapping[str, Any]) -> Row:
    return {key: value for key, value in row.items() if value not in ("", 0, None, (), [], {})}


def _consumer(consumer: Consumer) -> Row:
    row = {
        "tag": consumer.tag,
        "use": consumer.use,
        "name": consumer.name,
        "heat": None if consumer.heat is None else file_value(HEAT, consumer.heat),
        "distance": "" if consumer.distance == 20.0 else show(consumer.distance, "length"),
        "height": show(consumer.height, "length") if consumer.height else "",
        "shed": consumer.shed,
    }
    return _some(row) | stated_values(consumer.use, consumer.values)


def _source(source: Source) -> Row:
    row = {"tag": source.tag, "use": source.use, "name": source.name, "into": source.into}
    return _some(row) | stated_values(source.use, source.values)


def _sink(sink: Sink) -> Row:
    row = {
        "tag": sink.tag,
        "use": sink.use,
        "name": sink.name,
        "distance": "" if sink.distance == 50.0 else show(sink.distance, "length"),
    }
    return _some(row) | stated_values(sink.use, sink.values)


def _at_hand(at_hand: AtHand) -> Row:
    materials = {
        name: WITHOUT_END if math.isinf(amount) else show(amount, "mass")
        for name, amount in at_hand.materials.items()
    }
    equipment = {
        name: WITHOUT_END if math.isinf(number) else int(number) for name, number in at_hand.equipment.items()
    }
    power = show(at_hand.power, "power") if at_hand.power else ""
    return _some({"power": power, "material": materials, "equipment": equipment})


def _survive(survive: Survive) -> Row:
    row = {"chillers": survive.chillers, "turbines": survive.turbines}
    without = show(survive.without_power, "time") if survive.without_power else ""
    return _some(row | {"without_power": without})


def _wanted(wanted: Wanted) -> Row:
    def optional(value: float | None, quantity: str) -> str:
        return "" if value is None else show(value, quantity)

    return _some(
        {
            "supply": optional(wanted.supply, "temperature"),
            "flow": optional(wanted.flow, "mass flow"),
            "margin": show(wanted.margin, "ratio") if wanted.margin else "",
            "hold": optional(wanted.hold, "time"),
            "ride_through": optional(wanted.ride_through, "time"),
            "matters": list(wanted.matters),
            "layouts": [] if wanted.layouts == LAYOUTS else list(wanted.layouts),
            "liquids": list(wanted.liquids),
        }
    )


def _stage(stage: Stage) -> Row:
    row: Row = {"name": stage.name}
    if stage.load != 1.0:
        row["load"] = show(stage.load, "ratio")
    row |= _some(
        {
            "consumer": [_consumer(consumer) for consumer in stage.consumers],
            "source": [_source(source) for source in stage.sources],
        }
    )
    return row | ({"at_hand": _at_hand(stage.at_hand)} if stage.at_hand is not None else {})
