"""Read a brief."""

from pathlib import Path
from typing import Any

from brinewright.errors import InputError, nearest_names
from brinewright.files.document import Document, parse_document, read_text
from brinewright.files.frame import TALLEST, Frame, Owner
from brinewright.files.lookup import find_rulebook
from brinewright.files.loop import own_rulebook
from brinewright.files.migrate import migrate
from brinewright.files.parts import refuse_unknown_keys, refuse_wrong_schedules
from brinewright.files.rulebook import KIND_KEYS, read_rulebook, read_site
from brinewright.files.schedules import read_schedules
from brinewright.files.tables import Problems, Table, WrongValueError, check_range, one_of, read_quantity
from brinewright.files.values import read_value, read_values, refuse_missing, refuse_unnamed
from brinewright.model.brief import (
    AIMS,
    LAYOUTS,
    PLENTY,
    AtHand,
    Brief,
    Consumer,
    Sink,
    Source,
    Stage,
    Survive,
    Wanted,
)
from brinewright.model.frozen import Frozen
from brinewright.model.kind import Kind, Parameter
from brinewright.model.loop import Value
from brinewright.model.rulebook import Rulebook

KEYS = (
    "format",
    "name",
    "note",
    "rulebook",
    "site",
    "consumer",
    "source",
    "sink",
    "schedule",
    "at_hand",
    "survive",
    "wanted",
    "stage",
)
WITHOUT_END = "plenty"
"""What a brief writes for an amount that never runs out."""
LONGEST_LINE = 1e5
"""Longest line to a consumer that a brief may state [m]."""
HEAT = Parameter(
    name="heat",
    quantity="schedule",
    schedule_of="power",
    text="Heat to be taken away, steady or over time; absent: as the entry says.",
    optional=True,
    low=0.0,
    high=1e12,
)
HEAT_IS = ("gains", "heat")
"""What kinds of consumers call their heat; a brief says `heat` for all of them."""


def read_brief(path: str | Path, rulebook: Rulebook | str | Path | None = None) -> Brief:
    """Return the brief in a file; raises `InputError` with every problem of the file.

    Parameters
    ----------
    path : the brief's file
    rulebook : stands in place of the rulebook that the brief names: one that has been read,
        the path of one, or the name of a shipped one
    """
    return read_needs(path, rulebook)[0]


def read_needs(path: str | Path, rulebook: Rulebook | str | Path | None = None) -> tuple[Brief, Rulebook]:
    """Return the brief in a file and the rulebook that it was held against."""
    where = Path(path)
    return parse_needs(read_text(where), where.parent, rulebook, str(where))


def parse_brief(text: str, rulebook: Rulebook, file: str = "brief") -> Brief:
    """Return the brief in a TOML text, held against a rulebook that has been read."""
    return _brief(parse_document(text, file), rulebook)


def parse_needs(
    text: str, folder: Path, rulebook: Rulebook | str | Path | None = None, file: str = "brief"
) -> tuple[Brief, Rulebook]:
    """Return the brief in a TOML text and its rulebook, which is looked up from `folder`."""
    document = parse_document(text, file)
    if isinstance(rulebook, Rulebook):
        return _brief(document, rulebook), rulebook
    where = (
        own_rulebook(document, folder, "brief")
        if rulebook is None
        else find_rulebook(str(rulebook), folder, anywhere=True)
    )
    book = read_rulebook(where)
    return _brief(document, book), book


def _brief(document: Document, rulebook: Rulebook) -> Brief:
    problems = Problems(document)
    try:
        values = migrate(document.values, "brief")
    except WrongValueError as wrong:
        problems.add(("format",), wrong.message, wrong.advice)
        raise InputError(problems.listed()) from None
    top = Table(values, (), problems, "the brief")
    for key in ("format", "note"):
        top.take(key)
    frame = Frame(problems, rulebook)
    name, named = top.text("name"), top.text("rulebook", None, '"kettle"')
    frame.schedules = read_schedules(top, problems, None)
    site, frame.ambient = read_site(top, frame.schedules, rulebook)
    brief = Brief(
        name=name,
        rulebook=named,
        site=site,
        schedules=tuple(frame.schedules.values()),
        consumers=_consumers(frame, top),
        sinks=tuple(_sink(frame, table) for table in frame.tables(top, "sink", "sink")),
        sources=_sources(frame, top),
        at_hand=_at_hand(frame, top) or AtHand(),
        survive=_survive(top),
        wanted=_wanted(frame, top),
        stages=_stages(frame, top),
    )
    if "consumer" not in values:
        top.missing("[[consumer]]", 'tag = "ZN-601"', "A brief says what must be cooled.")
    top.refuse_rest(KEYS)
    problems.raise_if_any()
    return brief


def _consumers(frame: Frame, top: Table) -> tuple[Consumer, ...]:
    return tuple(_consumer(frame, table) for table in frame.tables(top, "consumer", "consumer"))


def _consumer(frame: Frame, table: Table) -> Consumer:
    tag, owner = frame.claim(table, "consumer", "ZN-601")
    heat: float | str | None = None
    raw = table.take("heat")
    if raw is not None:
        try:
            heat = _heat(raw, frame)
        except WrongValueError as wrong:
            table.wrong("heat", wrong.message, wrong.advice)
            heat = 0.0
        if isinstance(heat, str) and frame.schedules[heat].quantity not in ("", "power"):
            said = f'heat: the schedule "{heat}" is a {frame.schedules[heat].quantity}; expected a power.'
            table.wrong("heat", said, f'Write quantity = "power" in [schedule.{heat}].')
    consumer = Consumer(
        tag=tag,
        use=str(table.values.get("use", "")),
        name=table.text("name"),
        heat=heat,
        distance=table.quantity("distance", "length", 20.0, low=0.0, high=LONGEST_LINE),
        height=table.quantity("height", "length", 0.0, low=-TALLEST, high=TALLEST),
        shed=table.count("shed", 0, 0, 1000),
        values=_equipment(frame, table, owner, "consumer", given=("heat",) if heat is not None else ()),
    )
    if consumer.shed and consumer.values.get("essential") is True:
        table.wrong("shed", "it is essential and may be shed.", "Leave one of the two out.", at_key=True)
    return consumer


def _heat(raw: Any, frame: Frame) -> float | str:
    heat = read_value(HEAT, "heat", raw, frame.ambient, frame.schedules)
    return heat if isinstance(heat, str) else float(heat)  # type: ignore[arg-type]


def is_consumer(kind: Kind) -> bool:
    """Tell whether something of this kind has to be cooled."""
    return any(parameter.name == "when_stopped" for parameter in kind.parameters)


def is_source(kind: Kind) -> bool:
    """Tell whether something of this kind brings heat from elsewhere."""
    return kind.name == "heat source"


def is_sink(kind: Kind) -> bool:
    """Tell whether something of this kind takes heat away for good."""
    return kind.name == "final sink"


_ROLES = {
    "consumer": (is_consumer, ("tag", "name", "use", "heat", "distance", "height", "shed", "note")),
    "source": (is_source, ("tag", "name", "use", "into", "note")),
    "sink": (is_sink, ("tag", "name", "use", "distance", "note")),
}


def _equipment(frame: Frame, table: Table, owner: Owner, role: str, given: tuple[str, ...] = ()) -> Frozen:
    """Return what a consumer, source or sink states over its entry."""
    fits, common = _ROLES[role]
    table.take("note")
    entry, kind = frame.entry(table, line=False)
    owner.kind = kind
    if entry is None or kind is None:
        table.taken.update(table.values)
        return Frozen()
    if not fits(kind):
        fitting = [key for key in frame.entries if _fits(key, role)]
        near = f"There are: {', '.join(fitting[:6])}." if fitting else "The rulebook has none."
        table.wrong("use", f'use: "{entry.key}" is a {kind.name}, no {role}.', near)
        table.taken.update(table.values)
        return Frozen()
    owner.law = law = kind.law(entry.law)
    parameters = (*kind.parameters, *law.parameters)
    own = [p for p in parameters if not (role == "consumer" and p.name in HEAT_IS)]
    values: dict[str, Value] = read_values(table, own, frame.schedules)
    skipped = {"flow", *HEAT_IS} if given else set()
    refuse_missing(table, [p for p in parameters if p.name not in skipped], entry.values)
    refuse_unnamed(table, parameters, values, frame.names)
    refuse_wrong_schedules(frame, table, tuple(own), values)
    if role == "consumer" and "gains" in table.values:
        table.taken.add("gains")
        table.wrong("gains", "a brief says heat.", "Write heat in place of gains.", at_key=True)
    low, high = (
        values.get(name, entry.values.get(name)) for name in ("lowest_temperature", "highest_temperature")
    )
    if isinstance(low, float) and isinstance(high, float) and low >= high:
        key = "lowest_temperature" if "lowest_temperature" in table.values else "highest_temperature"
        table.wrong(key, "lowest_temperature lies at or above highest_temperature.", "Leave room between.")
    refuse_unknown_keys(frame, table, kind, law, common)
    return Frozen(values)


def _fits(key: str, role: str) -> bool:
    return _ROLES[role][0](KIND_KEYS[key.partition(".")[0]])


def _sources(frame: Frame, top: Table) -> tuple[Source, ...]:
    return tuple(_source(frame, table) for table in frame.tables(top, "source", "source"))


def _source(frame: Frame, table: Table) -> Source:
    tag, owner = frame.claim(table, "source", "HR-801")
    into = table.text("into")
    if into:
        frame.known(table, "into", into, ("consumer",))
    return Source(
        tag=tag,
        use=str(table.values.get("use", "")),
        name=table.text("name"),
        into=into,
        values=_equipment(frame, table, owner, "source"),
    )


def _sink(frame: Frame, table: Table) -> Sink:
    tag, owner = frame.claim(table, "sink", "RD-801")
    return Sink(
        tag=tag,
        use=str(table.values.get("use", "")),
        name=table.text("name"),
        distance=table.quantity("distance", "length", 50.0, low=0.0, high=LONGEST_LINE),
        values=_equipment(frame, table, owner, "sink"),
    )


def _at_hand(frame: Frame, top: Table) -> AtHand | None:
    table = top.table("at_hand")
    if table is None:
        return None
    table.name = "at_hand"
    materials = _amounts(table, "material", frame.names["material"], "mass")
    equipment = _amounts(table, "equipment", list(frame.entries), "")
    power = table.quantity("power", "power", 0.0, low=0.0, high=1e12)
    table.refuse_rest(("material", "equipment", "power"))
    return AtHand(materials=Frozen(materials), equipment=Frozen(equipment), power=power)


def _amounts(outer: Table, key: str, known: list[str], quantity: str) -> dict[str, float]:
    """Return amounts by name: a mass or a whole number, or "plenty"."""
    table = outer.table(key)
    found: dict[str, float] = {}
    for name in table.values if table else ():
        assert table is not None
        raw = table.take(name)
        if name not in known:
            near = nearest_names(name[:60], known).strip()
            table.wrong(name, f'there is no {key} "{name[:60]}" in the rulebook.', near, at_key=True)
        elif raw == WITHOUT_END:
            found[name] = PLENTY
        elif quantity:
            try:
                found[name] = read_quantity(name, raw, quantity)
                check_range(name, found[name], quantity, 0.0, None)
            except WrongValueError as wrong:
                table.wrong(name, wrong.message, f'{wrong.advice} Or write "{WITHOUT_END}".'.strip())
        else:
            found[name] = float(table.count(name, 0, 0, 10_000))
    return found


def _survive(top: Table) -> Survive:
    table = top.table("survive")
    if table is None:
        return Survive()
    table.name = "survive"
    survive = Survive(
        chillers=table.count("chillers", 0, 0, 100),
        turbines=table.count("turbines", 0, 0, 100),
        without_power=table.quantity("without_power", "time", 0.0, low=0.0, high=1e7),
    )
    table.refuse_rest(("chillers", "turbines", "without_power"))
    return survive


def _wanted(frame: Frame, top: Table) -> Wanted:
    table = top.table("wanted")
    if table is None:
        return Wanted()
    table.name = "wanted"

    def optional(key: str, quantity: str, high: float) -> float | None:
        if key not in table.values:
            return None
        return table.quantity(key, quantity, 0.0, high=high, positive=True)

    wanted = Wanted(
        supply=optional("supply", "temperature", 2000.0),
        flow=optional("flow", "mass flow", 1e6),
        margin=table.quantity("margin", "ratio", 0.0, low=0.0, high=10.0),
        hold=optional("hold", "time", 1e7),
        ride_through=optional("ride_through", "time", 1e7),
        matters=_words(table, "matters", AIMS, ()),
        layouts=_words(table, "layouts", LAYOUTS, LAYOUTS),
        liquids=_words(table, "liquids", tuple(frame.names["liquid"]), ()),
    )
    known = ("supply", "flow", "margin", "hold", "ride_through", "matters", "layouts", "liquids")
    table.refuse_rest(known)
    return wanted


def _words(table: Table, key: str, known: tuple[str, ...], default: tuple[str, ...]) -> tuple[str, ...]:
    """Return some of a few words, each once, in the order of the file."""
    if key not in table.values:
        return default
    words = table.texts(key, f'["{known[0] if known else ""}"]')
    for word in words:
        if word not in known:
            near = nearest_names(word[:60], known).strip() or (f"It is {one_of(known)}." if known else "")
            table.wrong(key, f'{key}: there is no "{word[:60]}".', near)
    if not words and table.values[key] == []:
        table.wrong(
            key, f"{key} is empty.", f'Write {key} = ["{known[0] if known else ""}"], or leave it out.'
        )
    return tuple(dict.fromkeys(word for word in words if word in known)) or default


def _stages(frame: Frame, top: Table) -> tuple[Stage, ...]:
    raw = top.take("stage")
    if raw is None:
        return ()
    if not isinstance(raw, list):
        top.wrong("stage", "stage is one table; there may be several.", "Write [[stage]]", at_key=True)
        return ()
    return tuple(
        _stage(frame, Table(values, ("stage", number), frame.problems, f"stage {number + 1}"))
        for number, values in enumerate(raw)
    )


def _stage(frame: Frame, table: Table) -> Stage:
    stage = Stage(
        name=table.text("name", None, '"second gallery"'),
        load=table.quantity("load", "ratio", 1.0, positive=True, high=1000.0),
        consumers=tuple(_consumer(frame, inner) for inner in _inner(frame, table, "consumer")),
        sources=tuple(_source(frame, inner) for inner in _inner(frame, table, "source")),
        at_hand=_at_hand(frame, table),
    )
    table.refuse_rest(("name", "load", "consumer", "source", "at_hand"))
    return stage


def _inner(frame: Frame, outer: Table, key: str) -> list[Table]:
    """Return the tables of an array inside a stage, such as [[stage.consumer]]."""
    rows = outer.rows(key, f"[[stage.{key}]]")
    return [
        Table(
            row, (*outer.path, key, number), frame.problems, f"{key} of {outer.name}", ambient=frame.ambient
        )
        for number, row in enumerate(rows)
    ]
