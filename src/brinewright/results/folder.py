"""A folder of files that appears whole or not at all."""

import errno
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from brinewright.errors import OutputError

CAUSES = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the quota of disk space is used up",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "it may not be written there",
    errno.EPERM: "it may not be written there",
    errno.ENOTDIR: "a part of its path is a file",
    errno.ENAMETOOLONG: "its name is too long",
}


def write_folder(
    folder: Path, write: Callable[[Path], None], *, force: bool, is_ours: Callable[[Path], bool]
) -> None:
    """Let `write` fill a new folder beside `folder`, then put it in its place in one move.

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
    target = folder.expanduser().resolve()
    refuse_existing(target, force=force, is_ours=is_ours)
    with _in_words(folder):
        target.parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{target.name[:100]}-", suffix=".part", dir=target.parent))
        try:
            fresh = made / "new"
            fresh.mkdir()
            write(fresh)
            for file in fresh.rglob("*"):
                _flush(file)
            old = made / "old"
            if target.exists():
                target.rename(old)
            try:
                fresh.rename(target)
            except OSError:
                if old.exists():
                    old.rename(target)
                raise
        finally:
            shutil.rmtree(made, ignore_errors=True)


def refuse_existing(folder: Path, *, force: bool, is_ours: Callable[[Path], bool]) -> None:
    """Raise `OutputError` if `folder` holds anything that must not be replaced.

    Asking before a long run spares the user the wait for a refusal.
    """
    if not os.path.lexists(folder):
        return
    if not folder.is_dir():
        raise OutputError(f'"{folder}" is a file. Name a folder that is not there yet.')
    with _in_words(folder):
        files = sorted(file.relative_to(folder) for file in folder.rglob("*") if not file.is_dir())
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


@contextmanager
def _in_words(folder: Path) -> Iterator[None]:
    """Turn what the system says into a sentence about `folder`."""
    try:
        yield
    except OutputError:
        raise
    except OSError as error:
        cause = CAUSES.get(error.errno or 0, str(error))
        raise OutputError(f'"{folder}" could not be written: {cause}. Nothing was left half done.') from error


def _flush(file: Path) -> None:
    """Make sure that the bytes have reached the disk before the folder gets its name."""
    if file.is_file():
        with file.open("rb+") as handle:
            os.fsync(handle.fileno())
