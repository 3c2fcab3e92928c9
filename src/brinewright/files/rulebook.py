"""Read a rulebook."""

from pathlib import Path
from typing import Any

from brinewright.catalogue import KINDS
from brinewright.errors import nearest_names
from brinewright.files.document import parse_document, read_text
from brinewright.files.lookup import shipped_rulebooks
from brinewright.files.migrate import migrate
from brinewright.files.substances import read_gas, read_liquid, read_material
from brinewright.files.tables import Problems, Table, WrongValueError, one_of, read_quantity
from brinewright.files.values import read_values, refuse_missing, refuse_reversed, refuse_unnamed
from brinewright.model.frozen import Frozen
from brinewright.model.kind import Kind, Law
from brinewright.model.loop import Value
from brinewright.model.rulebook import Entry, Rulebook
from brinewright.model.site import CHOICES, SITE

WORLDS = ("stylised", "real")
KIND_KEYS = {kind.name.replace(" ", "-"): kind for kind in KINDS}
"""Kinds by the name that `use` and the tables of a rulebook write."""
_SECTIONS = ("format", "name", "world", "choice", "site", "liquid", "gas", "material", "provenance")


def read_rulebook(path: str | Path) -> Rulebook:
    """Return the rulebook in a file, or a shipped one by its bare name such as "kettle".

    Raises `InputError` with every problem of the file.
    """
    where = Path(path)
    if not where.exists():
        where = shipped_rulebooks().get(str(path), where)
    return parse_rulebook(read_text(where), str(where))


def parse_rulebook(text: str, file: str = "rulebook") -> Rulebook:
    """Return the rulebook in a TOML text; `file` is what problems are reported against."""
    document = parse_document(text, file)
    problems = Problems(document)
    try:
        values = migrate(document.values, "rulebook")
    except WrongValueError as wrong:
        problems.add(("format",), wrong.message, wrong.advice)
        problems.raise_if_any()
        raise
    top = Table(values, (), problems, "the rulebook")
    top.take("format")
    name = top.text("name", None)
    world = top.word("world", WORLDS)
    site, ambient = read_site(top, ())
    rulebook = Rulebook(
        name=name,
        world=world,
        choices=_choices(top, world),
        site=site,
        liquids=tuple(read_liquid(table, key, world) for key, table in _named(top, "liquid", ambient)),
        gases=tuple(read_gas(table, key) for key, table in _named(top, "gas", ambient)),
        materials=tuple(read_material(table, key) for key, table in _named(top, "material", ambient)),
        entries=tuple(_entries(top, world, ambient)),
        provenance=Frozen(top.take("provenance") if isinstance(top.values.get("provenance"), dict) else {}),
    )
    top.refuse_rest((*_SECTIONS, *KIND_KEYS))
    _refuse_unknown_names(rulebook, top)
    problems.raise_if_any()
    return rulebook


def read_site(top: Table, schedules: Any, base: Rulebook | None = None) -> tuple[Frozen, float | None]:
    """Return what [site] states, and the ambient pressure that gauge pressures count from [Pa].

    Without `base` this is a rulebook's, which must be complete; else a loop's, which overrides it.
    """
    table = top.table("site") or Table({}, ("site",), top.problems, "site")
    table.name = "site"
    given: Any = base.site.get("ambient_pressure") if base else None
    stated = table.values.get("ambient_pressure")
    try:
        given = read_quantity("", stated, "pressure") if stated is not None else given
    except WrongValueError:
        given = None
    table.ambient = given if isinstance(given, float) else None
    values = read_values(table, SITE, schedules)
    if base is None and "site" not in top.values:
        top.missing(
            "[site]", 'gravity = "9.81 m/s2", ambient_pressure, ambient_temperature', "A place states them."
        )
    elif base is None:
        refuse_missing(table, SITE, values)
    weather = values.get("weather")
    if isinstance(weather, str) and not is_inside(weather):
        table.wrong(
            "weather", f'weather = "{weather}" leads out of the folder.', "Put the file beside the loop."
        )
    table.refuse_rest(parameter.name for parameter in SITE)
    return Frozen(values), table.ambient


def is_inside(name: str) -> bool:
    """Tell whether a file's name, as a file of ours states it, stays in its folder."""
    return (
        bool(name)
        and "\0" not in name
        and "\\" not in name
        and ":" not in name
        and (not name.startswith(("/", "~")) and ".." not in name.split("/"))
    )


def _choices(top: Table, world: str) -> Frozen:
    table = top.table("choice")
    if table is None:
        if world == "stylised":
            names = ", ".join(f'{choice.name} = "{choice.choices[0]}"' for choice in CHOICES)
            top.missing("[choice]", names, "These change the answer and have no default.")
        return Frozen()
    table.name = "choice"
    values: dict[str, Value] = {}
    if world == "stylised":
        values = read_values(table, CHOICES, ())
        refuse_missing(table, CHOICES, values)
    elif table.values:
        table.wrong(
            "",
            "choices belong to a stylised place; physics decides here.",
            "Leave out [choice].",
            at_key=True,
        )
        return Frozen()
    table.refuse_rest(choice.name for choice in CHOICES)
    return Frozen(values)


def _named(top: Table, section: str, ambient: float | None) -> list[tuple[str, Table]]:
    """Return the tables of a section, such as [liquid.NAME], with their names."""
    outer = top.table(section)
    if outer is None:
        return []
    found = []
    for name, values in outer.values.items():
        table = Table(values, (section, name), top.problems, f'{section} "{name}"', ambient=ambient)
        if not name or len(name) > 60 or "." in name or any(letter.isspace() for letter in name):
            table.wrong("", f'"{name[:60]}" is no name.', "Use letters, digits, - and _.", at_key=True)
        found.append((name, table))
    return found


def _entries(top: Table, world: str, ambient: float | None) -> list[Entry]:
    entries = []
    for key, kind in KIND_KEYS.items():
        for name, table in _named(top, key, ambient):
            table.name = f'{key} "{name}"'
            entry = _entry(table, kind, name, world)
            if entry is not None:
                entries.append(entry)
    return entries


def _entry(table: Table, kind: Kind, name: str, world: str) -> Entry | None:
    laws = {law.name: law for law in kind.laws if law.world in (world, "both")}
    written = table.take("law")
    if written is None and len(laws) == 1:
        written = next(iter(laws))
    law = laws.get(written) if isinstance(written, str) else None
    if law is None:
        _refuse_law(table, kind, written, laws, world)
        return None
    values = read_values(table, (*kind.parameters, *law.parameters), ())
    materials = table.texts("materials", '["steel"]')
    refuse_reversed(table, values)
    table.refuse_rest(
        (
            "law",
            "materials",
            *(parameter.name for parameter in (*kind.parameters, *law.parameters)),
        ),
        other_laws(kind, law),
    )
    return Entry(kind=kind.name, name=name, law=law.name, values=Frozen(values), materials=materials)


def _refuse_law(table: Table, kind: Kind, written: Any, laws: dict[str, Law], world: str) -> None:
    if not table.is_table:
        return
    if not laws:
        table.wrong("", f"a {kind.name} has no law in a {world} place.", "Leave it out.", at_key=True)
    elif written is None:
        table.missing("law", f'"{next(iter(laws))}"', f"It is {one_of(laws)}.")
    elif any(law.name == written for law in kind.laws):
        table.wrong("law", f'law = "{written}" is not of a {world} place.', f"Here it is {one_of(laws)}.")
    else:
        near = nearest_names(written, laws).strip() if isinstance(written, str) else ""
        table.wrong("law", f"law is {written!r}; expected {one_of(laws)}.".replace("'", '"'), near)


def other_laws(kind: Kind, law: Law) -> dict[str, str]:
    """Return hints for parameters that only other laws of the kind have."""
    own = {parameter.name for parameter in (*kind.parameters, *law.parameters)}
    return {
        parameter.name: f'Only the law "{other.name}" has it; this one is "{law.name}".'
        for other in kind.laws
        for parameter in other.parameters
        if parameter.name not in own
    }


def names_of(rulebook: Rulebook) -> dict[str, list[str]]:
    """Return the names of the gases, liquids and materials of a rulebook."""
    return {
        "gas": [gas.name for gas in rulebook.gases],
        "liquid": [liquid.name for liquid in rulebook.liquids],
        "material": [material.name for material in rulebook.materials],
    }


def _refuse_unknown_names(rulebook: Rulebook, top: Table) -> None:
    names = names_of(rulebook)
    for entry in rulebook.entries:
        key = entry.kind.replace(" ", "-")
        kind = KIND_KEYS[key]
        table = Table({}, (key, entry.name), top.problems, f'{key} "{entry.name}"')
        refuse_unnamed(table, (*kind.parameters, *kind.law(entry.law).parameters), entry.values, names)
        for name in entry.materials:
            if name not in names["material"]:
                near = nearest_names(name, names["material"]).strip() or f"Add a table [material.{name}]."
                table.wrong("materials", f'materials: there is no material "{name}".', near)
