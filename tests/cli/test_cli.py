"""Every verb parses, calls one function and prints; bad input gives a sentence and an exit code."""

import json
import os
import signal
import sys
import time
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import jsonschema
import numpy as np
import pytest

import brinewright
from brinewright.cli import progress as progress_module
from brinewright.cli.app import main
from brinewright.errors import (
    InputError,
    OutputError,
    Problem,
    PropertyRangeError,
    RunError,
    UnknownNameError,
)
from brinewright.results import INTERRUPTED, load, stopped
from tests.results.synthetic import synthetic_result


def schema(name):
    return json.loads(files("brinewright").joinpath(f"data/schema/{name}.json").read_text(encoding="utf-8"))


class Engine:
    """Stands in for the engine and the reader: notes what it is asked and answers as told."""

    def __init__(self):
        self.asked = {}
        self.result = synthetic_result(only=("TK-101", "VE-301"), hours=1)
        self.error = None

    def read_design(self, path, rulebook=None):
        self.asked.update(path=path, rulebook=rulebook)
        return synthetic_loop(), "rules"

    def simulate(self, loop, rulebook, **settings):
        self.asked.update(loop=loop, rules=rulebook, settings=settings)
        if self.error is not None:
            raise self.error
        settings["progress"](600.0, settings["duration"])
        return self.result


def synthetic_loop():
    from brinewright.model.loop import Loop

    return Loop(name="Invented plant", rulebook="kettle")


@pytest.fixture
def engine(monkeypatch):
    stand_in = Engine()
    room = ModuleType("brinewright.run")
    room.__dict__["simulate"] = stand_in.simulate
    monkeypatch.setitem(sys.modules, "brinewright.run", room)
    monkeypatch.setattr("brinewright.cli.simulation.read_design", stand_in.read_design)
    monkeypatch.setattr("brinewright.cli.simulation.prepare", lambda: None)
    return stand_in


def test_a_run_is_told_with_its_caution(engine, capsys):
    assert main(["run", "ridge.loop.toml"]) == 0

    told = capsys.readouterr().out
    assert "Invented plant: 1 h simulated" in told
    assert "TK-101 55 to 75 % full" in told
    assert "never build this in the real world" in told


def test_options_reach_the_engine_in_si(engine):
    written = "run a.loop.toml --for 2h --interval 30s --channels TK-101,VE-301.pressure --events stop"
    main([*written.split(), "--rulebook", "earth"])

    assert engine.asked["path"] == Path("a.loop.toml")
    assert engine.asked["rulebook"] == "earth"
    assert {
        key: engine.asked["settings"][key] for key in ("duration", "interval", "channels", "stop_on_events")
    } == {
        "duration": 7200.0,
        "interval": 30.0,
        "channels": ("TK-101", "VE-301.pressure"),
        "stop_on_events": True,
    }


def test_a_day_at_one_sample_a_minute_is_the_default(engine):
    main(["run", "a.loop.toml"])

    assert engine.asked["settings"]["duration"] == 86400.0
    assert engine.asked["settings"]["interval"] == 60.0
    assert engine.asked["settings"]["channels"] is None
    assert engine.asked["settings"]["stop_on_events"] is False


def test_changes_are_applied_together(engine, monkeypatch):
    seen = {}

    def with_values(loop, book, values):
        seen.update(values)
        return loop

    monkeypatch.setattr("brinewright.cli.simulation.with_values", with_values)
    main(["run", "a.loop.toml", "--set", "CH-201.count=4", "--set", "TSH-110.set=22 degC"])

    assert seen == {"CH-201.count": "4", "TSH-110.set": "22 degC"}


def test_a_change_without_a_value_is_refused(engine, capsys):
    assert main(["run", "a.loop.toml", "--set", "CH-201.count"]) == 2
    assert '"CH-201.count" is no NAME=VALUE' in capsys.readouterr().err


def test_json_is_the_summary_and_nothing_else(engine, capsys):
    assert main(["run", "a.loop.toml", "--json"]) == 0

    summary = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(schema("run")).validate(summary)
    assert summary["outcome"] == "done"


def test_a_result_is_kept_with_its_curves_and_settings(engine, tmp_path):
    assert main(["run", "a.loop.toml", "--for", "1h", "--out", str(tmp_path / "out")]) == 0

    kept = load(tmp_path / "out")
    assert np.array_equal(kept.values, engine.result.values)
    assert kept.provenance["settings"] == {"duration_s": 3600.0, "changes": {}}
    assert (tmp_path / "out/curves/overview.svg").is_file()


def test_curves_can_be_left_out(engine, tmp_path):
    main(["run", "a.loop.toml", "--out", str(tmp_path / "out"), "--no-curves"])

    assert not (tmp_path / "out/curves").exists()


def test_a_folder_in_the_way_is_refused_before_the_run(engine, tmp_path, capsys):
    main(["run", "a.loop.toml", "--out", str(tmp_path / "out"), "--no-curves"])
    engine.asked.clear()

    assert main(["run", "a.loop.toml", "--out", str(tmp_path / "out")]) == 2
    assert "is there already" in capsys.readouterr().err
    assert engine.asked == {}
    assert main(["run", "a.loop.toml", "--out", str(tmp_path / "out"), "--no-curves", "--force"]) == 0


@pytest.mark.parametrize("outcome", [INTERRUPTED, stopped("VE-301 ran dry", "Start with more water.")])
def test_a_run_that_ended_early_is_kept_and_gives_three(engine, tmp_path, capsys, outcome):
    object.__setattr__(engine.result, "outcome", outcome)

    assert main(["run", "a.loop.toml", "--out", str(tmp_path / "out"), "--no-curves"]) == 3
    assert load(tmp_path / "out").outcome == outcome
    assert outcome.advice.split(".")[0] in capsys.readouterr().out.replace("\n", " ")


ERRORS = [
    (
        InputError([Problem("Bad.", "Write good.", "a.loop.toml", 3, 7)]),
        2,
        "input",
        "a.loop.toml:3:7: Bad. Write good.",
    ),
    (UnknownNameError("TK-9", ["TK-1"], "part"), 2, "name", 'There is no part "TK-9". Nearest: TK-1.'),
    (PropertyRangeError("Too hot."), 2, "range", "Too hot."),
    (OutputError("The disk is full."), 2, "output", "The disk is full."),
    (RunError("The ledger does not close."), 3, "run", "The ledger does not close."),
    (MemoryError(), 3, "memory", "There is not enough memory."),
    (ZeroDivisionError("oops"), 3, "fault", "This is a fault of the program, not of your input"),
]


@pytest.mark.parametrize(("error", "code", "kind", "words"), ERRORS, ids=[row[2] for row in ERRORS])
def test_an_error_is_a_sentence_and_an_exit_code(engine, capsys, error, code, kind, words):
    engine.error = error

    assert main(["run", "a.loop.toml"]) == code
    streams = capsys.readouterr()
    assert words in streams.err
    assert "Traceback" not in streams.err
    assert streams.out == ""


@pytest.mark.parametrize(("error", "code", "kind", "words"), ERRORS, ids=[row[2] for row in ERRORS])
def test_an_error_is_json_when_json_is_asked_for(engine, capsys, error, code, kind, words):
    engine.error = error

    assert main(["run", "a.loop.toml", "--json"]) == code
    told = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(schema("error")).validate(told)
    assert told["error"]["kind"] == kind
    assert told["error"]["exit_code"] == code


def test_a_variable_shows_where_a_fault_arose(engine, capsys, monkeypatch):
    monkeypatch.setenv("BRINEWRIGHT_TRACEBACK", "1")
    engine.error = ZeroDivisionError("oops")
    main(["run", "a.loop.toml"])

    assert "Traceback" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("rn", 'Did you mean "run"?'),
        ("run", "LOOP requires an argument"),
        ("run a.toml --bad", "Unknown option"),
        ("run a.toml --events maybe", 'Choose from: "stop", "go"'),
        ("run a.toml --for 5", '--for: "5" has no unit'),
        ("run a.toml --for 0s", "is less than one second"),
        ("run a.toml --for=-3h", "is less than one second"),
        ("run a.toml --for -3h", "is less than one second"),
        ("run a.toml --for 24", 'Write for example --for "24 h"'),
        ("run a.toml --interval 1kg", '--interval: "1kg" has the unknown unit'),
        ("property water", "PROPERTY requires an argument"),
        ("property watr density", 'no fluid "watr". Nearest: water'),
        ("property water density --temperature hot", '"hot" does not start with a number'),
        ("property water density --temperature 2000degC --pressure 1_bar_abs", "outside"),
    ],
)
def test_what_was_written_wrong_is_told_with_exit_code_two(engine, capsys, written, words):
    assert main([part.replace("_", " ") for part in written.split()]) == 2

    streams = capsys.readouterr()
    assert words in streams.err
    assert streams.out == ""


@pytest.mark.parametrize("name", ["missing.loop.toml", ".", "\0"])
def test_a_loop_file_that_can_not_be_read_is_told(capsys, name):
    assert main(["run", name]) == 2

    streams = capsys.readouterr()
    assert streams.err.strip()
    assert "fault of the program" not in streams.err


def test_a_property_is_told_with_range_error_and_source(capsys):
    assert main(["property", "water", "saturation pressure", "--temperature", "125 degC"]) == 0

    told = capsys.readouterr().out
    # IAPWS R7-97(2012), equation 30, at 398.15 K: 0.23222 MPa.
    assert "232238 Pa = 2.32238 bar abs" in told
    assert all(word in told for word in ("error", "range", "source", "IAPWS"))


def test_a_temperature_below_zero_needs_no_quoting_tricks(capsys):
    assert main(["property", "air", "density", "--temperature", "-5 degC", "--pressure", "1 bar abs"]) == 0
    assert "at temperature -5 degC, pressure 1 bar abs" in capsys.readouterr().out


def test_a_temperature_is_told_in_degrees_celsius_too(capsys):
    assert main(["property", "water", "boiling point", "--pressure", "101.325 kPa abs"]) == 0

    # The normal boiling point of water, 99.974 degC on the scale of 1990 (IAPWS R7-97(2012)).
    assert "= 99.97" in capsys.readouterr().out


@pytest.mark.parametrize("asked", [("help", "help"), ("water", "help"), ("help", "density")])
def test_what_can_be_asked_of_a_fluid_is_listed(asked, capsys):
    assert main(["property", *asked]) == 0

    told = capsys.readouterr().out
    assert all(
        word in told for word in ("propylene glycol 20 %", "helium", "saturation pressure [Pa]", "hfg")
    )


def test_a_property_keeps_to_its_schema(capsys):
    main(["property", "water", "density", "--temperature", "20 degC", "--pressure", "1 bar abs", "--json"])
    told = json.loads(capsys.readouterr().out)

    jsonschema.Draft202012Validator(schema("property")).validate(told)
    assert told["conditions"] == {"temperature_K": 293.15, "pressure_Pa": 100000.0}


@pytest.mark.parametrize("name", ["error", "property", "demo"])
def test_every_schema_is_one(name):
    jsonschema.Draft202012Validator.check_schema(schema(name))


def test_help_and_version_are_done(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip() == brinewright.__version__
    for written in (["--help"], ["run", "--help"], ["demo", "--help"], ["property", "--help"], []):
        assert main(written) == 0
        assert "brinewright" in capsys.readouterr().out


def interrupt_and_wait():
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(1.0)


@pytest.fixture
def interruptible():
    """Let this process take interrupts; a shell that runs it in the background has it ignore them."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("interruptible")
def test_the_first_interrupt_asks_and_the_second_ends(capsys):
    with progress_module.ending_on_interrupt() as asked:
        assert not asked()
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.01)
        assert asked()
        with pytest.raises(KeyboardInterrupt):
            interrupt_and_wait()
    assert "keeping what there is" in capsys.readouterr().err
    with pytest.raises(KeyboardInterrupt):
        interrupt_and_wait()


def test_an_interrupt_outside_a_run_is_told_without_a_traceback(engine, capsys):
    engine.error = KeyboardInterrupt()

    assert main(["run", "a.loop.toml"]) == 3
    assert "Interrupted" in capsys.readouterr().err


def test_progress_is_silent_at_first_and_then_tells_hours(capsys, monkeypatch):
    now = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    with progress_module.progress("Invented plant") as show:
        show(3600.0, 86400.0)
        assert capsys.readouterr().err == ""
        now[0] += 11.0
        show(7200.0, 86400.0)

    assert capsys.readouterr().err == "Invented plant: 2.0 of 24.0 h\n"


def test_a_terminal_gets_a_bar(monkeypatch):
    class Terminal:
        text = ""
        encoding = "utf-8"

        def isatty(self):
            return True

        def write(self, text):
            self.text += text

        def flush(self):
            pass

    terminal = Terminal()
    now = [100.0]
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    monkeypatch.setenv("TERM", "xterm")
    with progress_module.progress("Invented plant") as show:
        now[0] += 3.0
        show(43200.0, 86400.0)

    assert "12.0 of 24.0 h" in terminal.text


def test_an_engine_that_is_cold_says_what_the_wait_is_for(monkeypatch, capsys):
    from brinewright.cli.simulation import prepare

    monkeypatch.setattr("brinewright.jit.is_cold", lambda: True)
    prepare()

    assert "Preparing the engine for this machine, once" in capsys.readouterr().err
