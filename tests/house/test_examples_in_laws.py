"""Every public law shows an example, and the examples are found though the laws are compiled."""

import doctest
import importlib
import inspect
import pkgutil

import pytest

import brinewright.laws

MODULES = [entry.name for entry in pkgutil.iter_modules(brinewright.laws.__path__, "brinewright.laws.")]


def is_inner(law):
    """Only compiled code can call it, so no example can."""
    return getattr(law, "targetoptions", {}).get("no_cpython_wrapper", False)


def public_laws(module):
    return {
        name
        for name, thing in vars(module).items()
        if callable(thing)
        and not name.startswith("_")
        and not inspect.isclass(thing)
        and not is_inner(thing)
        and getattr(thing, "__module__", "") == module.__name__
    }


@pytest.mark.parametrize("name", MODULES)
def test_every_public_law_has_an_example_that_runs(name):
    module = importlib.import_module(name)
    found = {test.name.split(".")[-1] for test in doctest.DocTestFinder().find(module) if test.examples}

    assert public_laws(module) - found == set()


def test_laws_are_looked_at_at_all():
    assert sum(len(public_laws(importlib.import_module(name))) for name in MODULES) > 10
