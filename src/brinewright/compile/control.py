"""Sensors, switches, logic and commands of a loop, and what they drive."""

import math
import re

from brinewright.compile.assembly import SITE, Assembly
from brinewright.compile.elements import SwitchRecord
from brinewright.errors import InputError
from brinewright.kernel.layout import (
    NATURE_FAST,
    NATURE_PIPE,
    NATURE_SLOW,
    NATURE_STEP,
    STILL_AMBIENT,
    STILL_HOLDS,
    STILL_LOCAL,
)
from brinewright.model.loop import Drive, Logic, Switch
from brinewright.model.lowering import Place
from brinewright.model.reading import QUANTITY_OF_UNIT

PLACE_IN_LINE = re.compile(r"^(?P<tag>\S+) at (?P<metres>[0-9.eE+-]+) m$")
STILL = {"local": STILL_LOCAL, "ambient": STILL_AMBIENT, "holds": STILL_HOLDS}


def lower_control(assembly: Assembly) -> None:
    """Lower all switches and logic of the loop, and join signals to what they drive."""
    assembly.current = None
    loop = assembly.loop
    for switch in loop.switches:
        _switch(assembly, switch)
    for element in loop.logic:
        place = assembly._channel(element.tag, "signal", "1", float(element.start == "made"))
        assembly.let_force(element.tag, ("", "signal"), place)
    items: list[Switch | Logic] = [*loop.switches, *loop.logic]
    for item in sorted(items, key=lambda item: item.tag):
        for drive in item.drives:
            _drive(assembly, item, drive)


def _drive(assembly: Assembly, item: Switch | Logic, drive: Drive) -> None:
    view = assembly.part(drive.target)
    words = view.declared.positions
    if words is None or drive.made not in words:
        raise InputError(f'{item.tag}: a {view.kind} cannot be driven to "{drive.made}".')
    if drive.target not in assembly.commands:
        raise InputError(f"{item.tag}: {drive.target} takes no command under its law.")
    signal = assembly.channels[(item.tag, "signal")]
    assembly.needs.setdefault(drive.target, []).append((signal, drive.made == words[0]))


def _switch(assembly: Assembly, switch: Switch) -> None:
    reading, nature, sensor = _reading(assembly, switch)
    out = assembly._channel(switch.tag, "signal", "1", float(switch.start == "made"))
    filtered = assembly._channel(switch.tag, "reading", _unit(switch), math.nan)
    setting = assembly._channel(switch.tag, "set", _unit(switch), switch.setting)
    assembly.let_force(switch.tag, ("", "signal"), out)
    assembly.let_force(switch.tag, ("reading",), reading)
    assembly.let_force(switch.tag, ("set",), setting, comes_back=True)
    assembly.switches.append(
        SwitchRecord(
            tag=switch.tag,
            reading=reading,
            sense=1 if switch.sense == "high" else -1,
            inclusive=switch.inclusive,
            setting=setting,
            differential=switch.differential,
            lag=switch.lag,
            out=out,
            filtered=filtered,
            count=assembly._channel(switch.tag, "changes", "1", 0.0),
            slope=assembly.hidden(),
            nature=nature,
            sensor=sensor,
            node=_node(assembly, sensor),
        )
    )


def _node(assembly: Assembly, sensor: int) -> Place | None:
    source = assembly.sensors[sensor][0]
    return source if isinstance(source, Place) else None


def _unit(switch: Switch) -> str:
    units = {quantity: unit for unit, quantity in QUANTITY_OF_UNIT.items()} | {"pressure difference": "Pa"}
    return units.get(switch.quantity, "1")


def _reading(assembly: Assembly, switch: Switch) -> tuple[Place, int, int]:
    """Return the place of a switch's raw reading, its nature and its sensor record (-1 for none)."""
    match = PLACE_IN_LINE.match(switch.senses)
    if match:
        tag = match["tag"]
        stagnant = (
            STILL[assembly.choice("stagnant_sensor")] if assembly.rules.world == "stylised" else STILL_LOCAL
        )
        raw = assembly.hidden(start=math.nan)
        assembly.sensors.append((tag, float(match["metres"]), raw, stagnant, switch.tag))
        return raw, NATURE_PIPE, len(assembly.sensors) - 1
    tag, _, quantity = switch.senses.partition(" ")
    quantity = quantity or "temperature"
    key = (SITE if tag == SITE.lower() else tag, quantity)
    if key not in assembly.units:
        known = ", ".join(sorted(name for (owner, name) in assembly.units if owner == tag)) or "nothing"
        raise InputError(f'{switch.tag}: {tag} gives no "{quantity}" to sense. It gives: {known}.')
    source = assembly.channels[key]
    raw = assembly.hidden(start=assembly.values[source])
    assembly.sensors.append((source, 0.0, raw, STILL_LOCAL, switch.tag))
    if quantity == "flow":
        nature = NATURE_STEP
    elif source in assembly.nodes or quantity in ("level", "mass", "pressure", "charge"):
        nature = NATURE_SLOW
    else:
        nature = NATURE_FAST
    return raw, nature, len(assembly.sensors) - 1


def ordered_logic(assembly: Assembly) -> list[Logic]:
    """Return the logic elements so that each comes after those it reads; ways round keep tag order."""
    left = {element.tag: element for element in sorted(assembly.loop.logic, key=lambda item: item.tag)}
    done: list[Logic] = []
    while left:
        for tag, element in left.items():
            reads = {signal_tag(text)[0] for text in (*element.inputs, *element.resets)}
            if not reads & (set(left) - {tag}):
                done.append(element)
                break
        else:
            done.append(next(iter(left.values())))
        left.pop(done[-1].tag)
    return done


def signal_tag(text: str) -> tuple[str, bool]:
    """Return the tag of a signal and whether it is taken as it is ("not TSH-110": False)."""
    if text.startswith("not "):
        return text[4:].strip(), False
    return text.strip(), True


def signal_place(assembly: Assembly, tag: str) -> Place:
    """Return the place of a signal by its tag."""
    place = assembly.channels.get((tag, "signal"))
    if place is None:
        raise InputError(f'There is no signal "{tag}"; name a switch or a logic element.')
    return place
