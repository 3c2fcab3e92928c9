"""The page of the Python interface: signatures and docstrings of what the package offers."""

import inspect
import re

import brinewright
from tools.reference.markdown import code, first_line, section

# Where a type lives differs between Python releases and matters to nobody.
HOME = re.compile(r"\b(?:[a-z_]\w*\.)+(?=[A-Z])")


def pages() -> dict[str, str]:
    """Return the page of the Python interface."""
    public = {name: getattr(brinewright, name) for name in brinewright.__all__ if not name.startswith("_")}
    functions = "".join(
        _function(name, thing) for name, thing in public.items() if not inspect.isclass(thing)
    )
    classes = "".join(_class(thing) for thing in public.values() if inspect.isclass(thing))
    opening = f"# Python interface\n\n{first_line(brinewright)}\n\n"
    return {"python.md": opening + section("Functions", functions) + section("Classes", classes)}


def _function(name: str, thing: object) -> str:
    return section(f"`{name}`", code(f"{name}{_signature(thing)}", "python") + "\n" + _words(thing), 3)


def _class(kind: type) -> str:
    own = {name: thing for name, thing in vars(kind).items() if not name.startswith("_")}
    methods = [
        f"- `{name}{_signature(thing)}`: {first_line(thing)}"
        for name, thing in own.items()
        if inspect.isfunction(thing)
    ]
    facts = [f"- `{name}`: {first_line(thing)}" for name, thing in own.items() if isinstance(thing, property)]
    return section(f"`{kind.__name__}`", f"{_words(kind)}\n" + "\n".join(facts + methods), 3)


def _signature(thing: object) -> str:
    return HOME.sub("", str(inspect.signature(thing))) if callable(thing) else ""


def _words(thing: object) -> str:
    text = inspect.getdoc(thing) or ""
    opening, _, rest = text.partition("\n\n")
    return " ".join(opening.split()) + "\n\n" + (code(rest) if rest.strip() else "")
