"""What two liquids make together: how much of the old one is left, and when the mixture freezes and boils."""

import math
import re
from dataclasses import dataclass

from brinewright.errors import PropertyRangeError
from brinewright.model.rulebook import Liquid

_SHARE = re.compile(r"^(.*) (\d+(?:\.\d+)?) %$")
SAME_SOLUTE = "balance of the solute by mass, then the table of that solution"
WORSE_OF_BOTH = "no law of mixing is known for these two: judged by the worse of both"
DRIFT = 1e-4
"""Shares are told to a tenth of a thousandth."""


@dataclass(frozen=True, kw_only=True)
class Mixture:
    """A liquid with a share of another in it, and the rule by which it is judged."""

    liquid: Liquid
    """As a rulebook would declare it."""
    old_by_volume: float
    old_by_mass: float
    freezes: float
    """[K]"""
    boils: float
    """At the local pressure [K]."""
    freezes_pure: float
    boils_pure: float
    """Those of the new liquid alone [K]."""
    rule: str
    error: str
    """What the rule leaves open, in words with its number."""


def residue(share: float, fills: int) -> float:
    """Return the share of the old liquid after a number of fills [1].

    r_n = r^n: each emptying leaves the share r of the content behind, and each fill mixes fully

    Parameters
    ----------
    share : r, what one emptying leaves behind [1]
    fills : flushes and the last fill [-]

    Example
    -------
    >>> round(residue(0.05, 2), 6)
    0.0025
    """
    return share**fills


def flushes_for(share: float, wanted: float) -> int:
    """Return the fewest flushes before the last fill that leave at most a wanted share of the old liquid.

    Example
    -------
    >>> flushes_for(0.05, 0.01), flushes_for(0.005, 0.01)
    (1, 0)
    """
    if share <= wanted or share <= 0.0:
        return 0
    return max(0, math.ceil(math.log(wanted) / math.log(share) - 1e-9) - 1)


def mixed(old: Liquid, new: Liquid, by_volume: float, temperature: float, pressure: float) -> Mixture:
    """Return the new liquid with a share of the old one in it.

    Solutions of one solute, and water, mix by the balance of their solute.  For any other two
    no law is known: heat and volume are carried by each in its share, and freezing and boiling
    are judged by the worse of both.

    Parameters
    ----------
    old, new : the two liquids
    by_volume : share of the old one [1]
    temperature : at which the densities are taken [K]
    pressure : at which it boils [Pa]
    """
    first, second = (_density(liquid, temperature) for liquid in (old, new))
    by_mass = by_volume * first / (by_volume * first + (1.0 - by_volume) * second)
    solution = _solution(old, new, by_mass)
    pure = freezes_at(new), boils_at(new, pressure)
    if solution is not None:
        error = "that of the table of the solution; the shares are exact where each fill mixes fully"
        return Mixture(
            liquid=solution, old_by_volume=by_volume, old_by_mass=by_mass, freezes=freezes_at(solution),
            boils=boils_at(solution, pressure), freezes_pure=pure[0], boils_pure=pure[1],
            rule=SAME_SOLUTE, error=error,
        )  # fmt: skip
    freezes = max(freezes_at(old), pure[0]) if by_volume > DRIFT else pure[0]
    boils = min(boils_at(old, pressure), pure[1]) if by_volume > DRIFT else pure[1]
    gap = abs(freezes_at(old) - pure[0])
    return Mixture(
        liquid=_blend(old, new, by_volume, by_mass, temperature),
        old_by_volume=by_volume,
        old_by_mass=by_mass,
        freezes=freezes,
        boils=boils,
        freezes_pure=pure[0],
        boils_pure=pure[1],
        rule=WORSE_OF_BOTH,
        error=(
            f"on the safe side by up to {gap:.1f} K of freezing, unless the two react or part, "
            "which must be tried with a sample"
        ),
    )


def freezes_at(liquid: Liquid) -> float:
    """Return the temperature at which a liquid freezes [K]."""
    return _value(liquid, "freezing point") if liquid.properties else liquid.freezes


def boils_at(liquid: Liquid, pressure: float) -> float:
    """Return the temperature at which a liquid boils at a pressure [K]; declared ones boil as declared."""
    if not liquid.properties:
        return liquid.boils
    return _value(liquid, "boiling point", pressure=pressure)


def _value(liquid: Liquid, name: str, **conditions: float) -> float:
    from brinewright.fluids import property_value

    return float(property_value(liquid.properties, name, **conditions).value)


def _density(liquid: Liquid, temperature: float) -> float:
    if not liquid.properties:
        return liquid.density
    return _value(liquid, "density", temperature=temperature, pressure=3e5)


def _solution(old: Liquid, new: Liquid, by_mass: float) -> Liquid | None:
    """Return the solution that two of one solute make; None where they are not of one, or off the table."""
    if not (old.properties and new.properties):
        return None
    from brinewright.fluids.names import fluid

    parts = [_solute(fluid(liquid.properties).name) for liquid in (old, new)]
    names = {name for name, _ in parts if name != "water"}
    if len(names) > 1:
        return None
    share = by_mass * parts[0][1] + (1.0 - by_mass) * parts[1][1]
    text = f"{next(iter(names), 'water')} {100.0 * share:.4g} %" if share > 0.0 else "water"
    made = Liquid(name=f"{new.name} with residue", properties=text)
    try:
        freezes_at(made)
        _density(made, 293.15)
    except PropertyRangeError:
        return None
    return made


def _solute(name: str) -> tuple[str, float]:
    found = _SHARE.match(name)
    return (found[1], float(found[2]) / 100.0) if found else (name, 0.0)


def _blend(old: Liquid, new: Liquid, by_volume: float, by_mass: float, temperature: float) -> Liquid:
    """Return the liquid that carries heat and fills space as both do in their shares."""
    if new.properties:
        # a table cannot be blended with another: the new liquid's stands for what runs
        return Liquid(name=f"{new.name} with residue", properties=new.properties)
    density = by_volume * _density(old, temperature) + (1.0 - by_volume) * new.density

    def of(first: float, second: float) -> float:
        return by_mass * first + (1.0 - by_mass) * second

    return Liquid(
        name=f"{new.name} with residue",
        heat_capacity=of(old.heat_capacity, new.heat_capacity),
        density=density,
        freezes=max(old.freezes, new.freezes) if by_volume > DRIFT else new.freezes,
        boils=min(old.boils, new.boils) if by_volume > DRIFT else new.boils,
        viscosity=of(old.viscosity, new.viscosity),
        conductivity=of(old.conductivity, new.conductivity),
    )
