"""The verb `compare`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING, UNFINISHED

SUMMARY = "comparison.json"


def compare(
    *loops: Path,
    rulebooks: Annotated[tuple[str, ...], Parameter(name="--rulebook")] = (),
    duration: Annotated[str, Parameter(name="--for", show_default=True, allow_leading_hyphen=True)] = "24h",
    out: Annotated[Path | None, Parameter(name=("--out", "-o"))] = None,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Lay designs side by side, or one design under several rulebooks.

    Exit code 1 says that one of them has a finding of severity S or C, or makes no sense; 3 that a
    run could not be finished.

    Parameters
    ----------
    loops
        The loop files, two or more; one is enough with several rulebooks.
    rulebooks
        Rulebook to take each of them under, a file, or "kettle" or "earth"; may be repeated.
    duration
        How long each is run.
    out
        Folder to keep comparison.json and the sheet of curves in.
    force
        Replace what is in the folder already.
    as_json
        Print the comparison as JSON.
    """
    from brinewright.cli.progress import progress
    from brinewright.cli.simulation import prepare, seconds
    from brinewright.errors import InputError
    from brinewright.files import read_design
    from brinewright.plan.compare import compare_designs
    from brinewright.report.comparison import comparison_in_words, comparison_sheet
    from brinewright.results.folder import refuse_existing, write_folder

    if not loops:
        raise InputError("Name two loop files, or one with two --rulebook.")
    if out is not None:
        refuse_existing(out, force=force, is_ours=_is_ours)
    span = seconds(duration, "--for")
    designs = [(*read_design(path, name), path.parent) for path in loops for name in rulebooks or (None,)]
    prepare()
    with progress("compare") as show:
        told = compare_designs(designs, duration=span, progress=show)
    text = json.dumps(told.as_dict(), indent=1, ensure_ascii=False) + "\n"
    if out is not None:
        has_curves = any(result is not None for result in told.results)
        sheets = comparison_sheet(told) if has_curves else {}

        def write(fresh: Path) -> None:
            (fresh / SUMMARY).write_text(text, "utf-8")
            for name, content in sheets.items():
                (fresh / name).write_bytes(content)

        write_folder(out, write, force=force, is_ours=_is_ours)
    print(text if as_json else comparison_in_words(told), end="")
    if any(outcome.startswith("unfinished") for outcome in told.outcomes):
        return UNFINISHED
    senseless = any(told.senseless(number) for number in range(len(told.names)))
    return FINDING if senseless or any(told.serious) else DONE


def _is_ours(file: Path) -> bool:
    """Tell whether a file of this name is part of a comparison."""
    return file.as_posix() in (SUMMARY, "comparison.svg", "comparison.png")
