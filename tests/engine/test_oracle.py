"""The same source, uncompiled, is the oracle: it must decide the same and compute the same."""

import ast
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import brinewright
from brinewright.files import read_design
from brinewright.files.scenario import scenario, scenarios
from tests.engine.record import STEPS, record, recorded_uncompiled

HOUR = 3600.0
NEAR = 1e-9
"""Most that a channel may differ, of 1 + its size: the compiler may use another exponential
or fused products, and an hour of exchange makes of their last digit no more than this.
Where it uses those of Python, as it did when this was written, nothing differs at all."""
PLANTS = {name: read_design(scenario(name))[1].world for name in sorted(scenarios())}
BOTH = [(name, HOUR if world == "stylised" else 180.0) for name, world in PLANTS.items()]
"""A real plant solves its pressures in every tick, which takes the oracle thirty times as long."""


def compare(name: str, seconds: float, folder: Path) -> list[tuple[Any, Any]]:
    oracle = recorded_uncompiled(name, seconds, folder)
    return [(record(name, seconds, step), oracle[step]) for step in STEPS]


def test_whole_powers_are_spelt_out_in_what_is_compiled():
    # Python takes them from logarithms and the compiler multiplies: their last digits differ, and
    # so does what is left of two temperatures times some tens of kilowatts a kelvin
    sources = Path(brinewright.__file__).parent
    for source in (
        *sources.glob("laws/*.py"), *sources.glob("kernel/*.py"), *sources.glob("components/*/law.py"),
    ):  # fmt: skip
        for node in ast.walk(ast.parse(source.read_text("utf-8"))):
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
                exponent = getattr(node.right, "value", None)
                assert not isinstance(exponent, int), f"{source.name}, line {node.lineno}"


@pytest.fixture(scope="module", params=BOTH, ids=[name for name, _ in BOTH])
def both(request, tmp_path_factory):
    name, seconds = request.param
    return compare(name, seconds, tmp_path_factory.mktemp(name))


def test_compiled_and_uncompiled_switches_change_equally_often(both):
    for compiled, oracle in both:
        assert compiled["counts"].tolist() == oracle["counts"].tolist()


def test_compiled_and_uncompiled_events_have_the_same_times_places_and_codes(both):
    for compiled, oracle in both:
        assert compiled["event_names"].tolist() == oracle["event_names"].tolist()
        assert compiled["event_times"].tolist() == oracle["event_times"].tolist()


def test_compiled_and_uncompiled_make_the_same_steps_and_flow_solutions(both):
    for compiled, oracle in both:
        assert compiled["steps"].tolist() == oracle["steps"].tolist()
        assert compiled["time"] == oracle["time"] >= 180.0


def test_compiled_and_uncompiled_channels_agree_to_the_last_digits(both):
    for compiled, oracle in both:
        assert compiled["names"].tolist() == oracle["names"].tolist()
        for what in ("trace", "state"):
            ours, theirs = compiled[what], oracle[what]
            assert np.array_equal(np.isfinite(ours), np.isfinite(theirs))
            finite = np.isfinite(ours)
            off = np.abs(ours - theirs)[finite] / (1.0 + np.abs(theirs[finite]))
            assert off.max() <= NEAR


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name, world in PLANTS.items() if world == "real"])
def test_an_hour_of_a_real_plant_is_the_oracles_hour(name, tmp_path):
    both = compare(name, HOUR, tmp_path)
    test_compiled_and_uncompiled_switches_change_equally_often(both)
    test_compiled_and_uncompiled_events_have_the_same_times_places_and_codes(both)
    test_compiled_and_uncompiled_make_the_same_steps_and_flow_solutions(both)
    test_compiled_and_uncompiled_channels_agree_to_the_last_digits(both)


def test_the_hour_of_the_oracle_holds_decisions():
    # the comparison would be hollow if nothing were switched in it
    assert record("kettle-ridge", HOUR, 1)["counts"].sum() >= 10
