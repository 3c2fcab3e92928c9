"""What the readers of one loop share: its rulebook, its tags, its problems."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from brinewright.catalogue import KINDS
from brinewright.errors import nearest_names
from brinewright.files.places import Path
from brinewright.files.rulebook import KIND_KEYS, names_of
from brinewright.files.tables import Problems, Table
from brinewright.model.kind import Kind, Law
from brinewright.model.loop import Schedule, Sited
from brinewright.model.rulebook import Entry, Rulebook

TAG = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,39}")
"""What a tag looks like."""
LINE_KIND = next(kind for kind in KINDS if kind.is_line)
"""The kind that lines are of."""
TALLEST = 20_000.0
"""Greatest height above or below the datum that a file may state [m]."""


@dataclass
class Owner:
    """Who owns a tag, and where in the file it stands."""

    what: str
    """"part", "line", "switch" or "logic"."""
    table: Table
    kind: Kind | None = None
    law: Law | None = None
    length: float = 0.0
    quantity: str = ""
    """Of a switch: the quantity of its set point."""


@dataclass
class Frame:
    """The loop being read."""

    problems: Problems
    rulebook: Rulebook
    ambient: float | None = None
    foreign: bool = False
    """Whether the rulebook is not the one that the loop names: numbers of other laws are then no mistake."""
    schedules: dict[str, Schedule] = field(default_factory=dict)
    owners: dict[str, Owner] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    names: dict[str, list[str]] = field(default_factory=dict)
    """Gases, liquids and materials of the rulebook."""

    def __post_init__(self) -> None:
        self.entries = {entry.key: entry for entry in self.rulebook.entries}
        self.names = names_of(self.rulebook)

    def tables(self, top: Table, key: str, what: str) -> list[Table]:
        """Return the tables of an array such as [[part]]."""
        raw = top.take(key)
        if raw is None:
            return []
        if not isinstance(raw, list):
            top.wrong(key, f"{key} is one table; there may be several.", f"Write [[{key}]]", at_key=True)
            raw = []
        return [self._table(values, (key, number), what) for number, values in enumerate(raw)]

    def _table(self, values: Any, path: Path, what: str) -> Table:
        tag = values.get("tag") if isinstance(values, dict) else None
        name = f'{what} "{tag[:40]}"' if isinstance(tag, str) and tag else f"a {what} without a tag"
        return Table(values, path, self.problems, name, ambient=self.ambient)

    def claim(self, table: Table, what: str, example: str) -> tuple[str, Owner]:
        """Return the tag of a table and its owner; a tag that is taken or misshaped is noted."""
        owner = Owner(what, table)
        tag = table.text("tag", None, f'"{example}"')
        if not tag:
            return "", owner
        if not TAG.fullmatch(tag):
            advice = "A tag begins with a letter and has letters, digits, - and _ only, at most 40."
            table.wrong("tag", f"tag = {tag[:60]!r} is no tag.".replace("'", '"'), advice)
            return "", owner
        first = self.owners.setdefault(tag, owner)
        if first is not owner:
            line = self.problems.document.places.key(first.table.path)[0]
            table.wrong(
                "tag",
                f'the tag "{tag}" is taken by the {first.what} at line {line}.',
                "Give it another number.",
            )
        return tag, owner

    def known(self, table: Table, key: str, tag: str, what: Iterable[str] = ("part",)) -> Owner | None:
        """Return the owner of a tag that a key names, or note that there is none."""
        owner = self.owners.get(tag)
        sorts = tuple(what)
        if owner is not None and owner.what in sorts:
            return owner
        names = [name for name, other in self.owners.items() if other.what in sorts]
        wanted = " or ".join(sorts)
        said = (
            f'"{tag[:60]}" is a {owner.what}, not a {wanted}.'
            if owner
            else f'there is no {wanted} "{tag[:60]}".'
        )
        table.wrong(key, f"{key}: {said}", nearest_names(tag[:60], names).strip())
        return None

    def entry(self, table: Table, *, line: bool) -> tuple[Entry | None, Kind | None]:
        """Return the entry of the rulebook that `use` names, and its kind."""
        use = table.take("use")
        if use is None and line:
            return None, LINE_KIND
        if use is None:
            examples = [key for key in self.entries if not KIND_KEYS[key.partition(".")[0]].is_line]
            table.missing(
                "use", f'"{examples[0] if examples else "chiller.k1"}"', "It names an entry of the rulebook."
            )
            return None, None
        if not isinstance(use, str):
            table.text("use")
            return None, None
        entry = self.entries.get(use)
        if entry is None:
            table.wrong("use", *self._no_entry(use, line))
            return None, KIND_KEYS.get(use.partition(".")[0])
        kind = KIND_KEYS[entry.key.partition(".")[0]]
        if kind.is_line != line:
            said = "can't be the make of a line" if line else f"is of a {kind.name}, which joins two ports"
            advice = f"Use an entry of a {LINE_KIND.name}." if line else "Write it as a [[line]]."
            table.wrong("use", f'use: "{use}" {said}.', advice)
            return None, None
        return entry, kind

    def _no_entry(self, use: str, line: bool) -> tuple[str, str]:
        kind, _, name = use.partition(".")
        said = f'use: there is no "{use[:80]}" in the rulebook "{self.rulebook.name}".'
        if not name:
            return said, f'An entry is written kind.name, such as "{next(iter(self.entries), "chiller.k1")}".'
        fitting = [key for key in self.entries if KIND_KEYS[key.partition(".")[0]].is_line == line]
        same = [key for key in fitting if key.startswith(f"{kind}.")]
        return said, nearest_names(use[:80], same or fitting).strip()

    def sited(self, table: Table) -> Sited | None:
        """Return where a table says that it stands; the part is looked up later."""
        inner = table.table("sited")
        if inner is None:
            return None
        inside = inner.text("in", "")
        height = inner.quantity("height", "length", 0.0, low=-TALLEST, high=TALLEST)
        inner.refuse_rest(("in", "height"))
        if not inner.values and inner.is_table:
            inner.wrong("", "it says nothing.", 'Write sited = { in = "VE-301", height = "0.4 m" }')
        return Sited(inside=inside, height=height)

    def material(self, table: Table) -> str:
        """Return the material of a table, noted when the rulebook has none of that name."""
        name = table.text("material")
        if name and name not in self.names["material"]:
            near = nearest_names(name, self.names["material"]).strip()
            table.wrong("material", f'there is no material "{name[:60]}" in the rulebook.', near)
        return name
