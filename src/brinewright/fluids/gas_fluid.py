"""A gas in an enclosure, as a fluid that can be asked."""

import numpy as np

from brinewright.errors import InputError
from brinewright.fluids.fluid import Evaluation, Fluid, FluidRange
from brinewright.fluids.gas import Gas
from brinewright.fluids.properties import Property, find_property
from brinewright.fluids.tables import Vector, coefficients, metadata

_PARTS = {
    "specific volume": ("density",),
    "kinematic viscosity": ("viscosity", "density"),
    "Prandtl number": ("viscosity", "heat capacity", "conductivity"),
    "expansion coefficient": ("density",),
}
_NUDGE = 0.5
"""Half the temperature step of the expansion coefficient [K]."""


class GasFluid(Fluid):
    """One of `GASES`."""

    kind = "gas"
    properties = (
        "density", "specific volume", "heat capacity", "heat capacity at constant volume", "viscosity",
        "kinematic viscosity", "conductivity", "Prandtl number", "expansion coefficient",
    )  # fmt: skip

    def __init__(self, gas: Gas) -> None:
        self.name, self.source, self._gas = gas.name, gas.source, gas
        self.range = FluidRange((gas.coldest, gas.highest), (gas.thinnest, gas.densest))
        self._table = coefficients("gases", gas.name)
        self._errors = metadata("gases")["gases"][gas.name]["errors"]

    def _evaluate(self, entry: Property, T: float | None, p: float | None, x: float | None) -> Evaluation:
        self.demand(entry, temperature=T, pressure=p)
        if x is not None:
            raise InputError(f"{self.name} is a gas here: leave the dryness out.")
        assert T is not None
        assert p is not None
        self.check_temperature(T, *self.range.temperature)
        self.check_pressure(p, *self.range.pressure)
        rho, cp, cv, mu, k = self._gas.series_values(self._table, T, p)
        if entry.name == "expansion coefficient":
            low, high = max(T - _NUDGE, self._gas.coldest), min(T + _NUDGE, self._gas.highest)
            thick, thin = (self._gas.series_values(self._table, place, p)[0] for place in (low, high))
            result = (thick - thin) / (high - low) / rho
        else:
            result = {
                "density": rho, "specific volume": 1.0 / rho, "heat capacity": cp,
                "heat capacity at constant volume": cv, "viscosity": mu, "kinematic viscosity": mu / rho,
                "conductivity": k, "Prandtl number": mu * cp / k,
            }[entry.name]  # fmt: skip
        return Evaluation(float(result), "gas", self.error(entry.name), self.source)

    def error(self, name: str) -> float:
        """Return the largest stated relative error of a property [-]."""
        entry = find_property(name)
        self.require(entry)
        # a derivative of a table is about a hundred times worse than the table
        factor = 100.0 if entry.name == "expansion coefficient" else 1.0
        return factor * float(sum(self._errors[part] for part in _PARTS.get(entry.name, (entry.name,))))

    def line(self, pressure: float) -> Vector:
        """Return rho, c_p, mu and k along an isobar; see `Fluid.line`."""
        from brinewright.fluids.line import CELLS, make_line

        self.check_pressure(pressure, *self.range.pressure)
        low, high = self.range.temperature
        nodes = np.linspace(low, high, CELLS + 1)
        rho, cp, _, mu, k = self._gas.series_values(self._table, nodes, np.full_like(nodes, pressure))
        return make_line(low, high, np.stack([rho, cp, mu, k], axis=1))
