"""The published formulations behind the shipped tables, at chosen points, by way of CoolProp."""

import math

import CoolProp.CoolProp as CoolProp
import numpy as np

from brinewright.fluids import layout
from brinewright.fluids.solution import Solution
from brinewright.fluids.tables import Vector

BASE = "CoolProp " + CoolProp.get_global_param_string("version")
Row = tuple[float, ...]


def points(count: int) -> Vector:
    """Return Chebyshev points of 0 to 1, both ends included."""
    return 0.5 - 0.5 * np.cos(np.pi * np.arange(count) / (count - 1))


class Water:
    """IAPWS-95 at chosen points."""

    def __init__(self) -> None:
        self.state = CoolProp.AbstractState("HEOS", "Water")

    def saturated(self, temperature: float) -> Row:
        """Return p, v_f, v_g, u_f, u_g, s_f, s_g."""
        self.state.unspecify_phase()
        self.state.update(CoolProp.QT_INPUTS, 0.0, temperature)
        f = self.state.p(), 1.0 / self.state.rhomass(), self.state.umass(), self.state.smass()
        self.state.update(CoolProp.QT_INPUTS, 1.0, temperature)
        g = 1.0 / self.state.rhomass(), self.state.umass(), self.state.smass()
        return f[0], f[1], g[0], f[2], g[1], f[3], g[2]

    def liquid(self, temperature: float, pressure: float) -> Row:
        """Return T, p, g, s, v, c_p, v_T, v_p, mu, k, u."""
        s = self.state
        s.specify_phase(CoolProp.iphase_liquid)
        s.update(CoolProp.PT_INPUTS, pressure, temperature)
        v = 1.0 / s.rhomass()
        row = (s.gibbsmass(), s.smass(), v, s.cpmass(), v * s.isobaric_expansion_coefficient(),
               -v * s.isothermal_compressibility(), s.viscosity(), s.conductivity(), s.umass())  # fmt: skip
        return temperature, pressure, *row

    def steam(self, temperature: float, density: float) -> Row:
        """Return T, rho, phi, delta phi_delta, tau phi_tau, tau2 phi_tautau, delta2 phi_deltadelta, ..."""
        s = self.state
        s.specify_phase(CoolProp.iphase_gas)
        s.update(CoolProp.DmassT_INPUTS, density, temperature)
        row = (s.alphar(), s.dalphar_dDelta() * s.delta(), s.dalphar_dTau() * s.tau(),
               s.d2alphar_dTau2() * s.tau() ** 2, s.d2alphar_dDelta2() * s.delta() ** 2,
               s.viscosity(), s.conductivity(), s.p(), s.umass(), s.smass(), s.cpmass())  # fmt: skip
        return temperature, density, *row

    def ideal(self, temperature: float) -> Row:
        """Return a0, s0 and cv0 of the ideal gas at 1 kg/m3."""
        self.state.specify_phase(CoolProp.iphase_gas)
        self.state.update(CoolProp.DmassT_INPUTS, 1.0, temperature)
        tau, R = self.state.tau(), layout.GAS_CONSTANT
        residual_u = R * temperature * self.state.dalphar_dTau() * tau
        residual_s = R * (self.state.dalphar_dTau() * tau - self.state.alphar())
        residual_cv = -R * self.state.d2alphar_dTau2() * tau**2
        u0, s0 = self.state.umass() - residual_u, self.state.smass() - residual_s
        return u0 - temperature * s0, s0, self.state.cvmass() - residual_cv


def liquid_rows(water: Water, x: Vector, y: Vector) -> Vector:
    low, high = layout.TRIPLE_TEMPERATURE, layout.HIGHEST_SATURATION
    rows = []
    for place in x:
        temperature = low + (high - low) * place
        least = water.saturated(temperature)[0]
        for share in y:
            pressure = least + (layout.HIGHEST_LIQUID_PRESSURE - least) * share
            rows.append(water.liquid(temperature, pressure))
    return np.array(rows)


def steam_rows(water: Water, x: Vector, y: Vector) -> Vector:
    low, high = 1.0 / layout.HIGHEST_TEMPERATURE, 1.0 / layout.TRIPLE_TEMPERATURE
    rows = []
    for place in x:
        temperature = 1.0 / (low + (high - low) * place)
        top = 1.0 / water.saturated(min(temperature, layout.HIGHEST_SATURATION))[2]
        rows += [water.steam(temperature, top * max(share, 1e-4)) for share in y]
    return np.array(rows)


class Brine:
    """A published fit of a solution at chosen shares and temperatures."""

    def __init__(self, solution: Solution) -> None:
        self.state = CoolProp.AbstractState("INCOMP", solution.code)
        self.mix = self.state.set_mass_fractions if solution.by_mass else self.state.set_volu_fractions
        self.least = float(self.state.keyed_output(CoolProp.ifraction_min))
        self.most = min(float(self.state.keyed_output(CoolProp.ifraction_max)), solution.most)
        # some fits end before their liquid freezes
        self.floor, self.hottest = float(self.state.Tmin()), float(self.state.Tmax())

    def freezing(self, share: float) -> float:
        self.mix([share])
        return float(self.state.keyed_output(CoolProp.iT_freeze))

    def start(self, share: float) -> float:
        """Return the lowest temperature at which the fit answers."""
        return max(self.freezing(share) + 0.01, self.floor)

    def values(self, share: float, temperature: float) -> Row:
        """Return rho, c_p, ln mu and ln k."""
        self.mix([share])
        self.state.update(CoolProp.PT_INPUTS, 60e5, temperature)
        mu, k = self.state.viscosity(), self.state.conductivity()
        return self.state.rhomass(), self.state.cpmass(), math.log(mu), math.log(k)
