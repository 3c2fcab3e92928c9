"""Write a file, or a folder of files, whole or not at all."""

import contextlib
import errno
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from brinewright.errors import OutputError

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the quota of the disk is used up",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "the folder may not be written to",
    errno.EPERM: "the folder may not be written to",
    errno.ENOENT: "its folder does not exist",
    errno.ENOTDIR: "its folder is a file",
    errno.EISDIR: "there is a folder of this name",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EIO: "the disk reports an error",
}


def write_whole(path: str | Path, content: str | bytes, *, force: bool = False) -> Path:
    """Write a file so that it is either complete or as it was before; returns its path.

    The content goes to a new file in the same folder, reaches the disk, and takes the name last.

    Raises
    ------
    OutputError
        If there is a file already and `force` is not given, or if it can't be written.
    """
    target = Path(path)
    refuse_existing(target, force)
    raw = content.encode("utf-8") if isinstance(content, str) else content
    temporary: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(
            dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part", delete=False
        ) as stream:
            temporary = Path(stream.name)
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(0o666 & ~_umask())
        _take_name(temporary, target, force)
    except (OSError, ValueError) as error:
        raise _explained(target, error) from error
    finally:
        if temporary is not None:
            temporary.unlink(missing_ok=True)
    return target


@contextlib.contextmanager
def whole_folder(path: str | Path, *, force: bool = False) -> Iterator[Path]:
    """Give a new folder to write into; it takes its name when the block ends without an error.

    With `force` an existing folder is replaced, at the end and at once; what fails leaves it as it was.
    """
    target = Path(path)
    refuse_existing(target, force)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        temporary = Path(tempfile.mkdtemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part"))
    except (OSError, ValueError) as error:
        raise _explained(target, error) from error
    try:
        yield temporary
        temporary.chmod(0o777 & ~_umask())
        _replace_folder(temporary, target)
    except OutputError:
        raise
    except OSError as error:
        raise _explained(target, error) from error
    finally:
        shutil.rmtree(temporary, ignore_errors=True)


def refuse_existing(target: Path, force: bool) -> None:
    """Refuse to replace a file that nobody said may be replaced."""
    try:
        exists = target.exists() or target.is_symlink()
    except (OSError, ValueError) as error:
        raise _explained(target, error) from error
    if exists and not force:
        raise OutputError(f"{target} exists already and was left as it is. Give another name, or --force.")


def _take_name(temporary: Path, target: Path, force: bool) -> None:
    if force:
        temporary.replace(target)
        return
    try:
        # A link fails if the name was taken meanwhile; a rename would overwrite it.
        os.link(temporary, target)
    except FileExistsError:
        raise OutputError(
            f"{target} exists already and was left as it is. Give another name, or --force."
        ) from None
    except OSError:
        temporary.replace(target)


def _replace_folder(temporary: Path, target: Path) -> None:
    if not target.exists():
        temporary.rename(target)
        return
    if not target.is_dir():
        raise OutputError(f"{target} is a file; a folder was to be written. Give another name.")
    old = Path(tempfile.mkdtemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".old"))
    aside = target.rename(old / "folder")
    try:
        temporary.rename(target)
    except OSError:
        aside.rename(target)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)


def _explained(target: Path, error: OSError | ValueError) -> OutputError:
    if isinstance(error, OutputError):
        return error
    number = error.errno if isinstance(error, OSError) else None
    reason = _REASONS.get(number or 0, str(getattr(error, "strerror", None) or error))
    advice = " Make room and try again." if number in (errno.ENOSPC, errno.EDQUOT) else ""
    return OutputError(f"{target} can't be written: {reason}. Nothing was left half done.{advice}")


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
