"""What is known before anything is lowered: each part's numbers, its liquid, the site."""

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from brinewright.catalogue import KINDS, kind_named
from brinewright.compile.assembly import SITE, Assembly
from brinewright.compile.view import View
from brinewright.errors import InputError, Problem
from brinewright.model.kind import Kind
from brinewright.model.loop import Circuit, Line, Loop, Part, Schedule
from brinewright.model.lowering import Filling, Place
from brinewright.model.rulebook import Liquid, Rulebook

PIPE_RUN = next(kind for kind in KINDS if kind.is_line)


def resolve(loop: Loop, rules: Rulebook) -> tuple[dict[str, View], dict[str, Any]]:
    """Return the view of every part and line, and the numbers of the site."""
    site = {**rules.site, **loop.site}
    ports: dict[str, set[str]] = defaultdict(set)
    for line in loop.lines:
        for end in (line.start, line.end):
            tag, _, port = end.partition(".")
            ports[tag].add(port)
    fillings = _fillings(loop, rules)
    views: dict[str, View] = {}
    for part in loop.parts:
        entry = rules.entry(part.use)
        views[part.tag] = _view(part, kind_named(entry.kind), loop, rules, ports[part.tag], fillings)
    for line in loop.lines:
        views[line.tag] = _line_view(line, loop, rules, fillings)
    return views, site


def _view(
    part: Part, kind: Kind, loop: Loop, rules: Rulebook, ports: set[str], fillings: Mapping[str, Any]
) -> View:
    return View(
        tag=part.tag,
        declared=kind,
        rules=rules,
        entry=rules.entry(part.use),
        values=part.values,
        begins=loop.start.get(part.tag, {}),
        references=part.refers,
        count=part.count,
        made_of=part.material,
        sited=part.sited,
        feeder=part.feeder,
        shed=part.shed,
        ports=frozenset(ports),
        fillings=fillings.get(part.tag, {}),
        pressure_driven=rules.world == "real",
        schedules={schedule.name: schedule.values for schedule in loop.schedules},
    )


def _line_view(line: Line, loop: Loop, rules: Rulebook, fillings: Mapping[str, Any]) -> View:
    entry = rules.entry(line.use) if line.use else None
    values = {**line.values, "length": line.length, "bore": line.bore, "rank": line.rank}
    first, last = line.levels or (0.0, 0.0)
    values["rise"] = last - first
    return View(
        tag=line.tag,
        declared=PIPE_RUN,
        rules=rules,
        entry=entry,
        values=values,
        begins=loop.start.get(line.tag, {}),
        section=line.section,
        made_of=line.material,
        sited=line.sited,
        ports=frozenset(("in", "out")),
        fillings=fillings.get(line.tag, {}),
        pressure_driven=rules.world == "real",
    )


def _side(port: str) -> str:
    return port.partition("-")[0] if "-" in port else ""


def _fillings(loop: Loop, rules: Rulebook) -> dict[str, dict[str, Filling]]:
    """Return the liquid of every part, by side, from the circuits that the lines make."""
    parent: dict[tuple[str, str], tuple[str, str]] = {}

    def find(key: tuple[str, str]) -> tuple[str, str]:
        parent.setdefault(key, key)
        while parent[key] != key:
            parent[key] = parent[parent[key]]
            key = parent[key]
        return key

    for line in loop.lines:
        for end in (line.start, line.end):
            tag, _, port = end.partition(".")
            a, b = sorted((find((line.tag, "")), find((tag, _side(port)))))
            parent[b] = a
    roots = sorted({find(key) for key in list(parent)})
    named: dict[tuple[str, str], Circuit] = {}
    for circuit in loop.circuits:
        tag, _, side = circuit.at.partition(".")
        matches = [key for key in parent if key[0] == tag and (not side or key[1] == side)]
        if not circuit.at:
            matches = roots if len(roots) == 1 else []
        for key in matches:
            named[find(key)] = circuit
    missing = [root for root in roots if root not in named]
    if missing and len(loop.circuits) == 1 and len(roots) == 1:
        named[roots[0]] = loop.circuits[0]
        missing = []
    if missing:
        raise InputError(
            [
                Problem(
                    f"The liquid circuit through {tag} has no liquid.",
                    f'Write [[circuit]] with liquid = "…" and at = "{tag}".',
                )
                for tag, _ in missing
            ]
        )
    made = {circuit.name: fill(circuit, rules.liquid(circuit.liquid)) for circuit in loop.circuits}
    result: dict[str, dict[str, Filling]] = defaultdict(dict)
    for key in parent:
        result[key[0]][key[1]] = made[named[find(key)].name]
    return result


def fill(circuit: Circuit, liquid: Liquid) -> Filling:
    """Return a circuit's liquid with its properties at the working mean."""
    if not liquid.properties:
        return Filling(
            circuit.name,
            liquid,
            liquid.heat_capacity,
            liquid.density,
            liquid.viscosity,
            liquid.conductivity,
            circuit.temperature,
        )
    from brinewright.fluids import property_value

    def take(name: str) -> float:
        return float(
            property_value(liquid.properties, name, temperature=circuit.temperature, pressure=3e5).value
        )

    return Filling(
        circuit.name,
        liquid,
        take("heat capacity"),
        take("density"),
        take("viscosity"),
        take("conductivity"),
        circuit.temperature,
    )


def lower_site(assembly: Assembly, weather: Any) -> None:
    """Make what surrounds the plant, and the outside with its sky, from the weather or the site.

    The ambient surrounds the plant (a hall, rock); the outside is where radiators stand and
    where air is taken in.  Without weather they are the same.
    """
    site = assembly.site_values
    ambient = site.get("ambient_temperature", 293.15)
    nodes = [
        assembly._channel(SITE, name, "K", 0.0)
        for name in ("ambient temperature", "outside temperature", "sky temperature")
    ]
    assembly.nodes.update(nodes)
    place, outside, sky = nodes
    _set_or_follow(assembly, place, ambient)
    if weather is not None:
        humidity = assembly._channel(SITE, "humidity", "1", 0.0)
        hours = tuple(3600.0 * k for k in range(weather.hours))
        moments = [weather.at(hour) for hour in hours]
        for followed, name, quantity in (
            (outside, "temperature", "temperature"),
            (sky, "sky_temperature", "temperature"),
            (humidity, "humidity", "ratio"),
        ):
            series = tuple(float(getattr(moment, name)) for moment in moments)
            assembly.values[followed] = series[0]
            schedule = Schedule(
                name=f"weather {name}",
                quantity=quantity,
                times=hours,
                values=series,
                repeats=3600.0 * weather.hours,
                ramps=True,
            )
            assembly.schedules.append((followed, schedule))
        return
    if "humidity" in site:
        assembly._channel(SITE, "humidity", "1", float(site["humidity"]))
    _set_or_follow(assembly, outside, ambient)
    _set_or_follow(assembly, sky, site.get("sky_temperature", ambient))


def _set_or_follow(assembly: Assembly, place: Place, value: float | str) -> None:
    """Give a place a number, or let it follow the schedule of this name."""
    if isinstance(value, str):
        assembly.follow(place, value)
    else:
        assembly.values[place] = float(value)
