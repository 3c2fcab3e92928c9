"""The verb `rehearse`: exit codes, what it prints and keeps, and errors in words."""

import json
import os
import signal
import time
from importlib.resources import files

import jsonschema
import pytest

from brinewright.cli.app import main
from brinewright.files.scenario import scenario
from brinewright.plan.rehearse import _Work

RIDGE = str(scenario("kettle-ridge"))
QUICK = ("--only", "dry start")


def test_a_fault_that_is_not_survived_is_exit_code_1(capsys):
    assert main(["rehearse", RIDGE, *QUICK]) == 1
    told = capsys.readouterr().out

    assert "Kettle Ridge: 1 fault run for 4 h at most: 0 survived, 1 not." in told
    assert "never build this in the real world" in told


def test_a_plant_that_survives_is_exit_code_0(capsys):
    assert main(["rehearse", RIDGE, "--only", "coolant lost", "--for", "1h"]) == 0
    assert "3 survived, 0 not" in capsys.readouterr().out


def test_the_answer_as_json_keeps_to_its_schema(capsys):
    assert main(["rehearse", RIDGE, *QUICK, "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    schema = json.loads(files("brinewright").joinpath("data/schema/rehearse.json").read_text("utf-8"))

    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(told)


def test_a_folder_keeps_the_answer_its_words_and_the_matrix(tmp_path, capsys):
    folder = tmp_path / "faults"

    assert main(["rehearse", RIDGE, *QUICK, "--out", str(folder)]) == 1
    assert {path.name for path in folder.iterdir()} == {
        "matrix-1.png",
        "matrix-1.svg",
        "rehearsal.json",
        "rehearsal.txt",
    }
    assert (folder / "rehearsal.txt").read_text("utf-8") == capsys.readouterr().out
    assert main(["rehearse", RIDGE, *QUICK, "--out", str(folder)]) == 2
    assert "exists already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--only", "machine loss"], 'no group of faults "machine loss"'),
        (["--for", "20 s"], "a minute at least"),
        (["--for", "soon"], "--for"),
        (["--pairs", "few"], "--pairs"),
        (["--set", "CH-201.count=0"], "count"),
    ],
)
def test_what_is_wrong_is_said_in_words(arguments, said, capsys):
    assert main(["rehearse", RIDGE, *arguments]) == 2
    assert said in capsys.readouterr().err


def test_an_interruption_keeps_what_is_done_and_is_exit_code_3_or_1(monkeypatch, capsys):
    finished = _Work._one

    def interrupted(self, fault, total):
        trial = finished(self, fault, total)
        if not self.should_stop():
            os.kill(os.getpid(), signal.SIGINT)
            while not self.should_stop():
                time.sleep(0.01)  # the main thread takes the signal
        return trial

    monkeypatch.setattr(_Work, "_one", interrupted)
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    code = main(["rehearse", RIDGE, "--only", "coolant lost", "--for", "1h", "--json"])
    told = json.loads(capsys.readouterr().out)

    assert told["outcome"] == "interrupted"
    assert 1 <= told["tried"] < told["faults"]
    assert code == 3
