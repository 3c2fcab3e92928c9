"""Bring a document of an older version to the present one, or refuse it in words."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from brinewright.errors import nearest_names
from brinewright.files.tables import WrongValueError, described

VERSIONS = {"loop": 1, "rulebook": 1, "brief": 1, "campaign": 1}
"""The present version of each sort of file."""
_FORMAT = re.compile(r"brinewright/([a-z]+)/(\d{1,6})")


def migrate(document: Mapping[str, Any], sort: str) -> dict[str, Any]:
    """Return the document in the present version of its sort; the given one stays as it is.

    Raises `WrongValueError` for a file of another sort, of a newer version or of none.

    >>> old = {"format": "brinewright/loop/0", "site": {"liquid": "brine", "gravity": "7.1 m/s2"}}
    >>> migrate(old, "loop")
    {'format': 'brinewright/loop/1', 'liquid': 'brine', 'site': {'gravity': '7.1 m/s2'}}
    """
    present = f"brinewright/{sort}/{VERSIONS[sort]}"
    advice = f'Write format = "{present}"'
    written = document.get("format")
    if written is None:
        raise WrongValueError(
            "format is missing: what the file is and which version can't be told.",
            f"{advice} as the first line.",
        )
    match = _FORMAT.fullmatch(written) if isinstance(written, str) else None
    if match is None:
        raise WrongValueError(
            f"format is {described(written)}; expected the sort of file and its version.", advice
        )
    if match[1] not in VERSIONS:
        near = nearest_names(match[1], VERSIONS).strip()
        raise WrongValueError(f'format names the unknown sort of file "{match[1]}".', near or advice)
    if match[1] != sort:
        raise WrongValueError(
            f"This is a {match[1]} file; expected a {sort} file.", f"Give a *.{sort}.toml file."
        )
    version = int(match[2])
    if version > VERSIONS[sort]:
        raise WrongValueError(
            f"The file is of version {version}; this Brinewright reads up to {VERSIONS[sort]}.",
            "Install a newer Brinewright; nothing was guessed.",
        )
    current = dict(document)
    while version < VERSIONS[sort]:
        step = STEPS.get((sort, version))
        if step is None:
            raise WrongValueError(f"Version {version} of {sort} files can no longer be read.", advice)
        current = step(current)
        version += 1
    return current


def _loop_0(old: dict[str, Any]) -> dict[str, Any]:
    """Version 0 kept the liquid and its working mean in [site]."""
    site = old.get("site")
    moved = (
        {key: site[key] for key in ("liquid", "temperature") if key in site} if isinstance(site, dict) else {}
    )
    new = {"format": "brinewright/loop/1", **moved}
    for key, value in old.items():
        if key == "site" and isinstance(site, dict):
            new[key] = {name: item for name, item in site.items() if name not in moved}
        elif key != "format":
            new.setdefault(key, value)
    return new


STEPS: Mapping[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {("loop", 0): _loop_0}
"""What brings a sort of file from one version to the next."""
