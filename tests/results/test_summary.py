"""The summary of a run keeps to its published schema."""

import json
from importlib.resources import files

import jsonschema
import numpy as np
import pytest

from brinewright.results import INTERRUPTED, Event, stopped
from brinewright.results.caution import CAUTIONS
from brinewright.results.summary import plain
from tests.results.synthetic import synthetic_result

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/run.json").read_text(encoding="utf-8"))


def check(summary):
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(json.dumps(summary, allow_nan=False)))


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("outcome", [INTERRUPTED, stopped("VE-301 ran dry", "Start with more water.")])
def test_a_summary_keeps_to_the_schema(outcome):
    result = synthetic_result(world="real")
    object.__setattr__(result, "outcome", outcome)

    check(result.summary())


def test_the_schema_notices_what_is_missing_or_new():
    summary = synthetic_result().summary()

    with pytest.raises(jsonschema.ValidationError, match="energy_residual"):
        check({key: value for key, value in summary.items() if key != "energy_residual"})
    with pytest.raises(jsonschema.ValidationError, match="surprise"):
        check({**summary, "surprise": 1})


def test_a_summary_has_the_five_numbers_of_each_quantity_with_its_unit():
    numbers = synthetic_result().summary()["components"]["CH-201"]["cooling"]

    assert list(numbers) == ["unit", "first", "min", "mean", "max", "last"]
    assert numbers["unit"] == "W"
    assert numbers["min"] <= numbers["mean"] <= numbers["max"]


@pytest.mark.parametrize("world", ["stylised", "real"])
def test_a_summary_carries_the_caution_of_its_world(world):
    assert synthetic_result(world=world).summary()["caution"] == CAUTIONS[world]


def test_json_gets_plain_types_only():
    told = plain({1: np.float32(0.5), "a": (np.int64(3), float("inf")), "b": np.array([1.0, float("nan")])})

    assert told == {"1": 0.5, "a": [3, None], "b": [1.0, None]}
    assert json.loads(json.dumps(told, allow_nan=False)) == told


def test_an_event_tells_the_time_on_a_clock():
    assert Event(3723.4, "VE-301", "dry-out", "It ran dry.").clock == "1:02:03"
