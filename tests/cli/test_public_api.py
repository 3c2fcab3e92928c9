"""What `import brinewright` offers: typed as it is, and a verb `run` beside the room of that name."""

import ast
import importlib
import sys

import pytest

import brinewright
from tests.house.repository import ROOT

STUB = ast.parse((ROOT / "src/brinewright/__init__.pyi").read_text(encoding="utf-8"))


def imported_in_stub():
    return {
        alias.asname: (node.module, alias.name)
        for node in STUB.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }


def test_the_types_name_exactly_what_is_public():
    stated = next(
        ast.literal_eval(node.value)
        for node in STUB.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
    )

    assert stated == brinewright.__all__
    assert {*imported_in_stub(), "__version__"} == set(brinewright.__all__)


@pytest.mark.parametrize("name", [name for name in brinewright.__all__ if name != "__version__"])
def test_each_public_name_is_what_its_type_says(name):
    module, there = imported_in_stub()[name]

    assert getattr(brinewright, name) is getattr(importlib.import_module(module), there)


def test_a_name_that_does_not_exist_is_an_attribute_error():
    with pytest.raises(AttributeError, match="'brinewright' has no attribute 'rnu'"):
        getattr(brinewright, "rnu")  # noqa: B009


def test_run_stays_the_verb_when_its_room_has_been_imported():
    room = importlib.import_module("brinewright.run")

    assert sys.modules["brinewright.run"] is room
    assert brinewright.run is room.simulate
    assert callable(brinewright.run)
