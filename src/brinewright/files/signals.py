"""Read the [[switch]] and [[logic]] tables of a loop."""

import graphlib
import math

from brinewright.errors import InputError, nearest_names
from brinewright.files.frame import Frame, Owner
from brinewright.files.parts import check_sited
from brinewright.files.tables import Table
from brinewright.files.values import file_key
from brinewright.model.kind import Kind
from brinewright.model.loop import Drive, Logic, Switch
from brinewright.model.reading import DIFFERENCE_OF, Reading, quantity_of, read_reading
from brinewright.units import show

SIGNAL = ("made", "broken")
"""The two states of a switch or logic element."""
LOGIC = {"and": (2, 99), "or": (2, 99), "not": (1, 1), "latch": (1, 99), "timer": (1, 1)}
"""What a logic element does, and how many inputs it may have."""
SITE_TAG = "site"
"""Stands in place of a tag where a switch senses the surroundings."""
SITE_READINGS = ("ambient temperature", "sky temperature")
_NOT = "not "
_SWITCH = (
    "tag",
    "sense",
    "senses",
    "set",
    "differential",
    "lag",
    "inclusive",
    "start",
    "drives",
    "sited",
    "material",
    "note",
)
_LOGIC = ("tag", "does", "inputs", "resets", "on_delay", "off_delay", "start", "drives", "note")


def read_switches(frame: Frame, top: Table) -> tuple[Switch, ...]:
    """Return the switches; parts and lines have been read already, so that readings can be looked up."""
    return tuple(_switch(frame, table) for table in frame.tables(top, "switch", "switch"))


def _switch(frame: Frame, table: Table) -> Switch:
    tag, owner = frame.claim(table, "switch", "TSH-110")
    reading, quantity = _reading(frame, table)
    owner.quantity = quantity
    setting = table.quantity("set", quantity) if quantity else _unread(table, "set")
    difference = DIFFERENCE_OF.get(quantity, quantity)
    differential = (
        table.quantity("differential", difference, 0.0, low=0.0)
        if quantity
        else _unread(table, "differential")
    )
    sense = table.word("sense", ("high", "low"))
    switch = Switch(
        tag=tag,
        sense=sense,
        senses=reading,
        setting=setting,
        differential=differential,
        lag=table.quantity("lag", "time", 0.0, low=0.0, high=86400.0),
        inclusive=table.flag("inclusive"),
        start=table.word("start", SIGNAL, "broken"),
        drives=_drives(frame, table),
        sited=frame.sited(table),
        material=frame.material(table),
        quantity=quantity or "temperature",
    )
    table.text("note")
    _refuse_absurd(table, switch)
    table.refuse_rest(_SWITCH)
    return switch


def _unread(table: Table, key: str) -> float:
    table.take(key)
    return 0.0


def _reading(frame: Frame, table: Table) -> tuple[str, str]:
    """Return what a switch senses, and the quantity of its set point ("" where that is unknown)."""
    text = table.text("senses", None, '"TK-101 level"')
    if not text:
        return "", ""
    try:
        reading = read_reading(text)
    except InputError as error:
        problem = error.problems[0]
        table.wrong("senses", f"senses: {problem.message}", problem.advice)
        return "", ""
    if reading.tag == SITE_TAG:
        names = [name for name in SITE_READINGS if reading.channel == name]
        if not names:
            near = f"It has: {', '.join(SITE_READINGS)}."
            table.wrong("senses", f'senses: the site has no "{reading.channel[:40]}".', near)
        return (f"{SITE_TAG} {names[0]}", "temperature") if names else ("", "")
    owner = frame.known(table, "senses", reading.tag, ("part", "line"))
    if owner is None or owner.kind is None:
        return "", ""
    if reading.at is not None:
        return _point(table, reading, owner)
    channel = next((channel for channel in owner.kind.channels if channel.name == reading.channel), None)
    if channel is None:
        names = [channel.name for channel in owner.kind.channels]
        near = nearest_names(reading.channel, names).strip() or f"It has: {', '.join(names)}."
        table.wrong(
            "senses", f'senses: {reading.tag}, a {owner.kind.name}, has no "{reading.channel[:40]}".', near
        )
        return "", ""
    return f"{reading.tag} {channel.name}", quantity_of(channel.name, channel.unit)


def _point(table: Table, reading: Reading, owner: Owner) -> tuple[str, str]:
    at = reading.at or 0.0
    if owner.what != "line":
        said = f"senses: {reading.tag} is no line, so there is no place {at:g} m along it."
        table.wrong("senses", said, f'Write senses = "{reading.tag} temperature"')
        return "", ""
    if not 0.0 <= at <= owner.length and not math.isnan(owner.length):
        said = f"senses: {at:g} m lies outside {reading.tag}, which is {owner.length:g} m long."
        table.wrong("senses", said, "Sense a place on the line.")
    return f"{reading.tag} at {show(at, 'length')}", "temperature"


def _refuse_absurd(table: Table, switch: Switch) -> None:
    """Note set points from which a switch can never break or make."""
    if math.isnan(switch.setting):
        return
    top = switch.setting + switch.differential
    bottom = switch.setting - switch.differential
    if switch.quantity == "ratio" and not 0.0 <= switch.setting <= 1.0:
        table.wrong("set", f"set is {switch.setting * 100:g} %; a share lies between 0 % and 100 %.")
    elif switch.quantity == "ratio" and (
        (switch.sense == "high" and top >= 1.0) or (switch.sense == "low" and bottom <= 0.0)
    ):
        way = "above" if switch.sense == "high" else "below"
        edge = top if switch.sense == "high" else bottom
        table.wrong(
            "differential", f"it would make {way} {edge * 100:g} %, which never comes.", "Make it smaller."
        )
    elif switch.quantity in DIFFERENCE_OF and switch.sense == "low" and bottom < 0.0:
        table.wrong(
            "differential", "it would make below zero absolute, which never comes.", "Make it smaller."
        )
    elif switch.quantity == "temperature" and (top > 3000.0 or switch.differential > 500.0):
        table.wrong(
            "differential", f"it would make at {top:g} K, which is out of all proportion.", "Make it smaller."
        )


def signal_of(text: str) -> str:
    """Return the tag of a signal, which may stand behind "not"."""
    return text.removeprefix(_NOT).strip()


def read_logic(frame: Frame, top: Table) -> tuple[Logic, ...]:
    """Return the logic elements."""
    return tuple(_logic(frame, table) for table in frame.tables(top, "logic", "logic element"))


def _logic(frame: Frame, table: Table) -> Logic:
    tag, _ = frame.claim(table, "logic", "Y-110")
    does = table.word("does", LOGIC)
    least, most = LOGIC[does]
    inputs = table.texts("inputs", '["TSH-110", "TSH-120"]')
    resets = table.texts("resets", '["TSH-120"]')
    if not least <= len(inputs) <= most and table.values.get("does") == does:
        wanted = f"{least}" if least == most else f"at least {least}"
        table.wrong(
            "inputs", f'"{does}" has {len(inputs)} inputs; expected {wanted}.', 'Write inputs = ["TSH-110"]'
        )
    if does == "latch" and not resets:
        table.missing("resets", '["TSH-120"]', "A latch that nothing resets holds for ever.")
    if does != "latch" and resets:
        table.wrong("resets", f'only a latch is reset, and this is "{does}".', at_key=True)
    on_delay = table.quantity("on_delay", "time", 0.0, low=0.0, high=1e7)
    off_delay = table.quantity("off_delay", "time", 0.0, low=0.0, high=1e7)
    for key in ("on_delay", "off_delay"):
        if does != "timer" and key in table.values:
            table.wrong(key, f'only a timer has {key}, and this is "{does}".', at_key=True)
    if does == "timer" and not {"on_delay", "off_delay"} & set(table.values):
        table.missing("on_delay", '"20 s"', "A timer delays something.")
    element = Logic(
        tag=tag,
        does=does,
        inputs=inputs,
        resets=resets,
        on_delay=on_delay,
        off_delay=off_delay,
        start=table.word("start", SIGNAL, "broken"),
        drives=_drives(frame, table),
    )
    table.text("note")
    table.refuse_rest(_LOGIC)
    return element


def _drives(frame: Frame, table: Table) -> tuple[Drive, ...]:
    """Return what a signal drives; `{ valve = "TV-110A", made = "open" }` names the part by what it is."""
    example = '[{ valve = "TV-110A", made = "open" }]'
    drives = []
    for number, item in enumerate(table.rows("drives", example)):
        path = (*table.path, "drives", number)
        row = Table(item, path, frame.problems, f"{table.name} drives", ambient=None)
        if not row.is_table:
            continue
        names = [key for key in row.values if key != "made"]
        if len(names) != 1 or not isinstance(row.values[names[0]], str):
            row.wrong("", "it does not say which part goes where.", f"Write drives = {example}")
            continue
        drive = _drive(frame, row, names[0])
        if drive is not None:
            drives.append(drive)
    return tuple(drives)


def _drive(frame: Frame, row: Table, key: str) -> Drive | None:
    tag = row.values[key]
    owner = frame.known(row, key, tag)
    if owner is None or owner.kind is None:
        return None
    names = drive_keys(owner.kind)
    if key not in names:
        row.wrong(key, f"{tag} is a {owner.kind.name}.", f'Write {names[0]} = "{tag}"', at_key=True)
    if owner.kind.positions is None:
        row.wrong(key, f"{tag}, a {owner.kind.name}, can't be driven.")
        return None
    return Drive(target=tag, made=row.word("made", owner.kind.positions))


def drive_keys(kind: Kind) -> tuple[str, ...]:
    """Return the keys by which `drives` may name a part: "valve", "shut_off_valve", "part"."""
    return (kind.name.replace("-", " ").split()[-1], file_key(kind.name), "part")


def check_signals(frame: Frame, switches: tuple[Switch, ...], logic: tuple[Logic, ...]) -> None:
    """Note unknown inputs, circles of logic, and what one signal drives twice.

    Several signals may drive one part: it takes the first of its positions where all agree.
    """
    for switch in switches:
        owner = frame.owners.get(switch.tag)
        if owner and switch.sited:
            check_sited(frame, owner.table, switch.sited.inside, switch.tag)
    for element in logic:
        owner = frame.owners.get(element.tag)
        for key, tags in (("inputs", element.inputs), ("resets", element.resets)):
            for tag in tags:
                if owner:
                    frame.known(owner.table, key, signal_of(tag), ("switch", "logic"))
    signals: tuple[Switch | Logic, ...] = (*switches, *logic)
    for signal in signals:
        owner = frame.owners.get(signal.tag)
        targets = [drive.target for drive in signal.drives]
        for target in sorted({target for target in targets if targets.count(target) > 1}):
            if owner:
                owner.table.wrong("drives", f'it drives "{target}" twice.', "Leave one of the two.")
    _refuse_circles(frame, logic)


def _refuse_circles(frame: Frame, logic: tuple[Logic, ...]) -> None:
    """Note logic that waits for its own answer; a latch or a timer breaks the circle."""
    direct = {
        element.tag: [signal_of(text) for text in element.inputs]
        for element in logic
        if element.does not in ("latch", "timer")
    }
    while True:
        try:
            graphlib.TopologicalSorter(direct).prepare()
        except graphlib.CycleError as error:
            circle: list[str] = error.args[1]
            said = f"its answer depends on itself: {' -> '.join(circle)}."
            frame.owners[circle[0]].table.wrong("inputs", said, "Put a latch or a timer in between.")
            direct = {tag: inputs for tag, inputs in direct.items() if tag not in circle}
        else:
            return
