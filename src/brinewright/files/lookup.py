"""Find a rulebook: beside the loop first, then among the shipped ones."""

from importlib import resources
from pathlib import Path

from brinewright.errors import InputError, Problem, nearest_names

ENDING = ".rulebook.toml"


def shipped_rulebooks() -> dict[str, Path]:
    """Return the rulebooks that come with the package, by name."""
    folder = Path(str(resources.files("brinewright"))) / "data" / "rulebooks"
    return {path.name.removesuffix(ENDING): path for path in sorted(folder.glob(f"*{ENDING}"))}


def find_rulebook(name: str, folder: Path, *, anywhere: bool = False) -> Path:
    """Return the path of a rulebook.

    Parameters
    ----------
    name : a file's name, or the bare name of a shipped rulebook
    folder : folder of the loop, where it is looked for first
    anywhere : whether the person named it (--rulebook), so that it may lie in any folder
    """
    shipped = shipped_rulebooks()
    bare = name.removesuffix(ENDING)
    for candidate in (name, bare + ENDING):
        try:
            path = Path(candidate) if anywhere and Path(candidate).is_file() else folder / candidate
            if path.is_file() and (anywhere or path.resolve().is_relative_to(folder.resolve())):
                return path
        except (OSError, ValueError):
            continue
    if bare in shipped:
        return shipped[bare]
    try:
        beside = [path.name for path in sorted(folder.glob(f"*{ENDING}"))]
    except OSError:
        beside = []
    near = nearest_names(bare, [*shipped, *beside]).strip()
    known = near or f"There are: {', '.join([*beside, *shipped])}."
    message = f'There is no rulebook "{name[:80]}" beside the loop or among the shipped ones.'
    raise InputError([Problem(message, known)])
