"""The verb `drain`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING


def drain(
    loop: Path,
    /,
    *,
    section: str = "all",
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    at: Annotated[str, Parameter(show_default=True)] = "6h",
    duration: Annotated[str, Parameter(name="--for", show_default=True)] = "24h",
    pump: str | None = None,
    full: tuple[str, ...] = (),
    out: Annotated[Path | None, Parameter(name=("--out", "-o"))] = None,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Say how part of a loop is emptied: where the liquid goes, what stays cold, in which order.

    Exit code 1 says that the tanks can't take it, or that something else of severity S or C stands
    in the way.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml.
    section
        Sections, lines or parts to empty, separated by commas; "all" for the whole loop.
    rulebook
        Rulebook to judge it under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change before, such as TK-101.volume=8 m3; may be repeated.
    at
        When in the run the section is shut off.
    duration
        How long the plant is watched after that.
    pump
        Volume flow of the pump that lifts what does not run by itself, such as "3 m3/h".
    full
        STORE=level to take instead of the run's, such as TK-101=90 %; may be repeated.
    out
        File to write the answer to: JSON if it ends in .json, else words.
    force
        Replace the file that is there.
    as_json
        Print the answer as JSON.
    """
    from brinewright.cli.progress import progress
    from brinewright.cli.simulation import changed_design, prepare, seconds
    from brinewright.files.edit import split_assignment
    from brinewright.files.whole import write_whole
    from brinewright.plan.drain import drain as planned
    from brinewright.report.draining import drainage_in_words
    from brinewright.units import parse

    design, book = changed_design(loop, rulebook, changes)
    shut_at, watched = seconds(at, "--at"), seconds(duration, "--for")
    levels = {split_assignment(one)[0]: parse(one.partition("=")[2], "ratio") for one in full}
    prepare()
    with progress(design.name) as show:
        answer = planned(
            design,
            book,
            sections=[name.strip() for name in section.split(",") if name.strip()],
            shut_at=shut_at,
            watched=watched,
            pump=None if pump is None else parse(pump, "volume flow"),
            full=levels,
            folder=loop.parent,
            progress=show,
        )
    told = json.dumps(answer.as_dict(), indent=1, ensure_ascii=False) + "\n"
    if out is not None:
        write_whole(out, told if out.suffix == ".json" else drainage_in_words(answer), force=force)
    print(told if as_json else drainage_in_words(answer), end="")
    return FINDING if answer.serious else DONE
