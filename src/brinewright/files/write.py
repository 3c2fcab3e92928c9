"""Write loops and rulebooks: what is written reads back as the same."""

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from brinewright.files.frame import LINE_KIND
from brinewright.files.migrate import VERSIONS
from brinewright.files.rulebook import KIND_KEYS
from brinewright.files.schedules import DRIVEN, forced_quantities, forced_words
from brinewright.files.signals import drive_keys
from brinewright.files.start import SETTLED
from brinewright.files.substances import DECLARED, GAS, LIQUID, MATERIAL
from brinewright.files.toml import toml_document, toml_key, toml_table
from brinewright.files.values import file_key
from brinewright.files.whole import write_whole
from brinewright.model.kind import Kind, Parameter
from brinewright.model.loop import Circuit, Force, Line, Logic, Loop, Part, Schedule, Sited, Switch, Value
from brinewright.model.margins import MARGINS
from brinewright.model.reading import DIFFERENCE_OF
from brinewright.model.rulebook import Gas, Liquid, Material, Rulebook
from brinewright.model.site import CHOICES, SITE
from brinewright.units import QUANTITIES, show

MAIN_CIRCUIT = "coolant"
"""Name of the one circuit of a loop that names none."""
_ARRAYS = ("circuit", "part", "line", "switch", "logic", "force", "waiver", "signature")
Row = dict[str, Any]


def write_loop(loop: Loop, path: str | Path, *, force: bool = False) -> Path:
    """Write a loop file, whole or not at all; returns its path."""
    return write_whole(path, loop_text(loop), force=force)


def write_rulebook(rulebook: Rulebook, path: str | Path, *, force: bool = False) -> Path:
    """Write a rulebook file, whole or not at all; returns its path."""
    return write_whole(path, rulebook_text(rulebook), force=force)


def loop_text(loop: Loop) -> str:
    """Return a loop as TOML."""
    document = loop_document(loop)
    top = {
        key: value for key, value in document.items() if key not in _ARRAYS and not isinstance(value, dict)
    }
    tables = [toml_table("", top)]
    tables += [toml_table(f"[{key}]", document[key]) for key in ("site", "margin") if key in document]
    for key in _ARRAYS:
        tables += [toml_table(f"[[{key}]]", row) for row in document.get(key, ())]
    for name, row in document.get("schedule", {}).items():
        tables.append(toml_table(f"[schedule.{toml_key(name)}]", row))
    if isinstance(document.get("start"), dict):
        tables.append(toml_table("[start]", document["start"]))
    return toml_document(tables)


def loop_document(loop: Loop) -> Row:
    """Return a loop as the plain values of its file."""
    document: Row = {
        "format": f"brinewright/loop/{VERSIONS['loop']}",
        "rulebook": loop.rulebook,
        "name": loop.name,
    }
    if loop.settled:
        document["start"] = SETTLED
    circuits = [_circuit(circuit) for circuit in loop.circuits]
    if (
        len(circuits) == 1
        and loop.circuits[0].name == MAIN_CIRCUIT
        and loop.circuits[0].at == main_part(loop)
    ):
        document |= {key: circuits[0][key] for key in ("liquid", "temperature")}
    elif circuits:
        document["circuit"] = circuits
    if loop.site:
        document["site"] = site_row(loop.site)
    if loop.margins:
        document["margin"] = _values(loop.margins, _named(MARGINS))
    kinds = {part.tag: kind_of(part.use) for part in loop.parts}
    document |= {
        "part": [_part(part) for part in loop.parts],
        "line": [_line(line) for line in loop.lines],
        "switch": [_switch(switch, kinds) for switch in loop.switches],
        "logic": [_logic(element, kinds) for element in loop.logic],
        "force": [_force(force, loop, kinds) for force in loop.forces],
        "waiver": [
            _stated({"finding": waiver.finding, "reason": waiver.reason, "until": waiver.until})
            for waiver in loop.waivers
        ],
        "signature": [
            _stated(
                {
                    "finding": signature.finding,
                    "by": signature.by,
                    "on": signature.on,
                    "note": signature.note,
                }
            )
            for signature in loop.signatures
        ],
        "schedule": {schedule.name: written_schedule(schedule) for schedule in loop.schedules},
    }
    if not loop.settled:
        lines = {line.tag: LINE_KIND for line in loop.lines}
        document["start"] = {
            tag: _values(row, _named((lines.get(tag) or kinds[tag]).start)) for tag, row in loop.start.items()
        }
    return {key: value for key, value in document.items() if key == "start" or value or key == "rulebook"}


def main_part(loop: Loop) -> str:
    """Return the part at which the one circuit of a loop is taken to stand."""
    if loop.lines:
        return loop.lines[0].start.partition(".")[0]
    return loop.parts[0].tag if loop.parts else ""


def kind_of(use: str) -> Kind:
    """Return the kind of the entry that `use` names."""
    return KIND_KEYS[use.partition(".")[0]]


def _stated(row: Row) -> Row:
    return {key: value for key, value in row.items() if value not in ("", 0, None, (), [], {})}


def _named(parameters: Iterable[Parameter]) -> dict[str, Parameter]:
    return {parameter.name: parameter for parameter in parameters}


@cache
def _parameters(name: str) -> Mapping[str, Parameter]:
    """Return every parameter of a kind under any law; one name has one quantity there."""
    kind = KIND_KEYS[name]
    return _named([*(parameter for law in kind.laws for parameter in law.parameters), *kind.parameters])


def _values(values: Mapping[str, Value], parameters: Mapping[str, Parameter]) -> Row:
    return {file_key(name): file_value(parameters[name], value) for name, value in values.items()}


def site_row(site: Mapping[str, Value]) -> Row:
    """Return what a file states of its site."""
    return _values(site, _named(SITE))


def stated_values(use: str, values: Mapping[str, Value]) -> Row:
    """Return parameters of an entry's kind as a file states them."""
    return _values(values, _parameters(use.partition(".")[0]))


def file_value(parameter: Parameter, value: Value) -> Any:
    """Return a value in SI as a file states it."""
    if parameter.quantity == "table" and isinstance(value, tuple):
        return [
            [_amount(of, cell) for (_, of), cell in zip(parameter.columns, row, strict=True)] for row in value
        ]
    return _amount(parameter.schedule_of or parameter.quantity, value)


def _amount(quantity: str, value: Any) -> Any:
    if quantity in QUANTITIES and isinstance(value, int | float) and not isinstance(value, bool):
        return show(value, quantity)
    return value


def _sited(sited: Sited | None) -> Row | None:
    if sited is None:
        return None
    height = show(sited.height, "length") if sited.height or not sited.inside else ""
    return _stated({"in": sited.inside, "height": height})


def _circuit(circuit: Circuit) -> Row:
    return {
        "name": circuit.name,
        "liquid": circuit.liquid,
        "at": circuit.at,
        "temperature": show(circuit.temperature, "temperature"),
    }


def _part(part: Part) -> Row:
    row = {
        "tag": part.tag,
        "use": part.use,
        "count": part.count if part.count != 1 else 0,
        "material": part.material,
        "sited": _sited(part.sited),
        "feeder": part.feeder,
        "shed": part.shed,
        "note": part.note,
    }
    many = {link.name for link in kind_of(part.use).references if link.many}
    refers = {file_key(name): list(tags) if name in many else tags[0] for name, tags in part.refers.items()}
    return _stated(row) | refers | _values(part.values, _parameters(part.use.partition(".")[0]))


def _line(line: Line) -> Row:
    row = {
        "tag": line.tag,
        "from": line.start,
        "to": line.end,
        "length": show(line.length, "length"),
        "bore": show(line.bore, "length", "mm"),
        "use": line.use,
        "section": line.section,
        "rank": line.rank,
        "levels": [show(level, "length") for level in line.levels] if line.levels else None,
        "material": line.material,
        "sited": _sited(line.sited),
    }
    parameters = _parameters(line.use.partition(".")[0]) if line.use else _named(LINE_KIND.parameters)
    return _stated(row) | _values(line.values, parameters)


def _switch(switch: Switch, kinds: Mapping[str, Kind]) -> Row:
    difference = DIFFERENCE_OF.get(switch.quantity, switch.quantity)
    row = {
        "tag": switch.tag,
        "sense": switch.sense,
        "senses": switch.senses,
        "set": show(switch.setting, switch.quantity),
        "differential": show(switch.differential, difference) if switch.differential else "",
        "lag": show(switch.lag, "time") if switch.lag else "",
        "inclusive": switch.inclusive,
        "start": switch.start,
        "drives": _drives(switch, kinds),
        "sited": _sited(switch.sited),
        "material": switch.material,
    }
    return _stated(row)


def _drives(signal: Switch | Logic, kinds: Mapping[str, Kind]) -> list[Row]:
    return [{drive_keys(kinds[drive.target])[0]: drive.target, "made": drive.made} for drive in signal.drives]


def _logic(element: Logic, kinds: Mapping[str, Kind]) -> Row:
    row = {
        "tag": element.tag,
        "does": element.does,
        "inputs": list(element.inputs),
        "resets": list(element.resets),
        "on_delay": show(element.on_delay, "time") if element.does == "timer" else "",
        "off_delay": show(element.off_delay, "time") if element.off_delay else "",
        "start": element.start,
        "drives": _drives(element, kinds),
    }
    return _stated(row)


def written_schedule(schedule: Schedule) -> Row:
    """Return a schedule as the plain values of its table."""
    points = [
        [show(time, "time of day"), show(value, schedule.quantity)]
        for time, value in zip(schedule.times, schedule.values, strict=True)
    ]
    row: Row = {"quantity": schedule.quantity, "points": points}
    if schedule.repeats != 86400.0:
        row["repeats"] = show(schedule.repeats, "time") if schedule.repeats else "never"
    return row | ({"ramps": True} if schedule.ramps else {})


def _force(force: Force, loop: Loop, kinds: Mapping[str, Kind]) -> Row:
    tag, _, name = force.target.partition(".")
    switch = next((switch for switch in loop.switches if switch.tag == tag), None)
    kind = kinds.get(tag) or (LINE_KIND if any(line.tag == tag for line in loop.lines) else None)
    quantity = forced_quantities(kind, switch.quantity if switch else "")[name.replace("_", " ")]
    words = forced_words(kind) if quantity == "ratio" and name in DRIVEN else None

    def written(value: float) -> str:
        return words[int(1 - value)] if words and value in (0.0, 1.0) else show(value, quantity)

    row: Row = {"target": force.target}
    if force.table:
        row["table"] = [[show(time, "time of day"), written(value)] for time, value in force.table]
    else:
        row["value"] = written(force.value)
    if force.start:
        row["start"] = show(force.start, "time of day")
    return row | ({"end": show(force.end, "time of day")} if force.end != float("inf") else {})


def rulebook_text(rulebook: Rulebook) -> str:
    """Return a rulebook as TOML."""
    top = {
        "format": f"brinewright/rulebook/{VERSIONS['rulebook']}",
        "name": rulebook.name,
        "world": rulebook.world,
    }
    tables = [toml_table("", top)]
    if rulebook.choices:
        tables.append(toml_table("[choice]", _values(rulebook.choices, _named(CHOICES))))
    tables.append(toml_table("[site]", _values(rulebook.site, _named(SITE))))
    for section, items, parameters in (
        ("liquid", rulebook.liquids, LIQUID),
        ("gas", rulebook.gases, GAS),
        ("material", rulebook.materials, MATERIAL),
    ):
        for item in items:
            stated = {
                p.name: getattr(item, p.name) for p in parameters if _is_stated(p, item, rulebook.world)
            }
            row = _values(stated, _named(parameters))
            tables.append(toml_table(f"[{section}.{toml_key(item.name)}]", row))
    for entry in rulebook.entries:
        key = entry.kind.replace(" ", "-")
        made: Row = {"law": entry.law} | _values(entry.values, _parameters(key))
        made |= {"materials": list(entry.materials)} if entry.materials else {}
        tables.append(toml_table(f"[{key}.{toml_key(entry.name)}]", made))
    if rulebook.provenance:
        tables.append(toml_table("[provenance]", rulebook.provenance))
    return toml_document(tables)


def _is_stated(parameter: Parameter, item: Liquid | Gas | Material, world: str) -> bool:
    if getattr(item, parameter.name) != parameter.default:
        return True
    if isinstance(item, Material) or item.properties:
        return False
    return parameter.name == "factor" or (parameter.name in DECLARED and world == "stylised")
