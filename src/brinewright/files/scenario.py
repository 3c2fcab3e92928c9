"""The shipped plants, all invented: where their loop files are."""

from importlib import resources
from pathlib import Path

from brinewright.errors import UnknownNameError

ENDING = ".loop.toml"


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
