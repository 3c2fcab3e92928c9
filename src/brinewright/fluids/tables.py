"""Loads the shipped tables, each once, when first asked for."""

import json
from functools import cache
from importlib.resources import files
from typing import Any, cast

import numpy as np
import numpy.typing as npt

from brinewright.errors import BrinewrightError
from brinewright.fluids import layout

Vector = npt.NDArray[np.float64]


@cache
def _archive(name: str) -> dict[str, npt.NDArray[Any]]:
    resource = files("brinewright.fluids").joinpath("data", f"{name}.npz")
    with resource.open("rb") as stream, np.load(stream, allow_pickle=False) as archive:
        return {key: archive[key] for key in archive.files}


@cache
def metadata(name: str) -> dict[str, Any]:
    """Return ranges, sources and measured errors of "water", "solutions" or "gases"."""
    return cast(dict[str, Any], json.loads(str(_archive(name)["metadata"])))


@cache
def water_tables() -> Vector:
    """Return every table of water as one contiguous float64 vector, laid out as in `layout`.

    Example
    -------
    >>> water_tables().dtype, water_tables().ndim
    (dtype('float64'), 1)
    """
    vector = np.ascontiguousarray(_archive("water")["vector"], dtype=np.float64)
    if vector.shape != (layout.LENGTH,) or vector[0] != layout.VERSION:
        raise BrinewrightError("The shipped tables of water are not those of this version; write them anew.")
    return vector


@cache
def coefficients(group: str, key: str) -> Vector:
    """Return one coefficient table of "solutions" or "gases"."""
    return np.ascontiguousarray(_archive(group)[key], dtype=np.float64)
