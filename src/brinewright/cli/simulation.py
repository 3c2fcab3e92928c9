"""One simulation as the command line does it: read, change, run with progress."""

import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from brinewright.cli.progress import ending_on_interrupt, progress
from brinewright.errors import InputError, Problem
from brinewright.files import read_design, with_values
from brinewright.files.edit import split_assignment
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.results import Result
from brinewright.units import parse

SHORTEST = 1.0
"""Shortest time that can be simulated, and shortest interval: the tick [s]."""


def simulated(
    path: Path,
    *,
    rulebook: str | None = None,
    changes: Iterable[str] = (),
    duration: str = "24h",
    interval: str = "1min",
    channels: tuple[str, ...] | None = None,
    stop_on_events: bool = False,
) -> Result:
    """Return the result of the loop in a file; every argument is as it was written.

    Parameters
    ----------
    path : the loop file
    rulebook : file or name of a rulebook that stands in place of the loop's own
    changes : such as "CH-201.count=4"
    duration : time to simulate, such as "24 h"
    interval : time between two samples, such as "1 min"
    channels : what to record; None records everything
    stop_on_events : whether the first event ends the run
    """
    span, step = seconds(duration, "--for"), seconds(interval, "--interval")
    loop, book = changed_design(path, rulebook, changes)
    changed = _changed(changes)
    prepare()
    from brinewright.run import simulate

    with progress(loop.name) as show, ending_on_interrupt() as should_stop:
        result: Result = simulate(
            loop,
            book,
            duration=span,
            interval=step,
            channels=channels,
            stop_on_events=stop_on_events,
            progress=show,
            should_stop=should_stop,
            folder=path.parent,
        )
    settings = {**result.provenance.get("settings", {}), "duration_s": span, "changes": changed}
    return replace(result, provenance={**result.provenance, "settings": settings})


def changed_design(path: Path, rulebook: str | None, changes: Iterable[str]) -> tuple[Loop, Rulebook]:
    """Return the loop in a file with what `--set` changes, and the rulebook that it is held against."""
    loop, book = read_design(path, rulebook)
    changed = _changed(changes)
    return (with_values(loop, book, changed) if changed else loop), book


def _changed(changes: Iterable[str]) -> dict[str, str]:
    return {split_assignment(change)[0]: change.partition("=")[2] for change in changes}


def seconds(text: str, option: str) -> float:
    """Return a time span as an option states it [s]."""
    if option == "--for" and text.strip().replace(".", "", 1).isdigit():
        advice = f'Write for example {option} "{text.strip()} h".'
        raise InputError([Problem(f'{option}: "{text}" has no unit.', advice)])
    try:
        span = parse(text, "time")
    except InputError as error:
        raise InputError([Problem(f"{option}: {problem}") for problem in error.problems]) from error
    if not span >= SHORTEST:
        raise InputError(
            [Problem(f'{option}: "{text}" is less than one second.', f'Write for example {option} "1 h".')]
        )
    return span


def prepare() -> None:
    """Say what the wait is for if the engine must first be compiled for this machine."""
    from brinewright.jit import is_cold

    if is_cold():
        print("Preparing the engine for this machine, once, about 20 seconds.", file=sys.stderr, flush=True)
