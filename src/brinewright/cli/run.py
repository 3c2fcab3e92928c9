"""The verb `run`."""

import json
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from brinewright.cli.failure import DONE, UNFINISHED


def run(
    loop: Path,
    /,
    *,
    duration: Annotated[str, Parameter(name="--for", show_default=True, allow_leading_hyphen=True)] = "24h",
    out: Path | None = None,
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    interval: Annotated[str, Parameter(show_default=True)] = "1min",
    channels: str | None = None,
    events: Annotated[Literal["stop", "go"], Parameter(show_default=True)] = "go",
    curves: Annotated[bool, Parameter(negative="--no-curves")] = True,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Simulate a loop; tell, keep and draw the result.

    Ctrl-C ends the run and keeps everything up to that moment.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml.
    duration
        Time to simulate, such as "24 h" or "7d".
    out
        Folder to keep the result in: summary.json, series.parquet, provenance.json and curves.
    rulebook
        Rulebook to run under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change for this run, such as CH-201.count=4; may be repeated.
    interval
        Time between two samples, such as "1 min".
    channels
        What to record, separated by commas, such as TK-101,VE-301.pressure; everything if not given.
    events
        Whether an event such as a tank running dry stops the run.
    curves
        Whether to draw curves into the folder.
    force
        Replace the result that is in the folder already.
    as_json
        Print the summary as JSON.
    """
    from brinewright.cli.simulation import simulated
    from brinewright.report import in_words, render
    from brinewright.results import refuse_to_replace, save

    if out is not None:
        refuse_to_replace(out, force=force)
    chosen = tuple(name.strip() for name in channels.split(",") if name.strip()) if channels else None
    result = simulated(
        loop,
        rulebook=rulebook,
        changes=changes,
        duration=duration,
        interval=interval,
        channels=chosen,
        stop_on_events=events == "stop",
    )
    if out is not None:
        save(result, out, force=force, sheets=render(result) if curves else None)
    if as_json:
        print(json.dumps(result.summary(), indent=1, ensure_ascii=False))
    else:
        kept = (
            f'Kept in "{out}".' if out is not None else "Add --out FOLDER to keep the series and the curves."
        )
        print(in_words(result) + kept)
    return DONE if result.outcome.is_done else UNFINISHED
