"""Read the [[line]] tables of a loop, and hold them against the ports that they join."""

from collections import defaultdict

from brinewright.errors import nearest_names
from brinewright.files.frame import TALLEST, Frame
from brinewright.files.parts import check_sited, read_entry_values, refuse_unknown_keys
from brinewright.files.tables import Table, WrongValueError, described, read_quantity
from brinewright.files.values import file_key
from brinewright.model.frozen import Frozen
from brinewright.model.kind import Port
from brinewright.model.loop import Line

LONGEST_RUN = 100_000.0
"""Longest pipe run [m]."""
WIDEST_BORE = 20.0
"""Widest bore [m]."""
_COMMON = ("tag", "from", "to", "length", "bore", "use", "section", "rank", "levels", "material", "sited")


def read_lines(frame: Frame, top: Table) -> tuple[Line, ...]:
    """Return the lines; `check_lines` holds them against the ports."""
    return tuple(_line(frame, table) for table in frame.tables(top, "line", "line"))


def _line(frame: Frame, table: Table) -> Line:
    tag, owner = frame.claim(table, "line", "L-104")
    entry, kind = frame.entry(table, line=True)
    owner.kind = kind
    length = table.quantity("length", "length", positive=True, high=LONGEST_RUN)
    owner.length = length
    levels = _levels(table)
    if levels and abs(levels[1] - levels[0]) > length:
        table.wrong(
            "levels", "its ends are further apart in height than it is long.", "Correct levels or length."
        )
    line = Line(
        tag=tag,
        start=table.text("from", None, '"TK-101.out"'),
        end=table.text("to", None, '"CH-201.in"'),
        length=length,
        bore=table.quantity("bore", "length", positive=True, high=WIDEST_BORE),
        use=str(table.values.get("use", "")),
        section=table.text("section"),
        rank=table.count("rank", 0, 0, 1000),
        levels=levels,
        material=frame.material(table),
        sited=frame.sited(table),
        values=Frozen(read_entry_values(frame, table, kind, entry, owner)),
    )
    if kind is not None and not (entry is None and line.use):
        refuse_unknown_keys(frame, table, kind, owner.law, _COMMON)
    return line


def _levels(table: Table) -> tuple[float, float] | None:
    example = 'Write levels = ["0.4 m", "1.2 m"]'
    value = table.take("levels")
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != 2:
        said = f"a list of {len(value)}" if isinstance(value, list) else described(value)
        table.wrong("levels", f"levels is {said}; expected the heights of its two ends.", example)
        return None
    heights = []
    for number, item in enumerate(value):
        try:
            height = read_quantity("levels", item, "length")
            if abs(height) > TALLEST:
                raise WrongValueError(f"levels: {item} is out of all proportion.", example)
            heights.append(height)
        except WrongValueError as wrong:
            table.problems.add(
                (*table.path, "levels", number), f"{table.name}: {wrong.message}", wrong.advice
            )
    return (heights[0], heights[1]) if len(heights) == 2 else None


def check_lines(frame: Frame, lines: tuple[Line, ...]) -> None:
    """Note ends that are no ports, flows against a port, and required ports left open."""
    taken: dict[tuple[str, str], str] = {}
    ends: dict[str, set[str]] = defaultdict(set)
    tables = frame.problems.document.values
    for number, line in enumerate(lines):
        values = tables["line"][number] if isinstance(tables.get("line"), list) else {}
        table = Table(values, ("line", number), frame.problems, f'line "{line.tag}"')
        if line.sited:
            check_sited(frame, table, line.sited.inside, line.tag)
        for key, end, flow in (("from", line.start, "out"), ("to", line.end, "in")):
            found = _port(frame, table, key, end, flow)
            if found is None:
                continue
            tag, port = found
            ends[tag].add(port.name)
            if not port.many and taken.setdefault((tag, port.name), line.tag) != line.tag:
                said = f'{key}: the port "{end}" already ends line "{taken[tag, port.name]}".'
                table.wrong(key, said, "Join lines at a tee or a priority junction.")
        if line.start and line.start == line.end:
            table.wrong("to", "it ends where it begins.")
    _refuse_open_ports(frame, ends)


def _port(frame: Frame, table: Table, key: str, end: str, flow: str) -> tuple[str, Port] | None:
    if not end:
        return None
    tag, dot, name = end.partition(".")
    if not dot:
        owner = frame.owners.get(tag)
        ports = (
            [port.name for port in owner.kind.ports if port.flow in (flow, "either")]
            if owner and owner.kind
            else []
        )
        table.wrong(
            key, f'{key} = "{end[:60]}" names no port.', f'Write {key} = "{tag[:60]}.{(ports or [flow])[0]}"'
        )
        return None
    owner = frame.known(table, key, tag)
    if owner is None or owner.kind is None:
        return None
    ports_of = {file_key(port.name): port for port in owner.kind.ports}
    port = ports_of.get(file_key(name))
    if port is None:
        names = [port.name for port in owner.kind.ports]
        near = nearest_names(name, names).strip() or f"Its ports: {', '.join(names)}."
        advice = near if names else f"No line ends on a {owner.kind.name}."
        table.wrong(key, f'{key}: {tag}, a {owner.kind.name}, has no port "{name[:40]}".', advice)
        return None
    if port.flow not in (flow, "either"):
        goes = "comes in" if port.flow == "in" else "goes out"
        fitting = [port.name for port in owner.kind.ports if port.flow in (flow, "either")]
        advice = (
            f'Write {key} = "{tag}.{fitting[0]}", or exchange from and to.'
            if fitting
            else "Exchange from and to."
        )
        table.wrong(key, f'{key}: at "{end}" liquid {goes}.', advice)
        return None
    return tag, port


def _refuse_open_ports(frame: Frame, ends: dict[str, set[str]]) -> None:
    for tag, owner in frame.owners.items():
        if owner.what != "part" or owner.kind is None:
            continue
        for port in owner.kind.ports:
            if port.optional or port.name in ends[tag]:
                continue
            key = "to" if port.flow == "in" else "from"
            said = f'nothing is connected to its port "{port.name}".'
            owner.table.wrong("tag", said, f'Add a [[line]] with {key} = "{tag}.{port.name}"')
