"""Files and folders are written whole or not at all."""

import errno
import os
import shutil
import tempfile
from pathlib import Path

import pytest

from brinewright.errors import OutputError
from brinewright.files import read_loop, whole_folder, write_loop, write_whole
from tests.files.samples import brook, brook_rulebook


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_written_file_has_its_content_and_leaves_nothing_else(tmp_path):
    write_whole(tmp_path / "a.txt", "été\n")

    assert (tmp_path / "a.txt").read_text("utf-8") == "été\n"
    assert names(tmp_path) == ["a.txt"]


def test_a_written_file_has_the_usual_rights(tmp_path):
    (tmp_path / "plain").write_text("x")
    write_whole(tmp_path / "ours", b"x")

    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_an_existing_file_stays_as_it_was_without_force(tmp_path):
    path = tmp_path / "a.txt"
    path.write_text("old")
    with pytest.raises(OutputError, match=r"exists already and was left as it is\. .*--force"):
        write_whole(path, "new")

    assert path.read_text() == "old"
    write_whole(path, "new", force=True)
    assert path.read_text() == "new"


def test_a_file_that_came_meanwhile_is_not_overwritten(tmp_path, monkeypatch):
    path = tmp_path / "a.txt"
    fsync = os.fsync

    def slow(number: int) -> None:
        fsync(number)
        path.write_text("theirs")

    monkeypatch.setattr(os, "fsync", slow)
    with pytest.raises(OutputError, match="exists already"):
        write_whole(path, "ours")

    assert path.read_text() == "theirs"
    assert names(tmp_path) == ["a.txt"]


@pytest.mark.parametrize("force", [False, True])
@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "the disk is full"), (errno.EIO, "reports an error"), (errno.EDQUOT, "quota")],
)
def test_a_disk_that_fills_up_leaves_what_was_there(tmp_path, monkeypatch, number, words, force):
    path = tmp_path / "a.txt"
    if force:
        path.write_text("old")

    def full(_: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match=words) as caught:
        write_whole(path, "new" * 1000, force=force)

    assert "Nothing was left half done" in str(caught.value)
    assert names(tmp_path) == (["a.txt"] if force else [])
    assert not force or path.read_text() == "old"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_device_that_is_always_full_is_reported_in_words(tmp_path, monkeypatch):
    class Full:
        """A temporary file whose bytes go to the full device."""

        def __init__(self, **_: object) -> None:
            self.name = str(tmp_path / ".a.part")
            Path(self.name).touch()
            self.stream = Path("/dev/full").open("wb")  # noqa: SIM115 -- closed by __exit__

        def __enter__(self) -> "Full":
            return self

        def __exit__(self, *_: object) -> None:
            try:
                self.stream.close()
            except OSError:
                return

        def write(self, raw: bytes) -> None:
            self.stream.write(raw)

        def flush(self) -> None:
            self.stream.flush()

        def fileno(self) -> int:
            return self.stream.fileno()

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", Full)
    with pytest.raises(OutputError, match="the disk is full"):
        write_whole(tmp_path / "a.txt", "x" * 100_000)

    assert names(tmp_path) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written_is_reported_in_words(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="may not be written to"):
            write_whole(tmp_path / "a.txt", "x")
    finally:
        tmp_path.chmod(0o700)


def test_a_folder_that_can_only_be_read_is_reported_in_words(tmp_path, monkeypatch):
    def refuse(**_: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", refuse)
    with pytest.raises(OutputError, match="may not be written to"):
        write_whole(tmp_path / "a.txt", "x")


@pytest.mark.parametrize("name", ["missing/a.txt", "x" * 400, "x\0y"])
def test_a_name_that_can_not_be_is_reported_in_words(tmp_path, name):
    with pytest.raises(OutputError, match="can't be written"):
        write_whole(f"{tmp_path}/{name}", "x")

    assert names(tmp_path) == []


def test_a_folder_takes_its_name_when_it_is_complete(tmp_path):
    target = tmp_path / "result"
    with whole_folder(target) as folder:
        (folder / "summary.json").write_text("{}")
        assert not target.exists()

    assert names(tmp_path) == ["result"]
    assert names(target) == ["summary.json"]


def test_a_folder_that_fails_is_not_there(tmp_path):
    def fill_up() -> None:
        with whole_folder(tmp_path / "result") as folder:
            (folder / "summary.json").write_text("{")
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with pytest.raises(OutputError, match="the disk is full"):
        fill_up()

    assert names(tmp_path) == []


def test_an_existing_folder_is_replaced_with_force_only(tmp_path):
    target = tmp_path / "result"
    target.mkdir()
    (target / "old").touch()
    with pytest.raises(OutputError, match="exists already"), whole_folder(target) as folder:
        (folder / "new").touch()

    assert names(target) == ["old"]
    with whole_folder(target, force=True) as folder:
        (folder / "new").touch()
    assert names(target) == ["new"]
    assert names(tmp_path) == ["result"]


def test_an_existing_folder_survives_a_failure(tmp_path):
    target = tmp_path / "result"
    target.mkdir()
    (target / "old").touch()

    def break_off() -> None:
        with whole_folder(target, force=True) as folder:
            (folder / "new").touch()
            raise RuntimeError

    with pytest.raises(RuntimeError):
        break_off()

    assert names(target) == ["old"]
    assert names(tmp_path) == ["result"]


def test_a_file_is_not_replaced_by_a_folder(tmp_path):
    (tmp_path / "result").write_text("mine")
    with pytest.raises(OutputError, match="is a file"), whole_folder(tmp_path / "result", force=True):
        pass

    assert (tmp_path / "result").read_text() == "mine"


def test_a_folder_that_vanishes_is_reported_in_words(tmp_path):
    with pytest.raises(OutputError, match="can't be written"), whole_folder(tmp_path / "result") as folder:
        shutil.rmtree(folder)


def test_a_loop_is_written_and_read_back(tmp_path):
    path = write_loop(brook(), tmp_path / "brook.loop.toml")

    assert read_loop(path, brook_rulebook()) == brook()
    with pytest.raises(OutputError, match="--force"):
        write_loop(brook(), path)
