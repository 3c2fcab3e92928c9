"""Water and steam, as a fluid that can be asked."""

import math
from typing import ClassVar

import numpy as np

from brinewright.errors import InputError
from brinewright.fluids import layout
from brinewright.fluids.fluid import Evaluation, Fluid, FluidRange, bar, celsius
from brinewright.fluids.liquid import liquid_derivatives, liquid_state, liquid_transport
from brinewright.fluids.properties import Property, find_property
from brinewright.fluids.saturation import saturation_line, saturation_pressure, saturation_temperature
from brinewright.fluids.steam import steam_derivatives, steam_state, steam_transport
from brinewright.fluids.surface_tension import surface_tension
from brinewright.fluids.tables import Vector, metadata, water_tables

_PARTS = {
    "specific volume": ("density",),
    "kinematic viscosity": ("viscosity", "density"),
    "Prandtl number": ("viscosity", "heat capacity", "conductivity"),
    "heat capacity at constant volume": ("heat capacity", "heat capacity"),
    "enthalpy of evaporation": ("enthalpy",),
}
_EXACT = {
    "surface tension": 1e-9,
    "freezing point": 1e-6,
    "expansion coefficient": 1e-3,
    "speed of sound": 1e-3,
}
"""Evaluated by formula, or a derivative of the table [-]."""

_SOURCES = {
    "viscosity": "IAPWS R12-08(2008)",
    "kinematic viscosity": "IAPWS R12-08(2008)",
    "conductivity": "IAPWS R15-11(2011)",
    "Prandtl number": "IAPWS R6-95(2018), R12-08(2008), R15-11(2011)",
    "surface tension": "IAPWS R1-76(2014)",
    "freezing point": "IAPWS R14-08(2011)",
}
"""Of what does not come from IAPWS R6-95(2018) alone."""

_MIXED = "density", "specific volume", "internal energy", "enthalpy", "entropy"
_LOWEST_PRESSURE = 611.2
_LEAST_STEAM_PRESSURE = 1.0


class WaterFluid(Fluid):
    """Liquid, two-phase and superheated."""

    name, kind = "water", "water"
    source = "IAPWS R6-95(2018), R12-08(2008), R15-11(2011), R1-76(2014), R14-08(2011)"
    range = FluidRange(
        (layout.LOWEST_TEMPERATURE, layout.HIGHEST_TEMPERATURE),
        (_LEAST_STEAM_PRESSURE, layout.HIGHEST_LIQUID_PRESSURE),
    )
    properties = (
        *_MIXED, "heat capacity", "heat capacity at constant volume", "viscosity", "kinematic viscosity",
        "conductivity", "Prandtl number", "expansion coefficient", "speed of sound", "surface tension",
        "saturation pressure", "boiling point", "enthalpy of evaporation", "freezing point",
    )  # fmt: skip
    _saturation: ClassVar = {
        "saturation pressure",
        "boiling point",
        "surface tension",
        "enthalpy of evaporation",
    }

    def __init__(self) -> None:
        self._errors = metadata("water")["errors"]
        self._melting = metadata("water")["melting"]

    def _evaluate(self, entry: Property, T: float | None, p: float | None, x: float | None) -> Evaluation:
        if entry.name == "freezing point":
            return self._freezing(p)
        if entry.name in self._saturation:
            return self._saturated(entry, T, p)
        if x is not None:
            return self._two_phase(entry, T, p, x)
        if T is None or p is None:
            raise InputError(
                f"The {entry.name} of water needs a temperature and a pressure, "
                "or one of these and a dryness (0 liquid, 1 steam)."
            )
        self.check_temperature(T, *self.range.temperature)
        boils = float(saturation_pressure(water_tables(), T)[0])
        if T > layout.HIGHEST_SATURATION or p < boils * (1.0 - 1e-7):
            self.check_pressure(p, _LEAST_STEAM_PRESSURE, layout.HIGHEST_PRESSURE)
            return self._steam(entry.name, T, p)
        if p <= boils * (1.0 + 1e-7):
            raise InputError(
                f"Water at {celsius(T)} and {bar(p)} is on the boiling line: "
                "give a dryness in place of one of them."
            )
        self.check_pressure(p, _LOWEST_PRESSURE, layout.HIGHEST_LIQUID_PRESSURE)
        return self._liquid(entry.name, T, p)

    def _freezing(self, p: float | None) -> Evaluation:
        p = 101325.0 if p is None else p
        self.check_pressure(p, _LOWEST_PRESSURE, layout.HIGHEST_LIQUID_PRESSURE)
        melting = sum(c * p**i for i, c in enumerate(self._melting))
        return Evaluation(float(melting), "liquid", _EXACT["freezing point"], _source("freezing point"))

    def _boiling_state(self, entry: Property, T: float | None, p: float | None) -> float:
        if (T is None) == (p is None):
            raise InputError(f"The {entry.name} of water needs a temperature or a pressure, not both.")
        if T is not None:
            self.check_temperature(T, layout.LOWEST_TEMPERATURE, layout.HIGHEST_SATURATION)
            return T
        assert p is not None
        self.check_pressure(p, _LOWEST_PRESSURE, layout.HIGHEST_PRESSURE)
        return float(saturation_temperature(water_tables(), p))

    def _saturated(self, entry: Property, T: float | None, p: float | None) -> Evaluation:
        if entry.name == "saturation pressure":
            self.demand(entry, temperature=T)
            p = None
        elif entry.name == "boiling point":
            self.demand(entry, pressure=p)
            T = None
        at = self._boiling_state(entry, T, p)
        line = saturation_line(water_tables(), at)
        value = {
            "saturation pressure": line[0], "boiling point": at, "surface tension": surface_tension(at),
            "enthalpy of evaporation": line[6] - line[5],
        }[entry.name]  # fmt: skip
        return Evaluation(
            float(value), "two-phase", self._error(entry.name, "saturation"), _source(entry.name)
        )

    def _two_phase(self, entry: Property, T: float | None, p: float | None, x: float) -> Evaluation:
        if not 0.0 <= x <= 1.0:
            raise InputError(f"A dryness lies between 0 (liquid) and 1 (steam), not at {x:g}.")
        at = self._boiling_state(entry, T, p)
        pressure, vf, vg, uf, ug, hf, hg, sf, sg = saturation_line(water_tables(), at)
        if entry.name in _MIXED:
            v = vf + x * (vg - vf)
            value = {
                "density": 1.0 / v, "specific volume": v, "internal energy": uf + x * (ug - uf),
                "enthalpy": hf + x * (hg - hf), "entropy": sf + x * (sg - sf),
            }[entry.name]  # fmt: skip
            return Evaluation(
                float(value), "two-phase", self._error(entry.name, "saturation"), _source(entry.name)
            )
        if x == 0.0:
            return self._liquid(entry.name, at, float(pressure))
        if x == 1.0:
            return self._steam(entry.name, at, float(pressure))
        raise InputError(
            f"The {entry.name} of a mixture of water and steam is not defined: ask at dryness 0 or 1."
        )

    def _liquid(self, name: str, T: float, p: float) -> Evaluation:
        W = water_tables()
        rho, u, h, s, cp = liquid_state(W, T, p)
        mu, k = liquid_transport(W, T, p)
        v, _, _, _, v_T, v_p, _ = liquid_derivatives(W, T, p)
        sound = v / math.sqrt(-v_p - T * v_T * v_T / cp)
        value = _single_phase(name, rho, u, h, s, cp, cp + T * v_T * v_T / v_p, mu, k, v_T * rho, sound)
        return Evaluation(value, "liquid", self._error(name, "liquid"), _source(name))

    def _steam(self, name: str, T: float, p: float) -> Evaluation:
        W = water_tables()
        rho, u, h, s, cp = steam_state(W, T, p)
        mu, k = steam_transport(W, T, rho)
        _, _, _, cv, p_T, p_rho = steam_derivatives(W, T, rho)
        sound = math.sqrt(p_rho + T * p_T * p_T / (rho * rho * cv))
        value = _single_phase(name, rho, u, h, s, cp, cv, mu, k, p_T / (rho * p_rho), sound)
        return Evaluation(value, "steam", self._error(name, "steam"), _source(name))

    def _error(self, name: str, region: str) -> float:
        if name in _EXACT:
            return _EXACT[name]
        return float(sum(self._errors[region][part] for part in _PARTS.get(name, (name,))))

    def error(self, name: str) -> float:
        """Return the largest stated relative error of a property [-]."""
        entry = find_property(name)
        self.require(entry)
        regions = ("saturation",) if entry.name in self._saturation else ("liquid", "steam")
        return max(self._error(entry.name, region) for region in regions)

    def line(self, pressure: float) -> Vector:
        """Return rho, c_p, mu and k along an isobar; see `Fluid.line`."""
        from brinewright.fluids.line import CELLS, make_line

        self.check_pressure(pressure, _LOWEST_PRESSURE, layout.HIGHEST_LIQUID_PRESSURE)
        W = water_tables()
        low, high = layout.LOWEST_TEMPERATURE, float(saturation_temperature(W, pressure))
        rows = []
        for T in np.linspace(low, high, CELLS + 1):
            rho, _, _, _, cp = liquid_state(W, T, pressure)
            rows.append((rho, cp, *liquid_transport(W, T, pressure)))
        return make_line(low, high, np.array(rows))


def _source(name: str) -> str:
    return _SOURCES.get(name, "IAPWS R6-95(2018)")


def _single_phase(
    name: str,
    rho: float,
    u: float,
    h: float,
    s: float,
    cp: float,
    cv: float,
    mu: float,
    k: float,
    beta: float,
    sound: float,
) -> float:
    return float({
        "density": rho, "specific volume": 1.0 / rho, "internal energy": u, "enthalpy": h, "entropy": s,
        "heat capacity": cp, "heat capacity at constant volume": cv, "viscosity": mu,
        "kinematic viscosity": mu / rho, "conductivity": k, "Prandtl number": mu * cp / k,
        "expansion coefficient": beta, "speed of sound": sound,
    }[name])  # fmt: skip
