"""The pages of the Python API, the laws and the fluids: signatures and docstrings."""

import importlib
import inspect
import pkgutil
import re
from types import ModuleType

import brinewright
from tools.reference.markdown import code, first_line, section, table

# How an array type is written differs between numpy releases.
ARRAY = re.compile(r"numpy\.ndarray\[(?:tuple\[[^\]]*\]|typing\.Any), numpy\.dtype\[[^\]]*\]\]")


def pages() -> dict[str, str]:
    """Return the page of the public API and one for each module of laws and fluids."""
    public = [(name, getattr(brinewright, name)) for name in getattr(brinewright, "__all__", [])]
    described = [(name, thing) for name, thing in public if _is_described(name, thing)]
    api = f"# Python API\n\n{first_line(brinewright)}\n\n"
    return {
        "python.md": api + "".join(_entry(name, thing, 2) for name, thing in described),
        **_room("laws"),
        **_room("fluids"),
    }


def _is_described(name: str, thing: object) -> bool:
    return not name.startswith("_") and callable(thing)


def _room(room: str) -> dict[str, str]:
    root = importlib.import_module(f"brinewright.{room}")
    names = sorted(
        entry.name for entry in pkgutil.iter_modules(root.__path__) if not entry.name.startswith("_")
    )
    modules = {name: importlib.import_module(f"{root.__name__}.{name}") for name in names}
    rows = [(f"[{name}]({room}/{name}.md)", first_line(module)) for name, module in modules.items()]
    listing = f"# {room.capitalize()}\n\n{first_line(root)}\n\n{table(('module', 'what it holds'), rows)}"
    return {f"{room}.md": listing} | {
        f"{room}/{name}.md": _module(module) for name, module in modules.items()
    }


def _module(module: ModuleType) -> str:
    title = f"# {module.__name__.removeprefix('brinewright.')}\n\n{first_line(module)}\n\n"
    own = [(name, thing) for name, thing in vars(module).items() if _is_own(module, name, thing)]
    return title + "".join(_entry(name, thing, 2) for name, thing in own)


def _is_own(module: ModuleType, name: str, thing: object) -> bool:
    return (
        callable(thing) and not name.startswith("_") and getattr(thing, "__module__", "") == module.__name__
    )


def _entry(name: str, thing: object, level: int) -> str:
    plain = inspect.unwrap(thing) if callable(thing) else thing
    if inspect.isclass(plain):
        return section(f"`{name}`", _class(plain), level)
    return section(f"`{name}`", code(f"{name}{_signature(plain)}", "python") + "\n" + _words(plain), level)


def _class(kind: type) -> str:
    methods = [
        f"- `{name}{_signature(thing)}`: {first_line(thing)}"
        for name, thing in vars(kind).items()
        if inspect.isfunction(thing) and not name.startswith("_")
    ]
    facts = [
        f"- `{name}`: {first_line(thing)}"
        for name, thing in vars(kind).items()
        if isinstance(thing, property) and not name.startswith("_")
    ]
    return _words(kind) + "\n" + "\n".join(methods + facts)


def _signature(thing: object) -> str:
    try:
        return ARRAY.sub("array", str(inspect.signature(thing))) if callable(thing) else ""
    except ValueError:
        return "(...)"


def _words(thing: object) -> str:
    text = inspect.getdoc(thing) or ""
    opening, _, rest = text.partition("\n\n")
    return " ".join(opening.split()) + "\n\n" + (code(rest) if rest.strip() else "")
