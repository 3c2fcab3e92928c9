"""The demonstration goes the whole way, from a brief to a page of summary."""

import json
import re
from importlib.resources import files
from pathlib import Path

import jsonschema

from brinewright.cli.app import main
from brinewright.cli.demo import Plant
from brinewright.results import load


def schema(name):
    return json.loads(files("brinewright").joinpath(f"data/schema/{name}.json").read_text(encoding="utf-8"))


def test_the_demonstration_goes_from_a_brief_to_a_page_by_its_schema(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("brinewright.cli.demo.PLANTS", {"deepstead": Plant("Deepstead", "A cold plain.")})

    assert main(["demo", "--out", str(tmp_path / "demo"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(schema("demo")).validate(told)
    (one,) = told["scenarios"]
    jsonschema.Draft202012Validator(schema("run")).validate(one["summary"])
    jsonschema.Draft202012Validator(schema("check")).validate(one["check"])
    jsonschema.Draft202012Validator(schema("size")).validate(one["size"])
    folder = Path(one["folder"])
    assert load(folder / "day").name == "Deepstead"
    page = Path(told["page"]).read_text(encoding="utf-8")
    assert "radiators" in page
    assert "http" not in page
    for picture in re.findall(r'src="([^"]+)"', page):
        assert (folder.parent / picture).is_file()


def test_the_demonstration_replaces_nothing_that_is_there(tmp_path, capsys):
    (tmp_path / "demo").mkdir()

    assert main(["demo", "--out", str(tmp_path / "demo")]) == 2
    assert "--force" in capsys.readouterr().err
