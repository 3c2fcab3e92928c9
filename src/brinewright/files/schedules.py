"""Read the [schedule.NAME] tables and the [[force]] tables of a loop."""

import math
from typing import Any

from brinewright.errors import nearest_names
from brinewright.files.frame import Frame, Owner
from brinewright.files.signals import SIGNAL
from brinewright.files.tables import Problems, Table, WrongValueError, described, read_quantity
from brinewright.files.values import file_key
from brinewright.model.kind import Kind
from brinewright.model.loop import Force, Schedule
from brinewright.model.reading import quantity_of
from brinewright.units import QUANTITIES

MOST_POINTS = 100_000
"""Most points of one schedule or forced table."""
DRIVEN = ("", "command", "position")
"""What of a part with two positions is forced by their words; "" is its command too."""
_KEYS = ("quantity", "points", "repeats", "ramps")


def read_schedules(top: Table, problems: Problems, ambient: float | None) -> dict[str, Schedule]:
    """Return the schedules by name."""
    outer = top.table("schedule")
    schedules = {}
    for name, values in (outer.values if outer else {}).items():
        table = Table(values, ("schedule", name), problems, f'schedule "{name[:40]}"', ambient=ambient)
        if not name[:1].isalpha() or "." in name or len(name) > 60:
            table.wrong(
                "", f'"{name[:60]}" is no name of a schedule.', "Begin it with a letter.", at_key=True
            )
        if table.is_table:
            schedules[name] = _schedule(table, name)
    return schedules


def _schedule(table: Table, name: str) -> Schedule:
    quantity = table.text("quantity", None, '"power"')
    if quantity and quantity not in QUANTITIES:
        near = nearest_names(quantity, QUANTITIES).strip()
        table.wrong("quantity", f'quantity: there is no "{quantity[:60]}".', near)
        quantity = ""
    example = QUANTITIES[quantity].example if quantity else "9 kW"
    points = _points(
        table, "points", quantity, f'[["08:00", "{example}"], ["18:00", "{example}"]]', "time of day"
    )
    if "points" not in table.values:
        table.missing("points", f'[["08:00", "{example}"], ["18:00", "{example}"]]')
    never = table.values.get("repeats") == "never"
    repeats = 0.0 if never else table.quantity("repeats", "time", 86400.0, positive=True, high=1e9)
    if repeats and points and points[-1][0] >= repeats:
        said = (
            f"its last point, at {points[-1][0] / 3600:g} h, lies beyond its period of {repeats / 3600:g} h."
        )
        table.wrong("points", said, 'Move the point, or write a longer repeats, or repeats = "never".')
    table.taken.add("repeats")
    ramps = table.flag("ramps")
    table.refuse_rest(_KEYS)
    times, values = tuple(time for time, _ in points), tuple(value for _, value in points)
    return Schedule(name=name, quantity=quantity, times=times, values=values, repeats=repeats, ramps=ramps)


def _points(
    table: Table, key: str, quantity: str, example: str, clock: str, words: tuple[str, str] | None = None
) -> list[tuple[float, float]]:
    """Return (time, value) points, noted when they are out of order."""
    rows = table.rows(key, example)
    if key in table.values and not rows and isinstance(table.values[key], list):
        table.wrong(key, f"{key} is empty.", f"Write {key} = {example}")
    if len(rows) > MOST_POINTS:
        table.wrong(key, f"{key} has {len(rows):,} points; at most {MOST_POINTS:,} are read.")
        return []
    points: list[tuple[float, float]] = []
    for number, row in enumerate(rows):
        path = (*table.path, key, number)
        if not isinstance(row, list) or len(row) != 2:
            table.problems.add(
                path, f"{table.name}: a point is a time and a value.", f"Write {key} = {example}"
            )
            continue
        try:
            time = read_quantity("time", row[0], clock)
            value = read_forced("value", row[1], quantity, table.ambient, words) if quantity else 0.0
        except WrongValueError as wrong:
            table.problems.add(path, f"{table.name}: {wrong.message}", wrong.advice)
            continue
        if points and time <= points[-1][0]:
            said = f"{row[0]} does not come after the point before it."
            table.problems.add(path, f"{table.name}: {said}", "Put the points in the order of time.")
        points.append((time, value))
    return points


def read_forced(
    key: str, value: Any, quantity: str, ambient: float | None, words: tuple[str, str] | None
) -> float:
    """Return a forced value: a quantity, or one of the two words of a signal or position as 1 or 0."""
    if quantity == "ratio" and words and isinstance(value, str) and not value[:1].isdigit():
        if value in words:
            return 1.0 - words.index(value)
        raise WrongValueError(
            f'{key} is "{value[:40]}"; expected "{words[0]}" or "{words[1]}".', f'Write {key} = "{words[0]}"'
        )
    if isinstance(value, bool):
        raise WrongValueError(
            f"{key} is {described(value)}; expected a {quantity}.",
            f'Write {key} = "{words[0]}"' if words else "",
        )
    return read_quantity(key, value, quantity, ambient)


def forced_words(kind: Kind | None) -> tuple[str, str] | None:
    """Return the two words of a kind's position, or of a signal where there is no kind."""
    return kind.positions if kind else SIGNAL


def read_forces(frame: Frame, top: Table) -> tuple[Force, ...]:
    """Return the forced signals, positions, capacities and readings."""
    tables = frame.tables(top, "force", "force")
    return tuple(force for table in tables if (force := _force(frame, table)) is not None)


def _force(frame: Frame, table: Table) -> Force | None:
    target = table.text("target", None, '"TSH-110"')
    table.name = f'force "{target[:40]}"' if target else "a force"
    owner, quantity = _target(frame, table, target) if target else (None, "")
    words = forced_words(owner.kind) if owner else None
    start = table.quantity("start", "time of day", 0.0)
    end = table.quantity("end", "time of day", math.inf)
    if end <= start:
        table.wrong("end", "it ends before it starts.", "Exchange the two, or look for the wrong one.")
    example = f'[["0 s", "{QUANTITIES[quantity].example if quantity else "22 degC"}"]]'
    points = _points(table, "table", quantity, example, "time of day", words)
    raw = table.take("value")
    value = 0.0
    if raw is None and "table" not in table.values:
        table.missing("value", f'"{words[0]}"' if words else '"..."', "Or a table of times and values.")
    elif raw is not None and "table" in table.values:
        table.wrong("value", "it has a value and a table; one is allowed.", "Leave one of them.", at_key=True)
    elif raw is not None and quantity:
        try:
            value = read_forced("value", raw, quantity, frame.ambient, words)
        except WrongValueError as wrong:
            table.wrong("value", wrong.message, wrong.advice)
    table.refuse_rest(("target", "value", "start", "end", "table"))
    return Force(target=target, value=value, start=start, end=end, table=tuple(points))


def _target(frame: Frame, table: Table, target: str) -> tuple[Owner | None, str]:
    """Return the owner of what is forced, and the quantity of its value."""
    tag, _, name = target.partition(".")
    owner = frame.known(table, "target", tag, ("part", "line", "switch", "logic"))
    if owner is None:
        return None, ""
    found = forced_quantities(owner.kind, owner.quantity)
    quantity = found.get(name.replace("_", " "))
    if quantity is None:
        names = [file_key(key) for key in found if key]
        near = nearest_names(name, names).strip() or f"There can be: {', '.join(names[:8])}."
        said = f'target: "{name[:40]}" of {tag} can\'t be forced.' if name else f"target: what of {tag}?"
        table.wrong(
            "target", said, near if name else f'Write target = "{tag}.{names[0] if names else "reading"}"'
        )
        return owner, ""
    return owner, quantity


def forced_quantities(kind: Kind | None, sensed: str) -> dict[str, str]:
    """Return what can be forced, by name, and its quantity.

    Without a kind it is a signal: its state has the empty name, its reading and its set point are of
    quantity `sensed`.
    """
    if kind is None:
        return {"": "ratio", **({"reading": sensed, "set": sensed} if sensed else {})}
    found = {channel.name: quantity_of(channel.name, channel.unit) for channel in kind.channels}
    return found | {"capacity": "ratio"} | (dict.fromkeys(DRIVEN, "ratio") if kind.positions else {})
