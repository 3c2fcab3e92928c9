"""The pages of the Python API, the laws and the fluids: signatures and docstrings."""

import importlib
import inspect
import pkgutil
from types import ModuleType

import brinewright
from tools.reference.markdown import code, first_line, section


def pages() -> dict[str, str]:
    """Return the page of the public API and one page each for laws and fluids."""
    public = [(name, getattr(brinewright, name)) for name in getattr(brinewright, "__all__", [])]
    described = [(name, thing) for name, thing in public if _is_described(name, thing)]
    api = "# Python API\n\n" + "".join(_entry(name, thing, 2) for name, thing in described)
    found = {"python.md": api}
    for room, title in (("laws", "Laws"), ("fluids", "Fluids")):
        text = _room(f"brinewright.{room}", title)
        if text:
            found[f"{room}.md"] = text
    return found


def _is_described(name: str, thing: object) -> bool:
    return not name.startswith("_") and callable(thing)


def _room(package: str, title: str) -> str:
    root = importlib.import_module(package)
    names = sorted(
        entry.name for entry in pkgutil.iter_modules(root.__path__) if not entry.name.startswith("_")
    )
    modules = [importlib.import_module(f"{package}.{name}") for name in names]
    body = "".join(section(f"`{module.__name__.split('.')[-1]}`", _module(module)) for module in modules)
    return f"# {title}\n\n{first_line(root)}\n\n{body}"


def _module(module: ModuleType) -> str:
    own = [(name, thing) for name, thing in vars(module).items() if _is_own(module, name, thing)]
    return f"{first_line(module)}\n\n" + "".join(_entry(name, thing, 3) for name, thing in own)


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
        return str(inspect.signature(thing)) if callable(thing) else ""
    except ValueError:
        return "(...)"


def _words(thing: object) -> str:
    text = inspect.getdoc(thing) or ""
    opening, _, rest = text.partition("\n\n")
    return " ".join(opening.split()) + "\n\n" + (code(rest) if rest.strip() else "")
