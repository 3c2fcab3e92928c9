"""How a section is emptied, told in words for a terminal."""

import textwrap
from collections.abc import Iterable

from brinewright.plan.drainage import Aid, Content, Cooling, Drainage, Meanwhile, Step
from brinewright.plan.steps import span
from brinewright.results.caution import caution

WIDTH = 96
ZERO = 273.15


def drainage_in_words(answer: Drainage) -> str:
    """Return the whole answer: the verdict first, then the account, the locks and the steps."""
    lines = [*_verdict(answer), ""]
    lines += _table_of_contents(answer)
    lines += _block("Shut off by", (one.text for one in answer.isolations))
    lines += _block("No valve there", (f"{one.text} {one.remedy}" for one in answer.openings))
    lines += _block("Where it leaves", (_outlet(answer, index) for index in range(len(answer.outlets))))
    lines += _block("Room", (_room(answer, index) for index in range(len(answer.rooms))))
    lines += _block("Cool enough to open", map(_cooling, answer.cooling))
    lines += _block("The consumers meanwhile", (_consumer(one, answer) for one in answer.meanwhile))
    lines += _block("Held by hand it lasts longer", map(_aid, answer.aids))
    lines += _block(
        "In the way",
        (f"{fault.severity}  {fault.code}  {fault.text} {fault.remedy}" for fault in answer.faults),
    )
    lines += _numbered("Steps", answer.steps)
    lines += _numbered("The way back", answer.way_back)
    lines += _block("Cautions", answer.cautions)
    return "\n".join([*lines, textwrap.fill(caution(answer.world), WIDTH)]) + "\n"


def _verdict(answer: Drainage) -> list[str]:
    what = ", ".join(answer.section)
    can = "the tanks have room for it" if answer.fits else "it can NOT be emptied into its tanks"
    room = (
        f"{answer.name}, {what}: {can}. {answer.hold_up:.0f} l stand in it; with reserve "
        f"{answer.needed:.0f} l must be free, and {answer.free:.0f} l are "
        f"(margin {100 * answer.margin:+.0f} %; at the worst hour of the run {answer.free_at_worst:.0f} l)."
    )
    said = [room]
    if answer.is_judged:
        said.append(
            f"{answer.by_gravity:.0f} l run out by their own weight, {answer.by_pump:.0f} l must be lifted, "
            f"{answer.stays:.0f} l stay in pockets."
        )
        if answer.least_time is not None:
            said.append(f"Emptying takes {span(answer.least_time)} at best.")
        elif answer.by_pump:
            said.append("State a pump (--pump) to get the time that lifting takes.")
    else:
        said.append(
            f"{len(answer.unknown_heights)} lines state no heights, so it can't be judged what runs "
            "out by itself."
        )
    if answer.beyond:
        said.append(f"Valves are missing: {', '.join(answer.beyond)} must be emptied with it.")
    if answer.left:
        said.append(f"{', '.join(answer.left)} stay full with their tanks.")
    if count := len(answer.serious):
        said.append(
            f"It can NOT be emptied as it stands: {count} serious obstacle{'s' if count > 1 else ''}, "
            "see below."
        )
    elif answer.is_judged and answer.hold_up >= 0.5 and answer.stays > 0.5 * answer.hold_up:
        said.append("Most of it can NOT be emptied as it stands: no drain point reaches it.")
    return [textwrap.fill(" ".join(said), WIDTH)]


def _table_of_contents(answer: Drainage) -> list[str]:
    rows = [f"  {'':<10}{'litres':>9}{'kg':>9}   {'from':>6} {'to m':>6}   goes to"]
    rows += [_content(one, answer.is_judged) for one in answer.contents]
    return ["What stands in it", *rows, ""]


def _content(one: Content, is_judged: bool) -> str:
    heights = "".join(
        f"{'-' if height is None else format(height, '.1f'):>7}" for height in (one.lowest, one.highest)
    )
    ways = [f"{store} {litres:.0f} by weight" for store, litres in one.by_gravity.items() if litres >= 0.5]
    ways += [f"{store} {litres:.0f} by pump" for store, litres in one.by_pump.items() if litres >= 0.5]
    ways += [f"{one.stays:.0f} stay"] if one.stays >= 0.5 else []
    goes = ", ".join(ways) if is_judged else "not judged"
    return f"  {one.tag:<10}{one.litres:>9.1f}{one.kilograms:>9.1f}  {heights}   {goes}"


def _outlet(answer: Drainage, index: int) -> str:
    one = answer.outlets[index]
    took = f", {span(one.least_time)} at best" if one.least_time is not None else ""
    how = "runs" if one.means == "gravity" else "is lifted"
    return (
        f"{one.tag}, {one.height:g} m, bore {1000 * one.bore:.0f} mm: {one.litres:.0f} l {how} into "
        f"{one.into}{took}."
    )


def _room(answer: Drainage, index: int) -> str:
    one = answer.rooms[index]
    swell = f", its own liquid swells by {one.swell:.0f} l" if one.swell >= 0.5 else ""
    moved = sum(t.litres for t in answer.transfers if t.source == one.store)
    first = f"; {moved:.0f} l are moved on first" if moved else ""
    return (
        f"{one.store}, {one.volume:.0f} l: {100 * one.level_now:.0f} % full, {one.free_now:.0f} l free "
        f"(fullest {100 * one.level_fullest:.0f} %: {one.free_fullest:.0f} l){swell}; takes {one.takes:.0f} l"
        f"{first} and ends at {100 * one.level_after:.0f} %."
    )


def _cooling(one: Cooling) -> str:
    limit = f"{one.limit - ZERO:.0f} degC"
    begins = f"{one.begins - ZERO:.0f} degC now"
    if one.after is None:
        return f"{one.tag} ({one.what}), {begins}: does not come below {limit} by itself."
    if one.after <= 0.0:
        return f"{one.tag} ({one.what}), {begins}: below {limit} already."
    basis = "followed on from the run" if one.basis == "beyond the run" else "in the run"
    return f"{one.tag} ({one.what}), {begins}: below {limit} after {span(one.after)}, {basis}."


def _consumer(one: Meanwhile, answer: Drainage) -> str:
    cut = "cut off" if one.is_cut_off else "still served"
    if one.holds is None:
        return (
            f"{one.tag}, {cut}: within its limits for all of {span(answer.watched)}; nearest "
            f"{one.worst - ZERO:.1f} of {one.limit - ZERO:.1f} degC (undisturbed {one.normally - ZERO:.1f})."
        )
    return (
        f"{one.tag}, {cut}: leaves its limit of {one.limit - ZERO:.1f} degC after {span(one.holds)} "
        f"(undisturbed {one.normally - ZERO:.1f})."
    )


def _aid(one: Aid) -> str:
    lasts = "not at all" if one.holds is None else f"after {span(one.holds)}"
    return (
        f"{one.tag} at {one.position}: the first consumer leaves its limits {lasts}, instead of after "
        f"{span(one.instead_of)}."
    )


def _numbered(title: str, steps: Iterable[Step]) -> list[str]:
    rows = []
    for step in steps:
        text = step.text
        if step.levels:
            text += (
                " Then "
                + ", ".join(f"{store} {100 * level:.0f} %" for store, level in step.levels.items())
                + "."
            )
        rows.append(_wrapped(f"{step.number:>2}  {text}", "      "))
    return [title, *rows, ""] if rows else []


def _block(title: str, rows: Iterable[str]) -> list[str]:
    told = [_wrapped(row, "    ") for row in rows]
    return [title, *told, ""] if told else []


def _wrapped(text: str, indent: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent="  ", subsequent_indent=indent)
