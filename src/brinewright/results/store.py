"""Results on disk: `summary.json`, `series.parquet` and `provenance.json` in a folder of their own."""

import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from brinewright.errors import InputError, Problem
from brinewright.results.event import Event
from brinewright.results.folder import refuse_existing, write_folder
from brinewright.results.outcome import Outcome
from brinewright.results.result import Result
from brinewright.results.series_file import read_series, write_series
from brinewright.results.statistics import NAMES, Statistics
from brinewright.results.summary import FORMAT, plain

SUMMARY, SERIES, PROVENANCE = "summary.json", "series.parquet", "provenance.json"
SHEETS = (".svg", ".png")


def save(
    result: Result, folder: str | Path, *, force: bool = False, sheets: Mapping[str, bytes] | None = None
) -> Path:
    """Write a result as a folder, whole or not at all, and return the folder.

    The same result gives the same bytes, but for `wall_s` in the summary and `wall_clock` in
    the provenance.

    Parameters
    ----------
    result : what to write
    folder : a folder that is not there yet, or is empty
    force : replace the result that is there
    sheets : further files to stand in the folder, such as drawn curves, by relative name

    Raises
    ------
    OutputError
        The folder is there already, or the disk refuses; nothing was left half done.
    """
    folder = Path(folder)

    def write(fresh: Path) -> None:
        (fresh / SUMMARY).write_bytes(_json(result.summary()))
        (fresh / PROVENANCE).write_bytes(_json(plain(result.provenance)))
        about = {"brinewright": FORMAT, "name": result.name, "world": result.world}
        write_series(result, fresh / SERIES, about)
        for name, content in (sheets or {}).items():
            path = fresh / PurePosixPath(name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)

    write_folder(folder, write, force=force, is_ours=is_part_of_result)
    return folder


def refuse_to_replace(folder: str | Path, *, force: bool = False) -> None:
    """Raise `OutputError` now if `save` would refuse this folder later."""
    refuse_existing(Path(folder), force=force, is_ours=is_part_of_result)


def load(folder: str | Path) -> Result:
    """Return the result that `save` wrote to this folder.

    Raises
    ------
    InputError
        A file is missing, damaged, or of a format that this version does not know.
    """
    folder = Path(folder)
    told = _read_json(folder / SUMMARY)
    if told.get("format") != FORMAT:
        came = f'The format is "{told.get("format", "")}", but this version reads "{FORMAT}".'
        raise InputError([Problem(came, "Run the loop again with this version.", file=str(folder / SUMMARY))])
    try:
        return _result(told, folder)
    except (KeyError, TypeError) as error:
        raise InputError([Problem("The summary is incomplete.", file=str(folder / SUMMARY))]) from error


def _result(told: dict[str, Any], folder: Path) -> Result:
    channels, times, values = read_series(folder / SERIES)
    rows = [told["components"][channel.tag][channel.quantity] for channel in channels]
    return Result(
        name=told["name"],
        world=told["world"],
        outcome=Outcome(told["outcome"], told["advice"]),
        simulated_s=told["simulated_s"],
        wall_s=told["wall_s"],
        times=times,
        values=values,
        channels=channels,
        statistics=Statistics.of({name: [row[name] for row in rows] for name in NAMES}),
        events=tuple(Event(**event) for event in told["events"]),
        switch_changes=told["switch_changes"],
        energy_residual=told["energy_residual"],
        mass_residual=told["mass_residual"],
        electric_residual=told.get("electric_residual", 0.0),
        power=told["power"],
        audits=told["audits"],
        provenance=_read_json(folder / PROVENANCE),
    )


def is_part_of_result(file: Path) -> bool:
    """Return whether a file of this relative name is one that a result consists of."""
    is_sheet = file.parts[0] == "curves" and file.suffix in SHEETS
    return is_sheet or file.as_posix() in {SUMMARY, SERIES, PROVENANCE}


def _json(content: Any) -> bytes:
    return (json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _read_json(path: Path) -> dict[str, Any]:
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError as error:
        advice = f"A result is a folder with {SUMMARY}, {SERIES} and {PROVENANCE}."
        raise InputError([Problem("There is no such file.", advice, file=str(path))]) from error
    except (OSError, ValueError) as error:
        raise InputError([Problem("The file is damaged or may not be read.", file=str(path))]) from error
    if not isinstance(content, dict):
        raise InputError([Problem("This is no part of a result.", file=str(path))])
    return content
