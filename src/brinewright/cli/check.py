"""The verb `check`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING


def check(
    loop: Path,
    /,
    *,
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    explain: str | None = None,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Find what is wrong with a loop, and how near to its limits it is.

    Exit code 1 says that a finding of severity S (people) or C (damage or stop) stands.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml.
    rulebook
        Rulebook to judge it under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change before it is judged, such as CH-201.count=4; may be repeated.
    explain
        Code of a finding, such as BW-F01: say what it means, with this loop's numbers.
    as_json
        Print the findings as JSON.
    """
    from brinewright.checks import check as judged
    from brinewright.checks import criterion_named
    from brinewright.cli.progress import progress
    from brinewright.cli.simulation import changed_design, prepare
    from brinewright.report.findings import explained, findings_in_words

    criterion = criterion_named(explain) if explain else None
    design, book = changed_design(loop, rulebook, changes)
    prepare()
    with progress(design.name) as show:
        report = judged(
            design,
            book,
            codes={criterion.code} if criterion else None,
            folder=loop.parent,
            progress=show,
        )
    if as_json:
        print(json.dumps(report.as_dict(), indent=1, ensure_ascii=False))
    else:
        print(explained(criterion, report) if criterion else findings_in_words(report), end="")
    return FINDING if report.serious else DONE
