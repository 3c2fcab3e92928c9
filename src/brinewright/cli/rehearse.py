"""The verb `rehearse`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING, UNFINISHED


def rehearse(
    loop: Path,
    /,
    *,
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    only: tuple[str, ...] = (),
    pairs: Annotated[int, Parameter(show_default=True)] = 0,
    duration: Annotated[str, Parameter(name="--for", show_default=True, allow_leading_hyphen=True)] = "4h",
    out: Annotated[Path | None, Parameter(name=("--out", "-o"))] = None,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Put every credible fault into a loop, one by one: what breaks first, when, and what helps.

    Exit code 1 says that a fault is not survived, or that the plant breaks without any.
    Ctrl-C keeps the faults that are done.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml.
    rulebook
        Rulebook to run it under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change before, such as CH-201.count=4; may be repeated.
    only
        Group of faults to try, such as "machine lost"; may be repeated. A wrong name lists them.
    pairs
        How many pairs of faults to try as well, those most likely to matter first.
    duration
        How long each fault is run at most.
    out
        Folder to keep the answer in: rehearsal.json, rehearsal.txt, and the matrix as SVG and PNG.
    force
        Replace the folder that is there.
    as_json
        Print the answer as JSON.
    """
    from brinewright.cli.progress import ending_on_interrupt, progress
    from brinewright.cli.simulation import changed_design, prepare, seconds
    from brinewright.errors import InputError, Problem
    from brinewright.files.whole import refuse_existing, whole_folder
    from brinewright.plan.rehearse import rehearse as rehearsed
    from brinewright.report.rehearsal import rehearsal_in_words

    if pairs < 0:
        raise InputError(
            [Problem(f"--pairs: {pairs} is less than nothing.", "Write for example --pairs 20.")]
        )
    horizon = seconds(duration, "--for")
    design, book = changed_design(loop, rulebook, changes)
    if out is not None:
        refuse_existing(out, force)
    prepare()
    with progress(design.name, unit="faults", each=1.0) as show, ending_on_interrupt() as should_stop:
        rehearsal = rehearsed(
            design,
            book,
            only=only,
            pairs=pairs,
            horizon=horizon,
            progress=show,
            should_stop=should_stop,
            folder=loop.parent,
        )
    told = json.dumps(rehearsal.as_dict(), indent=1, ensure_ascii=False) + "\n"
    words = rehearsal_in_words(rehearsal)
    if out is not None:
        from brinewright.report.rehearsal_sheet import render_rehearsal

        with whole_folder(out, force=force) as folder:
            (folder / "rehearsal.json").write_text(told, encoding="utf-8")
            (folder / "rehearsal.txt").write_text(words, encoding="utf-8")
            sheets = render_rehearsal(rehearsal) if rehearsal.all_trials else {}
            for name, content in sheets.items():
                (folder / name).write_bytes(content)
    print(told if as_json else words, end="")
    if not rehearsal.survived or rehearsal.already:
        return FINDING
    return DONE if rehearsal.outcome.is_done and not rehearsal.unfinished else UNFINISHED
