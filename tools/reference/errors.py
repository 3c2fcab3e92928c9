"""The page of errors: the tree of exceptions, each with what it means."""

from brinewright.errors import BrinewrightError
from tools.reference.markdown import first_line, table


def pages() -> dict[str, str]:
    """Return the page of errors."""
    rows = [(f"`{error.__name__}`", _built_in(error), first_line(error)) for error in _tree()]
    text = "# Errors\n\nEvery error that is raised on purpose, and the built-in error that it is too.\n\n"
    return {"errors.md": text + table(("error", "is also", "means"), rows)}


def _tree(error: type[BaseException] = BrinewrightError) -> list[type[BaseException]]:
    ours = [child for child in error.__subclasses__() if child.__module__.startswith("brinewright")]
    below = [found for child in sorted(ours, key=_name) for found in _tree(child)]
    return [error, *below]


def _name(error: type[BaseException]) -> str:
    return error.__name__


def _built_in(error: type[BaseException]) -> str:
    return ", ".join(f"`{base.__name__}`" for base in error.__bases__ if base.__module__ == "builtins")
