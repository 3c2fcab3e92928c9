"""What a package offers is what its `__all__` says, no more and no less."""

import importlib
import pkgutil
from types import ModuleType

import pytest

import brinewright


def packages() -> list[str]:
    below = pkgutil.walk_packages(brinewright.__path__, "brinewright.")
    return [brinewright.__name__, *(entry.name for entry in below if entry.ispkg)]


def public_names(module: ModuleType) -> set[str]:
    """Names without underscore that are ours and are not modules."""
    return {
        name
        for name in dir(module)
        if not name.startswith("_")
        and not isinstance(getattr(module, name), ModuleType)
        and str(getattr(getattr(module, name), "__module__", "brinewright")).startswith("brinewright")
    }


@pytest.mark.parametrize("name", packages())
def test_all_names_exactly_what_is_public(name):
    module = importlib.import_module(name)
    stated = list(getattr(module, "__all__", []))

    assert len(stated) == len(set(stated))
    assert {entry for entry in stated if not entry.startswith("_")} == public_names(module)


def test_every_public_name_is_documented():
    silent = [
        name
        for name in public_names(brinewright)
        if callable(getattr(brinewright, name)) and not getattr(brinewright, name).__doc__
    ]

    assert silent == []
