"""A coolant of one concentration, as a fluid that can be asked."""

import numpy as np

from brinewright.errors import InputError
from brinewright.fluids.fluid import Evaluation, Fluid, FluidRange, bar, celsius
from brinewright.fluids.properties import Property, find_property
from brinewright.fluids.solution import Solution
from brinewright.fluids.tables import Vector, coefficients, metadata, water_tables

VAPOUR_ERROR = 0.04
"""Stated error of the vapour pressure of a mixture, both rules, held by the tests [-]."""

_PARTS = {
    "specific volume": ("density",),
    "kinematic viscosity": ("viscosity", "density"),
    "Prandtl number": ("viscosity", "heat capacity", "conductivity"),
    "expansion coefficient": ("density",),
}
_RULES = {
    "ideal": "Raoult's rule on mole fractions, without the vapour of the solute; water of IAPWS R6-95(2018)",
    "freezing": "water activity of the freezing point; water of IAPWS R6-95(2018)",
}
_CONTINUED = "continued above {end}: parabola in T, viscosity after Vogel"
_RULE_END = 473.15
"""Highest temperature of the vapour pressure rules [K]."""
_NUDGE = 0.5
"""Half the temperature step of the expansion coefficient [K]."""


class SolutionFluid(Fluid):
    """One of `SOLUTIONS` at one concentration."""

    kind = "solution"

    def __init__(self, solution: Solution, share: float) -> None:
        basis = "" if solution.by_mass else " by volume"
        self.name = f"{solution.title} {round(100.0 * share, 4):g} %{basis}"
        self.source, self._solution, self.share = solution.source, solution, share
        self._table = coefficients("solutions", solution.name)
        _, hottest, least, most, floor = (float(entry) for entry in self._table[:5])
        if not least - 1e-9 <= share <= most + 1e-9:
            raise self.outside("concentration", f"{100 * share:g} %", f"{100 * least:g} to {100 * most:g} %")
        notes = metadata("solutions")["solutions"][solution.name]
        self._errors, self._continued = notes["errors"], notes.get("continued", notes["errors"])
        self.freezing = solution.series_freezing(self._table, share)
        self._end = hottest
        self.range = FluidRange(
            (max(self.freezing, floor), max(hottest, solution.continued_to)),
            (0.0, float("inf")),
            (least, most),
        )
        boiling = ("saturation pressure", "boiling point") if solution.boiling else ()
        self.properties = (
            "density", "specific volume", "heat capacity", "viscosity", "kinematic viscosity", "conductivity",
            "Prandtl number", "expansion coefficient", "freezing point", *boiling,
        )  # fmt: skip

    def _evaluate(self, entry: Property, T: float | None, p: float | None, x: float | None) -> Evaluation:
        if x is not None:
            raise InputError(f"{self.name} is a liquid here: leave the dryness out.")
        if entry.name == "freezing point":
            return Evaluation(self.freezing, "liquid", self.error(entry.name), self.source)
        if entry.name == "boiling point":
            self.demand(entry, pressure=p)
            assert p is not None
            return Evaluation(
                self.boiling_point(p), "liquid", self.error(entry.name), _RULES[self._solution.boiling]
            )
        self.demand(entry, temperature=T)
        assert T is not None
        if self.freezing > T:
            raise self.outside(
                "temperature", celsius(T), f"the liquid range: it freezes at {celsius(self.freezing)}"
            )
        if entry.name == "saturation pressure":
            self.check_temperature(T, self.freezing, _RULE_END)
            pressure = self.vapour_pressure(T)
            return Evaluation(pressure, "liquid", VAPOUR_ERROR, _RULES[self._solution.boiling])
        self.check_temperature(T, *self.range.temperature)
        if p is not None and self._solution.boiling and p < self.vapour_pressure(T):
            raise self.outside(
                "temperature", f"{celsius(T)} at {bar(p)}", "the liquid range: it boils there",
                _RULES[self._solution.boiling],
            )  # fmt: skip
        source = self.source
        if self._end < T:
            source += "; " + _CONTINUED.format(end=celsius(self._end))
        return Evaluation(
            self._property(entry.name, T), "liquid", self._error(entry.name, self._end < T), source
        )

    def _property(self, name: str, T: float) -> float:
        rho, cp, mu, k = (float(value) for value in self._solution.values(self._table, self.share, T))
        if name == "expansion coefficient":
            low, high = self.range.temperature
            low, high = max(T - _NUDGE, low), min(T + _NUDGE, high)
            ends = [float(self._solution.values(self._table, self.share, place)[0]) for place in (low, high)]
            return (ends[0] - ends[1]) / (high - low) / rho
        return {
            "density": rho, "specific volume": 1.0 / rho, "heat capacity": cp, "viscosity": mu,
            "kinematic viscosity": mu / rho, "conductivity": k, "Prandtl number": mu * cp / k,
        }[name]  # fmt: skip

    def _error(self, name: str, above: bool) -> float:
        if name == "freezing point":
            return float(self._errors[name])
        errors = self._continued if above else self._errors
        # a slope is worse than its table; what a rule misses of rho builds up over 50 K
        factor = 35.0 if name == "expansion coefficient" else 1.0
        return min(1.0, factor * float(sum(errors[part] for part in _PARTS.get(name, (name,)))))

    def error(self, name: str) -> float:
        """Return the largest stated relative error of a property [-]."""
        entry = find_property(name)
        self.require(entry)
        if entry.name == "saturation pressure":
            return VAPOUR_ERROR
        if entry.name == "boiling point":
            return VAPOUR_ERROR / 12.0  # d ln p / d ln T of water is above 12 up to 150 degC
        return self._error(entry.name, self.range.temperature[1] > self._end)

    def vapour_pressure(self, temperature: float) -> float:
        """Return the pressure at which the liquid boils [Pa]; the rule is in `source` of its evaluation."""
        from brinewright.fluids.saturation import saturation_pressure

        activity = self._solution.water_activity(self._table, self.share)
        return activity * float(saturation_pressure(water_tables(), max(temperature, 273.15))[0])

    def boiling_point(self, pressure: float) -> float:
        """Return the temperature at which the liquid boils [K]."""
        from brinewright.fluids.saturation import saturation_temperature

        activity = self._solution.water_activity(self._table, self.share)
        lowest = activity * 612.0
        self.check_pressure(pressure, lowest, activity * 1.0e7)
        return float(saturation_temperature(water_tables(), pressure / activity))

    def line(self, pressure: float) -> Vector:
        """Return rho, c_p, mu and k along an isobar; see `Fluid.line`."""
        from brinewright.fluids.line import CELLS, make_line

        low, high = self.range.temperature
        if self._solution.boiling:
            high = min(high, self.boiling_point(pressure))
        nodes = np.linspace(low, high, CELLS + 1)
        return make_line(low, high, np.stack(self._solution.values(self._table, self.share, nodes), axis=1))
