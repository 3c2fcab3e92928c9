"""Read a loop."""

import re
from datetime import date
from pathlib import Path
from typing import Any

from brinewright.errors import InputError
from brinewright.files.document import Document, parse_document, read_text
from brinewright.files.frame import Frame
from brinewright.files.lines import check_lines, read_lines
from brinewright.files.lookup import find_rulebook
from brinewright.files.migrate import migrate
from brinewright.files.parts import check_parts, read_parts
from brinewright.files.rulebook import is_inside, read_rulebook, read_site
from brinewright.files.schedules import read_forces, read_schedules
from brinewright.files.signals import check_signals, read_logic, read_switches
from brinewright.files.start import read_start
from brinewright.files.tables import Problems, Table, WrongValueError
from brinewright.files.values import read_values
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Circuit, Line, Loop, Part, Signature, Waiver
from brinewright.model.margins import MARGINS
from brinewright.model.rulebook import Rulebook

_KEYS = (
    "format",
    "name",
    "rulebook",
    "liquid",
    "temperature",
    "site",
    "circuit",
    "part",
    "line",
    "switch",
    "logic",
    "schedule",
    "force",
    "waiver",
    "signature",
    "margin",
    "start",
    "note",
)
_FINDING = re.compile(r"BW-F\d{2,3}[a-z]?")
_UNTIL = re.compile(r"margin (below|above) -?\d+(\.\d+)? ?\S.*")


def read_loop(path: str | Path, rulebook: Rulebook | str | Path | None = None) -> Loop:
    """Return the loop in a file; raises `InputError` with every problem of the file.

    Parameters
    ----------
    path : the loop file
    rulebook : stands in place of the rulebook that the loop names: one that has been read,
        the path of one, or the name of a shipped one
    """
    return read_design(path, rulebook)[0]


def read_design(path: str | Path, rulebook: Rulebook | str | Path | None = None) -> tuple[Loop, Rulebook]:
    """Return the loop in a file and the rulebook that it was held against."""
    where = Path(path)
    return parse_design(read_text(where), where.parent, rulebook, str(where))


def parse_loop(text: str, rulebook: Rulebook, file: str = "loop") -> Loop:
    """Return the loop in a TOML text, held against its own rulebook, which has been read."""
    return _loop(parse_document(text, file), rulebook, foreign=False)


def parse_design(
    text: str, folder: Path, rulebook: Rulebook | str | Path | None = None, file: str = "loop"
) -> tuple[Loop, Rulebook]:
    """Return the loop in a TOML text and its rulebook, which is looked up from `folder`."""
    document = parse_document(text, file)
    if isinstance(rulebook, Rulebook):
        return _loop(document, rulebook, foreign=True), rulebook
    if rulebook is not None:
        given = read_rulebook(find_rulebook(str(rulebook), folder, anywhere=True))
        return _loop(document, given, foreign=True), given
    own = read_rulebook(own_rulebook(document, folder))
    return _loop(document, own, foreign=False), own


def own_rulebook(document: Document, folder: Path, sort: str = "loop") -> Path:
    """Return the path of the rulebook that a file names; without one nothing more can be said."""
    problems = Problems(document)
    name = document.values.get("rulebook")
    try:
        migrate(document.values, sort)
    except WrongValueError as wrong:
        problems.add(("format",), wrong.message, wrong.advice)
        raise InputError(problems.listed()) from None
    if not isinstance(name, str) or not name:
        Table(document.values, (), problems, f"the {sort}").text("rulebook", None, '"kettle"')
        if name == "":
            problems.add(("rulebook",), "rulebook is empty.", 'Write rulebook = "kettle"')
    elif not is_inside(name):
        said = f'rulebook = "{name[:80]}" leads out of the folder of the {sort}.'
        problems.add(("rulebook",), said, f"Put the rulebook beside the {sort}, or give it with --rulebook.")
    else:
        try:
            return find_rulebook(name, folder)
        except InputError as error:
            problem = error.problems[0]
            problems.add(("rulebook",), problem.message, problem.advice)
    raise InputError(problems.listed())


def _loop(document: Document, rulebook: Rulebook, *, foreign: bool) -> Loop:
    problems = Problems(document)
    try:
        values = migrate(document.values, "loop")
    except WrongValueError as wrong:
        problems.add(("format",), wrong.message, wrong.advice)
        raise InputError(problems.listed()) from None
    return loop_of(values, rulebook, problems, foreign=foreign)


def loop_of(values: dict[str, Any], rulebook: Rulebook, problems: Problems, *, foreign: bool = False) -> Loop:
    """Return the loop that a document of the present version states, or raise with all its problems."""
    top = Table(values, (), problems, "the loop")
    for key in ("format", "note"):
        top.take(key)
    frame = Frame(problems, rulebook, foreign=foreign)
    name, rulebook_name = top.text("name"), top.text("rulebook", None, '"kettle"')
    frame.schedules = read_schedules(top, problems, None)
    site, frame.ambient = read_site(top, frame.schedules, rulebook)
    parts = read_parts(frame, top)
    lines = read_lines(frame, top)
    switches = read_switches(frame, top)
    logic = read_logic(frame, top)
    check_parts(frame, parts)
    check_lines(frame, lines)
    check_signals(frame, switches, logic)
    start, settled = read_start(frame, top, parts)
    loop = Loop(
        name=name,
        rulebook=rulebook_name,
        site=site,
        circuits=_circuits(frame, top, parts, lines),
        parts=parts,
        lines=lines,
        switches=switches,
        logic=logic,
        schedules=tuple(frame.schedules.values()),
        forces=read_forces(frame, top),
        waivers=_waivers(frame, top),
        signatures=_signatures(frame, top),
        margins=_margins(top),
        start=start,
        settled=settled,
    )
    if not parts:
        top.wrong("", "it has no parts.", "Add a [[part]] with a tag and a use.", at_key=True)
    top.refuse_rest(_KEYS)
    problems.raise_if_any()
    return loop


def _circuits(
    frame: Frame, top: Table, parts: tuple[Part, ...], lines: tuple[Line, ...]
) -> tuple[Circuit, ...]:
    tables = frame.tables(top, "circuit", "circuit")
    if tables:
        for key in ("liquid", "temperature"):
            if top.take(key) is not None:
                top.wrong(
                    key,
                    f"{key} stands at the top and in [[circuit]].",
                    "Leave the one at the top.",
                    at_key=True,
                )
        return _distinct([_circuit(frame, table) for table in tables], tables)
    if not lines and "liquid" not in top.values:
        return ()
    liquid = _liquid(frame, top)
    temperature = top.quantity("temperature", "temperature")
    first = lines[0].start.partition(".")[0] if lines else parts[0].tag if parts else ""
    return (Circuit(name="coolant", liquid=liquid, at=first, temperature=temperature),)


def _circuit(frame: Frame, table: Table) -> Circuit:
    name = table.text("name", None, '"cold"')
    table.name = f'circuit "{name[:40]}"'
    at = table.text("at", None, '"TK-101"')
    if at:
        # "HX-350.hot" is one side of a part that two circuits pass.
        frame.known(table, "at", at.partition(".")[0], ("part", "line"))
    circuit = Circuit(
        name=name,
        liquid=_liquid(frame, table),
        at=at,
        temperature=table.quantity("temperature", "temperature"),
    )
    table.refuse_rest(("name", "liquid", "at", "temperature"))
    return circuit


def _liquid(frame: Frame, table: Table) -> str:
    names = [liquid.name for liquid in frame.rulebook.liquids]
    if "liquid" not in table.values:
        table.missing("liquid", f'"{names[0] if names else "water"}"')
        return ""
    return table.word("liquid", names, "") if names else table.text("liquid")


def _distinct(circuits: list[Circuit], tables: list[Table]) -> tuple[Circuit, ...]:
    seen: dict[str, str] = {}
    for circuit, table in zip(circuits, tables, strict=True):
        for key, value in (("name", circuit.name), ("at", circuit.at)):
            if (
                value
                and seen.setdefault(f"{key} {value}", circuit.name)
                and list(seen).count(f"{key} {value}") > 1
            ):
                table.wrong(key, f'another circuit has {key} = "{value}".')
    return tuple(circuits)


def _margins(top: Table) -> Frozen:
    table = top.table("margin")
    if table is None:
        return Frozen()
    values = read_values(table, MARGINS, ())
    table.refuse_rest(margin.name for margin in MARGINS)
    return Frozen(values)


def _waivers(frame: Frame, top: Table) -> tuple[Waiver, ...]:
    waivers = []
    for table in frame.tables(top, "waiver", "waiver"):
        waiver = Waiver(
            finding=table.text("finding", None, '"BW-F35"'),
            reason=table.text("reason", None, '"no spare chiller until stage two"'),
            until=table.text("until"),
        )
        _check_code(table, waiver.finding)
        if "reason" in table.values and not waiver.reason.strip():
            table.wrong("reason", "the reason is empty.", "Say why the finding is accepted.")
        if waiver.until and not _UNTIL.fullmatch(waiver.until):
            table.wrong(
                "until",
                f'until = "{waiver.until[:40]}" can\'t be judged.',
                'Write until = "margin below -10 %"',
            )
        table.refuse_rest(("finding", "reason", "until"))
        waivers.append(waiver)
    return tuple(waivers)


def _signatures(frame: Frame, top: Table) -> tuple[Signature, ...]:
    signatures = []
    for table in frame.tables(top, "signature", "signature"):
        signature = Signature(
            finding=table.text("finding", None, '"BW-F46"'),
            by=table.text("by", None, '"the name of who looked"'),
            on=table.text("on", None, '"2026-11-25"'),
            note=table.text("note"),
        )
        table.name = f"the signature of {signature.finding[:40]}"
        _check_code(table, signature.finding)
        if "by" in table.values and not signature.by.strip():
            table.wrong("by", "the name is empty.", "Say who looked at it.")
        if signature.on and not _is_day(signature.on):
            table.wrong("on", f'on = "{signature.on[:40]}" is no day.', 'Write on = "2026-11-25"')
        table.refuse_rest(("finding", "by", "on", "note"))
        signatures.append(signature)
    return tuple(signatures)


def _check_code(table: Table, code: str) -> None:
    if code and not _FINDING.fullmatch(code):
        table.wrong("finding", f'"{code[:40]}" is no code of a finding.', 'Write finding = "BW-F35"')


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
