"""The same source runs uncompiled: the examples of every law, on the plain functions."""

import doctest
import importlib
import pkgutil

import pytest

import brinewright.laws

MODULES = [entry.name for entry in pkgutil.iter_modules(brinewright.laws.__path__, "brinewright.laws.")]


@pytest.mark.parametrize("name", MODULES)
def test_examples_hold_for_the_plain_functions_too(name):
    module = importlib.import_module(name)
    plain = {key: getattr(thing, "py_func", thing) for key, thing in vars(module).items()}
    failed = 0
    report: list[str] = []
    for test in doctest.DocTestFinder().find(module):
        runner = doctest.DocTestRunner(verbose=False)
        runner.run(
            doctest.DocTest(test.examples, dict(plain), test.name, None, None, None), out=report.append
        )
        failed += runner.failures

    assert failed == 0, "".join(report)
