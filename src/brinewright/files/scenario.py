"""The shipped plants, all invented: where their loops and briefs are."""

from importlib import resources
from pathlib import Path

from brinewright.errors import UnknownNameError

ENDING = ".loop.toml"
BRIEF = ".brief.toml"


def scenarios() -> dict[str, Path]:
    """Return the loop files that come with the package, by name."""
    folder = Path(str(resources.files("brinewright"))) / "data" / "scenarios"
    return {path.name.removesuffix(ENDING): path for path in sorted(folder.glob(f"*{ENDING}"))}


def scenario(name: str) -> Path:
    """Return the path of a shipped loop file, such as that of "kettle-ridge".

    Raises
    ------
    UnknownNameError
        There is no such scenario; the nearest are named.
    """
    known = scenarios()
    if name not in known:
        raise UnknownNameError(name, known, "shipped scenario")
    return known[name]


def briefs() -> dict[str, Path]:
    """Return the briefs that come with the package, by name."""
    folder = Path(str(resources.files("brinewright"))) / "data" / "scenarios"
    return {path.name.removesuffix(BRIEF): path for path in sorted(folder.glob(f"*{BRIEF}"))}


def shipped_brief(name: str) -> Path:
    """Return the path of a shipped brief, such as that of "kettle-ridge".

    Raises
    ------
    UnknownNameError
        There is no such brief; the nearest are named.
    """
    known = briefs()
    if name not in known:
        raise UnknownNameError(name, known, "shipped brief")
    return known[name]
