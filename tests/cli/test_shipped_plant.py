"""The command line runs a shipped plant with the real engine, the same bytes each time."""

import json
from importlib.resources import files

import jsonschema
import pytest

from brinewright.cli.app import main
from brinewright.files.scenario import scenario, scenarios
from brinewright.results import load


@pytest.mark.parametrize("name", scenarios())
def test_a_shipped_plant_runs_and_its_summary_keeps_to_the_schema(capsys, name):
    schema = json.loads(files("brinewright").joinpath("data/schema/run.json").read_text(encoding="utf-8"))
    code = main(["run", str(scenario(name)), "--for", "10min", "--json"])
    summary = json.loads(capsys.readouterr().out)

    jsonschema.Draft202012Validator(schema).validate(summary)
    assert (code, summary["outcome"], summary["simulated_s"]) == (0, "done", 600.0)


def test_the_same_run_gives_the_same_files_but_for_the_clock(tmp_path):
    for folder in ("a", "b"):
        main(["run", str(scenario("kettle-ridge")), "--for", "10min", "--out", str(tmp_path / folder)])
    names = sorted(path.relative_to(tmp_path / "a") for path in (tmp_path / "a").rglob("*") if path.is_file())
    clocked = {"summary.json": "wall_s", "provenance.json": "wall_clock"}

    assert len(names) > 10
    for name in names:
        first, second = ((tmp_path / folder / name).read_bytes() for folder in ("a", "b"))
        if key := clocked.get(name.name):
            told = [json.loads(content) for content in (first, second)]
            assert [one.pop(key) for one in told]
            assert json.dumps(told[0]) == json.dumps(told[1]), name
        else:
            assert first == second, name


def test_a_change_is_run_and_remembered(tmp_path):
    main(
        [
            *("run", str(scenario("kettle-ridge")), "--for", "10min", "--no-curves"),
            *("--out", str(tmp_path / "out"), "--set", "CH-201.count=1", "--channels", "CH-201"),
        ]
    )
    kept = load(tmp_path / "out")

    assert kept.tags == ("CH-201",)
    assert kept.provenance["settings"]["changes"] == {"CH-201.count": "1"}


def test_a_channel_that_does_not_exist_is_told(capsys):
    assert main(["run", str(scenario("kettle-ridge")), "--for", "1min", "--channels", "CH-999"]) == 2
    assert '"CH-999"' in capsys.readouterr().err
