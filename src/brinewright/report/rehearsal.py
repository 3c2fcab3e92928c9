"""A rehearsal in words for a terminal: a matrix of what breaks and when, then what to do about it."""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby

from brinewright.plan.failure import FAMILIES, Failure
from brinewright.plan.rehearsal import Rehearsal, Trial
from brinewright.report.sheet import span_text
from brinewright.results.caution import caution

WIDTH = 108
NAME = 45
CELL = 9
UNMOVED = 0.05
"""Share of the distance to a limit below which a fault hardly changes anything [-]."""
FOLLOWING = 3
"""Further failures that are told of one fault."""


def rehearsal_in_words(rehearsal: Rehearsal) -> str:
    """Return a rehearsal in lines for a terminal."""
    lines = [_opening(rehearsal), ""]
    if rehearsal.already:
        told = ", ".join(rehearsal.already)
        lines += [
            _wrapped(f"The sound plant breaks something by itself, which no fault is blamed for: {told}.", 0),
            "",
        ]
    if rehearsal.all_trials:
        lines += [*_matrix(rehearsal), ""]
    for trial in rehearsal.broken:
        lines += _told(trial)
    lines.append(textwrap.fill(caution(rehearsal.world), WIDTH))
    return "\n".join(lines) + "\n"


def _opening(rehearsal: Rehearsal) -> str:
    tried, broken = len(rehearsal.trials), sum(bool(trial.failures) for trial in rehearsal.trials)
    unrun = sum(bool(trial.unfinished) for trial in rehearsal.trials)
    span = span_text(rehearsal.horizon)
    counts = f"{tried - broken - unrun} survived, {broken} not"
    counts += f", {unrun} could not be run" if unrun else ""
    number = "1 fault" if tried == 1 else f"{tried} faults, one at a time,"
    told = [f"{rehearsal.name}: {number} run for {span} at most: {counts}."]
    if rehearsal.pairs:
        lost = sum(bool(trial.failures) for trial in rehearsal.pairs)
        told.append(
            f"{len(rehearsal.pairs)} of {rehearsal.possible_pairs} pairs of faults that are survived one by "
            f"one, the likeliest to matter first: {len(rehearsal.pairs) - lost} survived, {lost} not."
        )
    if not rehearsal.outcome.is_done:
        told.append(f"Interrupted: {rehearsal.faults - tried} faults were not tried.")
    return "\n".join(textwrap.fill(line, WIDTH) for line in told)


def _matrix(rehearsal: Rehearsal) -> list[str]:
    """Return a row for each fault: minutes until the first failure of each family, the very first in < >."""
    head = f"{'minutes until something breaks':<{NAME}}" + "".join(f"{name:>{CELL}}" for name in FAMILIES)
    lines = [head, "-" * len(head)]
    for group, trials in groups(rehearsal.trials):
        lines.append(group)
        lines += [_row(trial) for trial in trials]
    if rehearsal.pairs:
        lines.append("two at once")
        lines += [_row(trial) for trial in rehearsal.pairs]
    lines += ["", "< > is the first; a run ends half an hour after it, so what comes later is not shown."]
    return lines


def groups(trials: Sequence[Trial]) -> Iterator[tuple[str, list[Trial]]]:
    """Return the trials by group, in their order."""
    for group, found in groupby(trials, key=lambda trial: trial.fault.group):
        yield group, list(found)


def _row(trial: Trial) -> str:
    name = f"  {trial.fault.name}"
    start = f"{name:<{NAME}}" if len(name) < NAME else f"{name}\n{'':<{NAME}}"
    if trial.unfinished:
        return textwrap.fill(
            f"{start}  could not be run: {trial.unfinished}", WIDTH, subsequent_indent=" " * NAME
        )
    if trial.survived:
        return f"{start}  survived{held_by(trial)}"
    first = trial.first
    cells: dict[str, str] = {}
    for failure in trial.failures:
        told = f"{failure.minutes:.1f}"
        cells.setdefault(failure.family, f"<{told}>" if failure is first else f"{told} ")
    return (start + "".join(f"{cells.get(family, '. '):>{CELL}}" for family in FAMILIES)).rstrip()


def held_by(trial: Trial) -> str:
    """Return what a fault that is survived comes nearest to, in words that follow "survived"."""
    near = trial.nearest
    if near is None or near.used < UNMOVED:
        return ", hardly anything changes"
    return f", nearest to {near.tag} {near.code.replace('-', ' ')}: {near.left:.1f} {near.unit} left"


def _told(trial: Trial) -> list[str]:
    lines = [f"{trial.fault.name} ({trial.moment})", _wrapped(trial.fault.text)]
    first = trial.first
    if first is not None:
        lines.append(_wrapped(f"Breaks: {failed(first)}"))
    rest = trial.failures[1:]
    if rest:
        told = "; ".join(
            f"{one.tag} {one.code.replace('-', ' ')}, {_minutes(one.time)}" for one in rest[:FOLLOWING]
        )
        more = f"; {len(rest) - FOLLOWING} more" if len(rest) > FOLLOWING else ""
        lines.append(_wrapped(f"Then: {told}{more}."))
    lines.append(_wrapped(f"Seen: {seen(trial)}"))
    lines.append(_wrapped(f"Do: {to_do(trial)}"))
    if trial.ends:
        lines.append(_wrapped(f"Afterwards: {afterwards(trial)}"))
    return [*lines, ""]


def failed(failure: Failure) -> str:
    """Return a failure in words."""
    return f"{failure.tag} after {_minutes(failure.time)}. {failure.text}"


def _named(failure: Failure) -> str:
    return f"{failure.tag} {failure.code.replace('-', ' ')}"


def seen(trial: Trial) -> str:
    """Return what shows a fault in time, or what is missing for that, in words."""
    first, notice = trial.first, trial.in_time
    if notice is not None:
        lead = f", {_minutes(first.time - notice.time)} before" if first is not None else ""
        return f"{notice.text}, after {_minutes(notice.time)}{lead}."
    late = f"{trial.notices[0].text}, but not in time. " if trial.notices else "nothing shows it. "
    return late + _missing(trial)


def seen_briefly(trial: Trial) -> str:
    """Return the same in few words."""
    notice = trial.in_time
    if notice is not None:
        return f"seen by {notice.tag} after {_minutes(notice.time)}"
    return f"not seen in time; missing: {trial.guard.text}" if trial.guard else "not seen"


def _missing(trial: Trial) -> str:
    guard = trial.guard
    if guard is None:
        return ""
    if guard.lead:
        return f"Missing: {guard.text}; it would speak {_minutes(guard.lead)} before."
    return f"Missing: {guard.text}; even that leaves people no time."


def to_do(trial: Trial) -> str:
    """Return what to do about a fault, and until when, in words."""
    action, first = trial.action, trial.first
    if action is None:
        if first is not None and first.time <= 60.0:
            return "nothing: it breaks before anyone can act; only a guard of its own helps."
        return "nothing that was tried helps."
    within = f"{action.text} within {_minutes(action.within)}"
    if action.holds:
        return f"{within}: then nothing breaks."
    if action.spares and action.then:
        told = f"{_named(action.then)}, {_minutes(action.then.time)}"
        return f"{within}: then nothing is damaged, but {told} after the fault."
    then = f", then {_named(action.then)}" if action.then else ""
    return f"{within}: it gains {_minutes(action.gains)}{then}."


def afterwards(trial: Trial) -> str:
    """Return whether a plant comes back by itself after a fault has ended, in words."""
    if trial.back_after is None:
        return "it does not come back to its usual temperatures in the time that was run."
    return f"{_minutes(trial.back_after)} after the end of the fault all is as usual again."


def _minutes(seconds: float) -> str:
    return f"{seconds / 60.0:.1f} min" if seconds < 5940.0 else f"{seconds / 3600.0:.1f} h"


def _wrapped(text: str, indent: int = 6) -> str:
    space = " " * indent
    return textwrap.fill(text, WIDTH, initial_indent=space, subsequent_indent=space)
