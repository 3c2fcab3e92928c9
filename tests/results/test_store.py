"""A saved result comes back as it was, byte for byte the same each time, whole or not at all."""

import errno
import json
import os
from pathlib import Path

import numpy as np
import pytest

from brinewright.errors import InputError, OutputError
from brinewright.results import load, refuse_to_replace, save
from tests.results.synthetic import synthetic_result

FILES = ["provenance.json", "series.parquet", "summary.json"]


def names(folder):
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_a_result_comes_back_as_it_was_saved(tmp_path, dtype):
    result = synthetic_result(dtype=dtype)
    back = load(save(result, tmp_path / "run"))

    assert back.values.dtype == dtype
    assert np.array_equal(back.values, result.values)
    assert np.array_equal(back.times, result.times)
    assert back.channels == result.channels
    assert back.events == result.events
    assert back.outcome == result.outcome
    assert back.summary() == result.summary()
    assert back.provenance == dict(result.provenance)


def test_a_number_that_does_not_exist_comes_back_as_not_a_number(tmp_path):
    result = synthetic_result(only=("TK-101",))
    result.values[:, 1] = np.nan
    result.statistics.mean[1] = np.nan
    back = load(save(result, tmp_path / "run"))

    assert np.isnan(back["TK-101"].level.mean)
    assert np.isnan(back.values[:, 1]).all()
    assert (
        json.loads((tmp_path / "run/summary.json").read_text())["components"]["TK-101"]["level"]["mean"]
        is None
    )


def test_the_same_run_gives_the_same_bytes_but_for_the_clock(tmp_path):
    first, second = (
        save(synthetic_result(), tmp_path / "a"),
        save(synthetic_result(wall_s=9.5), tmp_path / "b"),
    )
    summaries = [json.loads((folder / "summary.json").read_text()) for folder in (first, second)]
    origins = [json.loads((folder / "provenance.json").read_text()) for folder in (first, second)]

    assert (first / "series.parquet").read_bytes() == (second / "series.parquet").read_bytes()
    assert [summary.pop("wall_s") for summary in summaries] == [0.75, 9.5]
    assert [origin.pop("wall_clock") for origin in origins] == [{"wall_s": 0.75}, {"wall_s": 9.5}]
    assert json.dumps(summaries[0]) == json.dumps(summaries[1])
    assert json.dumps(origins[0]) == json.dumps(origins[1])


def test_the_series_name_their_units_and_are_packed_as_decided(tmp_path):
    from pyarrow import parquet

    path = save(synthetic_result(), tmp_path / "run") / "series.parquet"
    schema = parquet.read_schema(path)
    column = parquet.ParquetFile(path).metadata.row_group(0).column(1)

    assert schema.names[0] == "time_s"
    assert schema.field("TK-101.temperature").metadata[b"unit"] == b"K"
    assert column.compression == "ZSTD"
    assert "BYTE_STREAM_SPLIT" in column.encodings


def test_pandas_reads_the_series_without_this_package(tmp_path):
    pandas = pytest.importorskip("pandas")
    folder = save(synthetic_result(), tmp_path / "run")
    table = pandas.read_parquet(folder / "series.parquet")

    assert table["VE-301.temperature"].max() == pytest.approx(synthetic_result()["VE-301"].temperature.max)


def test_nothing_is_replaced_without_force(tmp_path):
    folder = save(synthetic_result(), tmp_path / "run")
    before = (folder / "summary.json").read_bytes()

    with pytest.raises(OutputError, match=r"is there already .* --force"):
        save(synthetic_result(wall_s=2.0), folder)
    with pytest.raises(OutputError, match="is there already"):
        refuse_to_replace(folder)
    assert (folder / "summary.json").read_bytes() == before
    assert names(tmp_path) == ["run"]


def test_force_replaces_a_result_and_leaves_nothing_of_the_old_one(tmp_path):
    folder = save(synthetic_result(), tmp_path / "run", sheets={"curves/old.svg": b"<svg/>"})
    save(synthetic_result(wall_s=2.0), folder, force=True)

    assert names(folder) == FILES
    assert load(folder).wall_s == 2.0
    assert names(tmp_path) == ["run"]


def test_force_never_removes_files_of_somebody_else(tmp_path):
    (tmp_path / "run").mkdir()
    (tmp_path / "run/notes.txt").write_text("mine")

    with pytest.raises(OutputError, match=r'no part of a result, such as "notes\.txt"'):
        save(synthetic_result(), tmp_path / "run", force=True)
    assert names(tmp_path / "run") == ["notes.txt"]


def test_an_empty_folder_may_be_filled(tmp_path):
    (tmp_path / "run").mkdir()

    assert names(save(synthetic_result(), tmp_path / "run")) == FILES


def test_a_file_in_the_way_is_named(tmp_path):
    (tmp_path / "run").write_text("mine")

    with pytest.raises(OutputError, match="is a file"):
        save(synthetic_result(), tmp_path / "run")
    with pytest.raises(OutputError, match=r"can.t be written: "):
        save(synthetic_result(), tmp_path / "run/below/it")


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "can only be read"),
        (errno.EACCES, "may not be written to"),
    ],
)
def test_a_disk_that_refuses_is_told_and_leaves_nothing(tmp_path, monkeypatch, number, words):
    def refuse(self, content):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "write_bytes", refuse)

    with pytest.raises(OutputError, match=words):
        save(synthetic_result(), tmp_path / "run")
    assert names(tmp_path) == []


def test_an_interruption_while_writing_leaves_nothing(tmp_path, monkeypatch):
    def interrupt(self, content):
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", interrupt)

    with pytest.raises(KeyboardInterrupt):
        save(synthetic_result(), tmp_path / "run")
    assert names(tmp_path) == []


def test_the_old_result_stands_if_the_new_one_can_not_take_its_place(tmp_path, monkeypatch):
    folder = save(synthetic_result(), tmp_path / "run")
    rename = Path.rename

    def refuse(self, target):
        if self.suffix == ".part":
            raise OSError(errno.EACCES, "no")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)

    with pytest.raises(OutputError):
        save(synthetic_result(wall_s=2.0), folder, force=True)
    assert load(folder).wall_s == 0.75
    assert names(tmp_path) == ["run"]


def test_a_link_to_a_folder_is_followed(tmp_path):
    (tmp_path / "there").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "there")
    save(synthetic_result(), tmp_path / "link")

    assert names(tmp_path / "there") == FILES


def test_a_folder_that_is_no_result_is_refused_in_words(tmp_path):
    with pytest.raises(InputError, match=r"summary\.json: There is no such file\. A result is a folder"):
        load(tmp_path)


def test_another_format_is_refused_in_words(tmp_path):
    folder = save(synthetic_result(), tmp_path / "run")
    (folder / "summary.json").write_text('{"format": "brinewright/run/9"}')

    with pytest.raises(InputError, match=r'The format is "brinewright/run/9", but this version reads'):
        load(folder)


@pytest.mark.parametrize("content", ["", "{", "[]", '{"format": "brinewright/run/1"}', "\xff"])
def test_a_damaged_summary_is_refused_in_words(tmp_path, content):
    folder = save(synthetic_result(), tmp_path / "run")
    (folder / "summary.json").write_bytes(content.encode("latin-1"))

    with pytest.raises(InputError, match=r"summary\.json: "):
        load(folder)


@pytest.mark.parametrize("content", [b"", b"PAR1 damaged"])
def test_damaged_series_are_refused_in_words(tmp_path, content):
    folder = save(synthetic_result(), tmp_path / "run")
    (folder / "series.parquet").write_bytes(content)

    with pytest.raises(InputError, match=r"series\.parquet: The series are missing or damaged"):
        load(folder)
