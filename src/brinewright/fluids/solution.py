"""Coolants: glycols, brines and other solutions in water, by concentration and temperature."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from brinewright.fluids.polynomial import series
from brinewright.fluids.tables import Vector

_WATER = 0.018015268
"""Molar mass of water [kg/mol]."""

_ICE_POINT = 273.15
_HEAT_OF_FUSION = 6009.5
_HEAT_CAPACITY_STEP = 38.0
"""Of melting ice at 0 degC [J/mol], [J/(mol K)]; any table of physical chemistry."""

_VOGEL = 140.0
"""At which the fluidity of water would vanish [K]."""

_GAS_CONSTANT = 8.314462618

_HEADER = 5
"""Coldest and hottest temperature [K], least and most share, and where the fit begins [K]."""
_ICE, _NX, _NY = 16, 6, 6
_BRANCH = 20.0
"""Spacing of the three points from which the continuation rule starts [K]."""

_MELINDER = "Melinder, Properties of Secondary Working Fluids for Indirect Systems, IIR, 2010"
_ASHRAE = "ASHRAE Handbook, Fundamentals, 2001, secondary coolants"


@dataclass(frozen=True)
class Solution:
    """One solute in water, and how its table reads."""

    name: str
    code: str
    aliases: tuple[str, ...]
    title: str
    molar_mass: float
    source: str = _MELINDER
    by_mass: bool = True
    boiling: str = "freezing"
    """"ideal": mole fractions; "freezing": water activity of the freezing point; "": volatile."""
    continued_to: float = 0.0
    most: float = 1.0
    """Largest share to trust, where the published fit goes astray before its stated end."""
    pure_density: float = 0.0
    """Of the solute at 20 degC, to turn a share by volume into one by mass [kg/m3]."""

    def _scaled(self, table: Vector, share: Any, temperature: Any) -> tuple[Any, Any]:
        coldest, hottest, least, most = table[:4]
        x = 2.0 * (temperature - coldest) / (hottest - coldest) - 1.0
        return x, (share - least) / (most - least)

    def series_freezing(self, table: Vector, share: float) -> float:
        """Return the freezing point [K]."""
        y = 2.0 * (share - table[2]) / (table[3] - table[2]) - 1.0
        return float(series(table, _HEADER, _ICE, 0, y, 0.0))

    def series_values(self, table: Vector, share: Any, temperature: Any) -> tuple[Any, ...]:
        """Return rho, c_p, mu and k [kg/m3], [J/(kg K)], [Pa s], [W/(m K)]."""
        x, y = self._scaled(table, share, temperature)
        start, size = _HEADER + _ICE + 1, (_NX + 1) * (_NY + 1)
        rho, cp, log_mu, log_k = (series(table, start + i * size, _NX, _NY, x, y) for i in range(4))
        return rho, cp, np.exp(log_mu), np.exp(log_k)

    def values(self, table: Vector, share: float, temperature: Any) -> tuple[Any, ...]:
        """Return rho, c_p, mu and k, continued by rule above the table [as `series_values`]."""
        hottest = float(table[1])
        temperature = np.asarray(temperature, dtype=np.float64)
        inside = self.series_values(table, share, np.minimum(temperature, hottest))
        if not np.any(temperature > hottest):
            return inside
        above = continued(
            lambda t: self.series_values(table, share, t), hottest, np.maximum(temperature, hottest)
        )
        return tuple(np.where(temperature > hottest, b, a) for a, b in zip(inside, above, strict=True))

    def water_activity(self, table: Vector, share: float) -> float:
        """Return vapour pressure over that of pure water [-].

        "ideal": the mole fraction of water (Raoult), the vapour of the solute neglected.
        "freezing": ln a = -(H/R)(1/T_f - 1/T_0) + (C/R)(T_0/T_f - 1 - ln(T_0/T_f)), the
        activity at the freezing point, taken to hold at every temperature.
        """
        if self.boiling == "ideal":
            mass = (
                share
                if self.by_mass
                else share * self.pure_density / (share * self.pure_density + (1.0 - share) * 998.2)
            )
            water = (1.0 - mass) / _WATER
            return water / (water + mass / self.molar_mass)
        frozen = self.series_freezing(table, share)
        ratio = _ICE_POINT / frozen
        fusion = _HEAT_OF_FUSION / _GAS_CONSTANT * (1.0 / frozen - 1.0 / _ICE_POINT)
        return math.exp(_HEAT_CAPACITY_STEP / _GAS_CONSTANT * (ratio - 1.0 - math.log(ratio)) - fusion)


def continued(values: Callable[[Any], tuple[Any, ...]], end: float, temperature: Any) -> tuple[Any, ...]:
    """Return rho, c_p, mu and k beyond the end of a table.

    rho, c_p and k follow the parabola in T through their last value and those 20 K and
    40 K before it; ln mu goes on linearly in 1/(T - 140 K) from the last two of these
    (Vogel, Phys. Z. 22 (1921) 645, with the constant of water).
    """
    places = end, end - _BRANCH, end - 2.0 * _BRANCH
    rows = [values(place) for place in places]
    rho, cp, k = (_parabola(places, [row[i] for row in rows], temperature) for i in (0, 1, 3))
    far, near = np.log(rows[0][2]), np.log(rows[1][2])
    steps = [1.0 / (place - _VOGEL) for place in (temperature, *places[:2])]
    mu = np.exp(far + (far - near) * (steps[0] - steps[1]) / (steps[1] - steps[2]))
    return rho, cp, mu, k


def _parabola(places: tuple[float, ...], values: list[Any], at: Any) -> Any:
    """Return the parabola through three points, in Newton's form."""
    first = (values[1] - values[0]) / (places[1] - places[0])
    second = ((values[2] - values[1]) / (places[2] - places[1]) - first) / (places[2] - places[0])
    return values[0] + (at - places[0]) * (first + (at - places[1]) * second)


def _solutions() -> Mapping[str, Solution]:
    glycols = (
        ("ethylene glycol", "monoethylene glycol", "meg"),
        ("propylene glycol", "monopropylene glycol", "mpg"),
    )
    listed = (
        Solution("ethylene glycol", "MEG", glycols[0], "ethylene glycol", 0.062068,
                 boiling="ideal", continued_to=423.15),
        Solution("propylene glycol", "MPG", glycols[1], "propylene glycol", 0.076094,
                 boiling="ideal", continued_to=423.15),
        Solution("ethylene glycol by volume", "AEG", glycols[0], "ethylene glycol", 0.062068, _ASHRAE,
                 by_mass=False, boiling="ideal", continued_to=423.15, pure_density=1113.0),
        Solution("propylene glycol by volume", "APG", glycols[1], "propylene glycol", 0.076094, _ASHRAE,
                 by_mass=False, boiling="ideal", continued_to=423.15, pure_density=1036.0),
        Solution("glycerol", "MGL", ("glycerol", "glycerine"), "glycerol", 0.092094, boiling="ideal"),
        Solution("methanol", "MMA", ("methanol", "methyl alcohol"), "methanol", 0.032042, boiling=""),
        Solution("ethanol", "MEA", ("ethanol", "ethyl alcohol"), "ethanol", 0.046068, boiling=""),
        Solution("ammonia", "MAM", ("ammonia", "nh3"), "ammonia water", 0.017031, boiling=""),
        Solution("sodium chloride", "MNA", ("sodium chloride", "nacl"), "sodium chloride brine", 0.058443),
        Solution("calcium chloride", "MCA", ("calcium chloride", "cacl2"), "calcium chloride brine",
                 0.110984),
        Solution("magnesium chloride", "MMG", ("magnesium chloride", "mgcl2"), "magnesium chloride brine",
                 0.095211, most=0.205),
        Solution("lithium chloride", "MLI", ("lithium chloride", "licl"), "lithium chloride brine", 0.042394),
        Solution("potassium formate", "MKF", ("potassium formate",), "potassium formate brine", 0.084116),
        Solution("potassium acetate", "MKA", ("potassium acetate",), "potassium acetate brine", 0.098142),
    )  # fmt: skip
    return MappingProxyType({solution.name: solution for solution in listed})


SOLUTIONS = _solutions()
