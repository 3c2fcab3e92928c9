"""Files that are too large, too deep, no files, or meant to harm."""

import os
import time
from pathlib import Path

import pytest

from brinewright.errors import InputError
from brinewright.files import parse_loop, read_design, read_loop, read_rulebook
from tests.files.samples import DATA, LOOP_TEXT, RULEBOOK_TEXT, brook_rulebook


def refusal(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_loop(text, brook_rulebook(), "x.loop.toml")
    return str(caught.value)


def test_an_enormous_file_is_refused_by_its_size_at_once(tmp_path):
    path = tmp_path / "big.loop.toml"
    with path.open("wb") as stream:
        stream.truncate(3_000_000_000)
    began = time.perf_counter()
    with pytest.raises(InputError, match=r"has 3000\.0 MB; at most 4 MB are read"):
        read_loop(path)

    assert time.perf_counter() - began < 0.1


def test_too_many_parts_are_refused_in_words():
    text = LOOP_TEXT + "[[part]]\n" * 20_001

    assert "20,013 tables [[part]]; at most 20,000" in refusal(text)


@pytest.mark.parametrize(
    "text",
    [
        "x = " + "[" * 200_000,
        "x = " + "[" * 200_000 + "]" * 200_000,
        "x = " + "{a=" * 100_000,
        "a." * 500_000 + "a = 1",
        "\n".join(["a." * 9_000 + f"b{number} = 1" for number in range(50)]),
        '"a".' * 200_000 + "a = 1",
        "[" + "a." * 200_000 + "a]",
        "x = " + "1" * 3_000_000,
        'x = """' + '\\"""' * 500_000,
        '"""\\"' * 500_000,
        "'''" * 1_000_000,
        "# " + "x" * 3_000_000,
        "x = '" + "y" * 3_000_000 + "'",
        "\n" * 3_900_000,
        "[[part]]\n" * 19_999,
        "x = {" + ", ".join(f"a{number} = 1" for number in range(900)) + "}",
    ],
    ids=range(16),
)
def test_what_is_built_to_take_for_ever_is_refused_soon(text):
    began = time.perf_counter()

    assert refusal(text)
    # Generous for a busy machine; each takes well under a second.
    assert time.perf_counter() - began < 10.0


def test_many_keys_take_time_in_proportion():
    lines = "\n".join(f"k{number} = {number}" for number in range(20_000))
    began = time.perf_counter()

    assert "is not known here" in refusal(f"{LOOP_TEXT}\n[extra]\n{lines}")
    assert time.perf_counter() - began < 5.0


def test_a_file_that_is_no_text_is_refused_with_its_place(tmp_path):
    path = tmp_path / "x.loop.toml"
    path.write_bytes(b'format = "brinewright/loop/1"\nname = "caf\xe9"\n')
    with pytest.raises(InputError) as caught:
        read_loop(path)
    problem = caught.value.problems[0]

    assert (problem.line, problem.column) == (2, 12)
    assert problem.advice == "Save it as UTF-8."


def test_a_file_that_is_not_there_lists_its_neighbours(tmp_path):
    (tmp_path / "ridge.loop.toml").write_text(LOOP_TEXT)
    with pytest.raises(InputError, match=r"There is no such file. In that folder are: ridge.loop.toml"):
        read_loop(tmp_path / "rigde.loop.toml")


@pytest.mark.parametrize("name", ["", "x\0y", "x" * 5000])
def test_names_that_are_no_names_are_refused(tmp_path, name):
    with pytest.raises(InputError):
        read_loop(f"{tmp_path}/{name}")


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(InputError, match="This is a folder"):
        read_rulebook(tmp_path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_refused_in_words(tmp_path):
    path = tmp_path / "x.loop.toml"
    path.write_text(LOOP_TEXT)
    path.chmod(0)
    with pytest.raises(InputError, match="can't be read"):
        read_loop(path)


@pytest.mark.parametrize(
    "name",
    ["../brook.rulebook.toml", "/etc/passwd", "a/../../x.toml", "~/x.toml", "C:\\x.toml", "..", "a\\..\\b"],
)
def test_a_rulebook_outside_the_folder_of_the_loop_is_refused(tmp_path, name):
    inner = tmp_path / "inner"
    inner.mkdir()
    (tmp_path / "brook.rulebook.toml").write_text(RULEBOOK_TEXT)
    path = inner / "brook.loop.toml"
    path.write_text(LOOP_TEXT.replace('"brook.rulebook.toml"', f"'{name}'"))
    with pytest.raises(InputError, match="leads out of the folder of the loop") as caught:
        read_loop(path)

    assert (caught.value.problems[0].line, caught.value.problems[0].column) == (3, 12)


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    inner = tmp_path / "inner"
    inner.mkdir()
    (tmp_path / "brook.rulebook.toml").write_text(RULEBOOK_TEXT)
    (inner / "brook.rulebook.toml").symlink_to(tmp_path / "brook.rulebook.toml")
    path = inner / "brook.loop.toml"
    path.write_text(LOOP_TEXT)
    with pytest.raises(InputError, match="There is no rulebook"):
        read_loop(path)


def test_a_rulebook_that_the_person_names_may_lie_anywhere(tmp_path):
    path = tmp_path / "brook.loop.toml"
    path.write_text(LOOP_TEXT)
    loop, rulebook = read_design(path, DATA / "brook.rulebook.toml")

    assert rulebook == brook_rulebook()
    assert loop.rulebook == "brook.rulebook.toml"


def test_an_unknown_rulebook_lists_what_is_there(tmp_path):
    (tmp_path / "brook.rulebook.toml").write_text(RULEBOOK_TEXT)
    path = tmp_path / "brook.loop.toml"
    path.write_text(LOOP_TEXT.replace('"brook.rulebook.toml"', '"broke.rulebook.toml"'))
    with pytest.raises(InputError, match=r"There is no rulebook .*brook.rulebook.toml"):
        read_loop(path)


def test_a_broken_rulebook_is_reported_under_its_own_name(tmp_path):
    (tmp_path / "brook.rulebook.toml").write_text(RULEBOOK_TEXT.replace('drop = "8 K"', "drop = 8"))
    path = tmp_path / "brook.loop.toml"
    path.write_text(LOOP_TEXT)
    with pytest.raises(InputError) as caught:
        read_loop(path)

    assert [Path(problem.file).name for problem in caught.value.problems] == ["brook.rulebook.toml"]
