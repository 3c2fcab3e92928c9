"""Which properties can be asked for, their units and the other words for them."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from brinewright.errors import UnknownNameError


@dataclass(frozen=True)
class Property:
    """One property: its name, SI unit and accepted short forms."""

    name: str
    unit: str
    aliases: tuple[str, ...] = ()


def _listed() -> Mapping[str, Property]:
    every = (
        Property("density", "kg/m3", ("rho",)),
        Property("specific volume", "m3/kg", ("v", "volume")),
        Property("internal energy", "J/kg", ("u",)),
        Property("enthalpy", "J/kg", ("h",)),
        Property("entropy", "J/(kg K)", ("s",)),
        Property("heat capacity", "J/(kg K)", ("cp", "c_p", "specific heat")),
        Property("heat capacity at constant volume", "J/(kg K)", ("cv", "c_v")),
        Property("viscosity", "Pa s", ("mu", "dynamic viscosity")),
        Property("kinematic viscosity", "m2/s", ("nu",)),
        Property("conductivity", "W/(m K)", ("k", "thermal conductivity", "lambda")),
        Property("Prandtl number", "-", ("pr", "prandtl")),
        Property("expansion coefficient", "1/K", ("beta", "thermal expansion")),
        Property("speed of sound", "m/s", ("w",)),
        Property("surface tension", "N/m", ("sigma",)),
        Property("saturation pressure", "Pa", ("psat", "p_sat", "vapour pressure")),
        Property("boiling point", "K", ("tsat", "t_sat", "saturation temperature")),
        Property("enthalpy of evaporation", "J/kg", ("hfg", "h_fg", "latent heat")),
        Property("freezing point", "K", ("t_freeze", "melting point")),
    )
    return MappingProxyType({entry.name: entry for entry in every})


PROPERTIES = _listed()


def find_property(word: str) -> Property:
    """Return the property that a name or a short form means.

    Example
    -------
    >>> find_property("cp").name
    'heat capacity'
    """
    wanted = " ".join(word.lower().replace("-", " ").split())
    for entry in PROPERTIES.values():
        if wanted == entry.name.lower() or wanted in entry.aliases:
            return entry
    raise UnknownNameError(word, PROPERTIES, "property")
