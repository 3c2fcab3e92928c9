"""A folder that appears whole or not at all, and never takes files of somebody else with it."""

import os
from collections.abc import Callable
from pathlib import Path

from brinewright.errors import OutputError
from brinewright.files.whole import whole_folder


def write_folder(
    folder: Path, write: Callable[[Path], None], *, force: bool, is_ours: Callable[[Path], bool]
) -> None:
    """Let `write` fill a new folder, then put it in its place in one move.

    Parameters
    ----------
    folder : where the files shall stand
    write : fills the folder that it is given
    force : replace a folder that is there already
    is_ours : whether a file, named relative to the folder, may be replaced with it

    Raises
    ------
    OutputError
        The folder is there and `force` is not given, or holds strange files, or cannot be written.
    """
    target = refuse_existing(folder, force=force, is_ours=is_ours)
    with whole_folder(target, force=target.exists()) as fresh:
        write(fresh)


def refuse_existing(folder: Path, *, force: bool, is_ours: Callable[[Path], bool]) -> Path:
    """Return the folder, links followed, or raise `OutputError` if it holds what must not be replaced.

    Asking before a long run spares the user the wait for a refusal.
    """
    target = folder.expanduser().resolve()
    if not os.path.lexists(target):
        return target
    if not target.is_dir():
        raise OutputError(f'"{folder}" is a file. Name a folder that is not there yet.')
    files = sorted(file.relative_to(target) for file in target.rglob("*") if not file.is_dir())
    if files and not force:
        raise OutputError(
            f'"{folder}" is there already and is left as it is. '
            "Name another folder, or say --force to replace it."
        )
    strange = [file for file in files if not is_ours(file)]
    if strange:
        raise OutputError(
            f'"{folder}" holds files that are no part of a result, such as "{strange[0].as_posix()}", '
            "and is left as it is. Name another folder."
        )
    return target
