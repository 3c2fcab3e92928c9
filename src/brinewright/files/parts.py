"""Read the [[part]] tables of a loop."""

from collections.abc import Iterator

from brinewright.errors import nearest_names
from brinewright.files.frame import LINE_KIND, Frame, Owner
from brinewright.files.rulebook import other_laws
from brinewright.files.tables import Table
from brinewright.files.values import file_key, read_values, refuse_missing, refuse_reversed, refuse_unnamed
from brinewright.model.frozen import Frozen
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.loop import Part, Value
from brinewright.model.rulebook import Entry

MOST_IN_A_BANK = 10_000
"""Greatest count of a bank."""
_COMMON = ("tag", "use", "count", "material", "sited", "feeder", "shed", "note")


def read_parts(frame: Frame, top: Table) -> tuple[Part, ...]:
    """Return the parts; references to other parts are checked by `check_parts`."""
    return tuple(_part(frame, table) for table in frame.tables(top, "part", "part"))


def _part(frame: Frame, table: Table) -> Part:
    tag, owner = frame.claim(table, "part", "CH-201")
    entry, kind = frame.entry(table, line=False)
    owner.kind = kind
    count = table.count("count", 1, 1, MOST_IN_A_BANK)
    if kind and not kind.counted and count != 1:
        table.wrong(
            "count", f"a {kind.name} is no bank; it has no count.", "Write each as a part of its own."
        )
    part = Part(
        tag=tag,
        use=str(table.values.get("use", "")),
        count=count,
        material=frame.material(table),
        sited=frame.sited(table),
        feeder=table.text("feeder"),
        shed=table.count("shed", 0, 0, 1000),
        note=table.text("note"),
        refers=Frozen(_refers(table, kind) if kind else {}),
        values=Frozen(read_entry_values(frame, table, kind, entry, owner)),
    )
    if kind is None or (entry is None and part.use):
        return part
    refuse_unknown_keys(
        frame, table, kind, owner.law, (*_COMMON, *(file_key(link.name) for link in kind.references))
    )
    return part


def read_entry_values(
    frame: Frame, table: Table, kind: Kind | None, entry: Entry | None, owner: Owner
) -> dict[str, Value]:
    """Return what a part or line states over its entry, and note what neither states."""
    if kind is None:
        return {}
    owner.law = kind.law(entry.law) if entry else None
    parameters = declared(kind, owner.law)
    values = read_values(table, parameters, frame.schedules)
    if frame.foreign:
        values |= read_values(table, _of_other_laws(kind, parameters), frame.schedules)
    if entry is not None:
        refuse_missing(table, parameters, entry.values)
        refuse_reversed(table, {**entry.values, **values})
        refuse_unnamed(table, parameters, values, frame.names)
        refuse_wrong_schedules(frame, table, parameters, values)
    return values


def declared(kind: Kind, law: Law | None) -> tuple[Parameter, ...]:
    """Return the parameters that a kind has under a law."""
    return (*kind.parameters, *(law.parameters if law else ()))


def _of_other_laws(kind: Kind, own: tuple[Parameter, ...]) -> Iterator[Parameter]:
    names = {parameter.name for parameter in own}
    for law in kind.laws:
        for parameter in law.parameters:
            if parameter.name not in names:
                names.add(parameter.name)
                yield parameter


def refuse_unknown_keys(
    frame: Frame, table: Table, kind: Kind, law: Law | None, common: tuple[str, ...]
) -> None:
    """Note keys that the kind does not have under its law."""
    known = (*(file_key(parameter.name) for parameter in declared(kind, law)), *common)
    table.refuse_rest(known, other_laws(kind, law) if law and not frame.foreign else None)


def refuse_wrong_schedules(
    frame: Frame, table: Table, parameters: tuple[Parameter, ...], values: dict[str, Value]
) -> None:
    """Note each schedule of another quantity than the parameter's."""
    for parameter in parameters:
        name = values.get(parameter.name)
        if parameter.quantity != "schedule" or not isinstance(name, str):
            continue
        schedule = frame.schedules[name]
        key = file_key(parameter.name)
        if schedule.quantity and schedule.quantity != parameter.schedule_of:
            said = (
                f'{key}: the schedule "{name}" is a {schedule.quantity}; expected a {parameter.schedule_of}.'
            )
            table.wrong(key, said, f'Write quantity = "{parameter.schedule_of}" in [schedule.{name}].')


def _refers(table: Table, kind: Kind) -> dict[str, tuple[str, ...]]:
    refers: dict[str, tuple[str, ...]] = {}
    for link in kind.references:
        key = file_key(link.name)
        example = f'"{link.kinds[0]}"' if link.kinds else '"..."'
        tags = table.texts(key, '["TK-101"]' if link.many else '"TK-101"')
        if len(tags) > 1 and not link.many:
            table.wrong(key, f"{key} names {len(tags)} parts; one is allowed.", "Leave one of them.")
        if tags:
            refers[link.name] = tags
        elif not link.optional and key not in table.values:
            table.missing(key, f"the tag of a {example.strip(chr(34))}", link.text)
    return refers


def check_parts(frame: Frame, parts: tuple[Part, ...]) -> None:
    """Note references, feeders and sites that name no part, or one of the wrong kind."""
    for part in parts:
        owner = frame.owners.get(part.tag)
        if owner is None or owner.table.values.get("use") != part.use:
            continue
        table = owner.table
        check_sited(frame, table, part.sited.inside if part.sited else "", part.tag)
        if part.feeder:
            _check_link(frame, table, "feeder", part.feeder, part.tag, ())
        for link in owner.kind.references if owner.kind else ():
            for tag in part.refers.get(link.name, ()):
                _check_link(frame, table, file_key(link.name), tag, part.tag, link.kinds)
    _refuse_circles(frame, parts)


def check_sited(frame: Frame, table: Table, inside: str, tag: str) -> None:
    """Note a site that is no part, or the part itself."""
    if not inside:
        return
    inner = Table(table.values["sited"], (*table.path, "sited"), frame.problems, f"{table.name} sited")
    if inside == tag:
        inner.wrong("in", "it can't stand in itself.", "Name the vessel or room that it stands in.")
    else:
        frame.known(inner, "in", inside)


def _refuse_circles(frame: Frame, parts: tuple[Part, ...]) -> None:
    """Note parts that stand in each other."""
    inside = {part.tag: part.sited.inside for part in parts if part.sited and part.sited.inside != part.tag}
    settled: set[str] = set()
    for tag in inside:
        trail: list[str] = []
        here = tag
        while here in inside and here not in settled and here not in trail:
            trail.append(here)
            here = inside[here]
        if here in trail and tag == here:
            said = f"it stands in itself by way of {' in '.join([*trail, here])}."
            frame.owners[tag].table.wrong("sited", said, "Take one of them out of the other.")
        settled.update(trail)


def _check_link(frame: Frame, table: Table, key: str, tag: str, own: str, kinds: tuple[str, ...]) -> None:
    owner = frame.owners.get(tag)
    lines = ("line",) if LINE_KIND.name in kinds else ()
    if tag == own:
        table.wrong(key, f"{key} names the part itself.")
    elif owner is None or owner.what not in ("part", *lines):
        fitting = [
            name
            for name, other in frame.owners.items()
            if other.what in lines
            or (other.what == "part" and (not kinds or (other.kind and other.kind.name in kinds)))
        ]
        near = nearest_names(tag, fitting).strip() or (
            f"There are: {', '.join(fitting[:5])}." if fitting else ""
        )
        what = "part or line" if lines else "part"
        table.wrong(key, f'{key}: there is no {what} "{tag[:60]}".', near)
    elif kinds and owner.what == "part" and owner.kind and owner.kind.name not in kinds:
        wanted = " or ".join(kinds)
        table.wrong(key, f'{key}: "{tag}" is a {owner.kind.name}; expected a {wanted}.')
