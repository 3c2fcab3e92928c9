"""The verb `size`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING


def size(
    brief: Path,
    /,
    *,
    out: Annotated[Path | None, Parameter(name=("--out", "-o"))] = None,
    rulebook: str | None = None,
    stages: bool = False,
    front: bool = False,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Find a loop that meets a brief, prove it by a run of a day, and explain each decision.

    Exit code 1 says that no design meets the brief; which need is in the way is told, and the
    nearest design that works.

    Parameters
    ----------
    brief
        The brief's file, such as ridge.brief.toml.
    out
        File to write the loop to, such as ridge.loop.toml.
    rulebook
        Rulebook to size it under instead of the brief's own: a file, or "kettle".
    stages
        Plan the stages of growth too: what to build now, what to change later.
    front
        Show the good designs side by side: each better in something than each of the others.
    force
        Replace the loop file that is there.
    as_json
        Print the answer as JSON.
    """
    from brinewright.cli.progress import progress
    from brinewright.cli.simulation import prepare
    from brinewright.files import read_needs
    from brinewright.files.whole import refuse_existing
    from brinewright.plan import size as sized
    from brinewright.report.sizing import sized_in_words

    if out is not None:
        refuse_existing(out, force)
    needs, book = read_needs(brief, rulebook)
    prepare()
    with progress(needs.name or brief.stem, unit="steps", each=1.0) as show:
        answer = sized(needs, book, stages=stages, front=front, folder=brief.parent, progress=show)
    if out is not None and answer.text:
        answer.write(out, force=force)
    if as_json:
        print(json.dumps(answer.as_dict(), indent=1, ensure_ascii=False))
    else:
        print(sized_in_words(answer), end="")
        if out is not None and answer.text:
            print(f'The loop is in "{out}".')
        elif answer.text:
            print("Add -o FILE.loop.toml to keep the loop.")
    return DONE if answer.is_met else FINDING
