"""The verb `diagnose`."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from brinewright.cli.failure import DONE, UNFINISHED


def diagnose(
    loop: Path,
    /,
    *,
    symptom: tuple[str, ...] = (),
    reading: tuple[str, ...] = (),
    readings: Path | None = None,
    at: str | None = None,
    top: Annotated[int, Parameter(show_default=True)] = 5,
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    keep: Path | None = None,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Find the likely causes of what somebody sees, what tells them apart, and where to look next.

    Every suspect is put into runs of the loop at several sizes and ages, and what those show is
    compared with what was seen.  Ctrl-C ends the search and tells what is known so far.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml, as the plant should be.
    symptom
        What is seen, such as "supply warm, chillers idle"; may be repeated. "help" lists what can be said.
    reading
        TAG.quantity=value, such as "TK-101.temperature=31 degC +- 0.5 K @ 14:30 +- 10 min"; may be repeated.
    readings
        Table of readings, CSV or Parquet: a time column, then columns headed TAG.quantity and a unit.
    at
        Time of day at which somebody looks, such as 14:30; by default that of the latest reading.
    top
        How many causes are told.
    rulebook
        Rulebook to simulate it under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change before, such as CH-201.count=4; may be repeated.
    keep
        Folder in which what was simulated is kept, so that the next question is answered sooner.
    as_json
        Print the answer as JSON.
    """
    from brinewright.cli.progress import ending_on_interrupt, progress
    from brinewright.cli.simulation import changed_design, prepare
    from brinewright.plan.diagnose import diagnose as found_causes
    from brinewright.plan.diagnose import known_channels, library_of
    from brinewright.plan.readings import parse_clock, read_table
    from brinewright.plan.symptom import Vocabulary
    from brinewright.report.diagnosis import diagnosis_in_words

    design, book = changed_design(loop, rulebook, changes)
    library = library_of(design, book, loop.parent)
    if "help" in symptom:
        print(Vocabulary(library.loop, library.views, library.keys).help(), end="")
        return DONE
    single, series = read_table(readings, known_channels(library)) if readings else ([], [])
    prepare()
    with progress(design.name) as show, ending_on_interrupt() as should_stop:
        answer = found_causes(
            design,
            book,
            symptoms=symptom,
            readings=[*reading, *single],
            series=series,
            at=None if at is None else parse_clock(at),
            top=top,
            folder=loop.parent,
            keep=keep,
            progress=show,
            should_stop=should_stop,
        )
    if as_json:
        print(json.dumps(answer.as_dict(), indent=1, ensure_ascii=False))
    else:
        print(diagnosis_in_words(answer), end="")
    return DONE if answer.finished else UNFINISHED
