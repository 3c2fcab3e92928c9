"""From the words people use to a fluid: "water", "ethylene glycol 30 %", "air"."""

import re
from functools import cache

from brinewright.errors import InputError, UnknownNameError
from brinewright.fluids.fluid import Fluid
from brinewright.fluids.gas import GASES
from brinewright.fluids.gas_fluid import GasFluid
from brinewright.fluids.solution import SOLUTIONS, Solution
from brinewright.fluids.solution_fluid import SolutionFluid

_SHARE = re.compile(r"(-?\d+(?:\.\d+)?)\s*(?:%|percent\b|per cent\b)")
_HYPHEN = re.compile(r"(?<=[a-z])-(?=[a-z])")
_FILLERS = frozenset(
    ("in", "water", "brine", "solution", "by", "mass", "weight", "volume", "w/w", "v/v", "of")
)
_WATERS = frozenset(("water", "steam", "h2o", "water and steam"))


def fluid_names() -> tuple[str, ...]:
    """Return every name that `fluid` knows; "20 %" stands for the concentration."""
    mixed = (f"{one.title} 20 %" + ("" if one.by_mass else " by volume") for one in SOLUTIONS.values())
    return ("water", *mixed, *GASES)


@cache
def fluid(name: str) -> Fluid:
    """Return the fluid of a name.

    Parameters
    ----------
    name : "water", a gas such as "air", or a solution with its share by mass, such as
        "propylene glycol 30 %"; glycols also take "30 % by volume"

    Raises
    ------
    UnknownNameError
        No such fluid; the nearest names are listed.
    InputError
        A solution without a concentration.
    PropertyRangeError
        A concentration outside the table.

    Example
    -------
    >>> fluid("MEG 30 %").name
    'ethylene glycol 30 %'
    """
    text = " ".join(_HYPHEN.sub(" ", name.lower()).split())
    found = _SHARE.search(text)
    rest = _SHARE.sub(" ", text)
    by_volume = any(word in rest for word in ("volume", "v/v"))
    words = " ".join(rest.split())
    if found is None:
        if words in _WATERS:
            from brinewright.fluids.water_fluid import WaterFluid

            return WaterFluid()
        for gas in GASES.values():
            if words == gas.name or words in gas.aliases:
                return GasFluid(gas)
    solute = " ".join(word for word in rest.split() if word not in _FILLERS)
    matches = [one for one in SOLUTIONS.values() if solute in one.aliases]
    if not matches:
        raise UnknownNameError(name, fluid_names(), "fluid")
    if found is None:
        raise InputError(f'"{name}" needs a concentration; write for example "{matches[0].title} 20 %".')
    return SolutionFluid(_with_basis(name, matches, by_volume), float(found[1]) / 100.0)


def _with_basis(name: str, matches: list[Solution], by_volume: bool) -> Solution:
    for one in matches:
        if one.by_mass is not by_volume:
            return one
    raise InputError(f'"{name}": {matches[0].title} is tabled by mass only; write the share by mass.')
