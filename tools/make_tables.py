"""Writes the property tables that ship with the package, and measures their errors.

Run by hand as `python -m tools.make_tables`.  Needs CoolProp, which the package itself
never imports.  Each table is fitted at Chebyshev points and judged at random ones; the
largest error found goes into its metadata and is what the program states.
"""

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import CoolProp.CoolProp as CoolProp
import numpy as np
from numpy.polynomial import chebyshev
from scipy.interpolate import CubicSpline

from brinewright.fluids import closures, layout, liquid, saturation, steam
from brinewright.fluids.gas import GASES
from brinewright.fluids.solution import SOLUTIONS, Solution, continued
from brinewright.fluids.tables import Vector

DATA = Path(__file__).parents[1] / "src" / "brinewright" / "fluids" / "data"
SEED = 20_011
POINTS = 4000
ENERGY_FLOOR, ENTROPY_FLOOR = 1.0e5, 300.0
"""Errors of h and u, and of s, are relative to the larger of the value and these [J/kg], [J/(kg K)]."""

CUT = 1e-13
"""Singular values cut off: smaller ones buy no accuracy and cost digits by cancellation [-]."""

BASE = "CoolProp " + CoolProp.get_global_param_string("version")
SOLUTION_NAMES = "density", "heat capacity", "viscosity", "conductivity"
Row = tuple[float, ...]


def basis(x: Vector, y: Vector, nx: int, ny: int, dx: int = 0, dy: int = 0) -> Vector:
    """Return the matrix of a series, or of its derivative, at the points (x, y)."""
    columns_x = [chebyshev.chebval(x, chebyshev.chebder(np.eye(nx + 1)[i], dx)) for i in range(nx + 1)]
    columns_y = [math.perm(j, dy) * y ** max(j - dy, 0) for j in range(ny + 1)]
    return np.stack([a * b for a in columns_x for b in columns_y], axis=1)


def solve(rows: list[tuple[Vector, Vector, float]]) -> Vector:
    """Return least-squares coefficients of stacked (matrix, values, weight) blocks."""
    matrix = np.concatenate([block * weight for block, _, weight in rows])
    values = np.concatenate([np.asarray(target) * weight for _, target, weight in rows])
    scale = np.linalg.norm(matrix, axis=0)
    scale[scale == 0.0] = 1.0
    found: Vector = np.linalg.lstsq(matrix / scale, values, rcond=CUT)[0] / scale
    return found


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


def fit_saturation(water: Water, W: Vector) -> None:
    steps = layout.SATURATION_STEP * np.arange(layout.SATURATION_CELLS + 1)
    nodes = layout.TRIPLE_TEMPERATURE + steps
    values = np.array([water.saturated(T) for T in nodes])
    spline = CubicSpline(nodes, values)
    block = spline.c[::-1].transpose(1, 2, 0)
    W[layout.SATURATION : layout.START] = block.ravel()
    logs = np.linspace(layout.LOWEST_LOG_PRESSURE, layout.HIGHEST_LOG_PRESSURE, layout.START_NODES)
    W[layout.START : layout.LIQUID] = np.interp(logs, np.log(values[:, 0]), nodes)


def fit_liquid(water: Water, W: Vector) -> None:
    rows = liquid_rows(water, points(90), points(20))
    low, high = layout.TRIPLE_TEMPERATURE, layout.HIGHEST_SATURATION
    dx, dy = 2.0 / (high - low), 2.0 / layout.HIGHEST_LIQUID_PRESSURE
    T, p, g, s, v, cp, v_T, v_p, mu, k, _ = rows.T
    x, y = (T - low) * dx - 1.0, p * dy - 1.0

    def part(i: int, j: int) -> Vector:
        return basis(x, y, layout.LIQUID_X, layout.LIQUID_Y, i, j) * dx**i * dy**j

    W[layout.LIQUID : layout.LIQUID_VISCOSITY] = solve([
        (part(0, 0), g, 1e-5), (part(1, 0), -s, 3e-3), (part(0, 1), v, 1e3),
        (part(2, 0), -cp / T, 0.01), (part(1, 1), v_T, 3e4), (part(0, 2), v_p, 1e11),
    ])  # fmt: skip
    flat = basis(x, y, layout.LIQUID_TRANSPORT_X, layout.LIQUID_TRANSPORT_Y)
    W[layout.LIQUID_VISCOSITY : layout.LIQUID_CONDUCTIVITY] = solve([(flat, np.log(mu), 1.0)])
    W[layout.LIQUID_CONDUCTIVITY : layout.IDEAL] = solve([(flat, np.log(k), 1.0)])


def fit_steam(water: Water, W: Vector) -> None:
    low, high = layout.TRIPLE_TEMPERATURE, layout.HIGHEST_TEMPERATURE
    T = low + (high - low) * points(60)
    dx = 2.0 / (high - low)
    a0, s0, cv0 = np.array([water.ideal(t) for t in T]).T
    x, flat = (T - low) * dx - 1.0, np.zeros_like(T)
    parts = [basis(x, flat, layout.IDEAL_X, 0, i) * dx**i for i in range(3)]
    blocks = [(parts[0], a0, 1e-5), (parts[1], -s0, 3e-3), (parts[2], -cv0 / T, 0.3)]
    W[layout.IDEAL : layout.STEAM] = solve(blocks)

    T, rho, phi, d, t, tt, dd, mu, k = steam_rows(water, points(100), points(24)).T[:9]
    slope = 2.0 / (1.0 / low - 1.0 / high)
    x, y = (1.0 / T - 0.5 * (1.0 / low + 1.0 / high)) * slope, rho / layout.DENSITY_SCALE
    flat = basis(x, y, layout.STEAM_TRANSPORT_X, layout.STEAM_TRANSPORT_Y)
    W[layout.STEAM_VISCOSITY : layout.STEAM_CONDUCTIVITY] = solve([(flat, np.log(mu), 1.0)])
    W[layout.STEAM_CONDUCTIVITY : layout.LENGTH] = solve([(flat, np.log(k), 1.0)])

    lift = layout.DENSITY_LIFT
    y = y * np.exp(lift * (x + layout.DENSITY_LEVEL))
    across, lever = y[:, None], (slope / T)[:, None]

    def part(i: int, j: int) -> Vector:
        matrix: Vector = basis(x, y, layout.STEAM_X, layout.STEAM_Y, i, j) * across**j
        matrix[:, :: layout.STEAM_Y + 1] = 0.0  # an ideal gas where the density vanishes
        return matrix

    f, f_y, f_yy = part(0, 0), part(0, 1), part(0, 2)
    f_t = part(1, 0) + lift * f_y
    f_tt = part(2, 0) + 2.0 * lift * part(1, 1) + lift**2 * (f_y + f_yy)
    blocks = [
        (f, phi, 1.0),
        (f_y, d, 1.0),
        (f_t * lever, t, 1.0),
        (f_tt * lever**2, tt, 0.3),
        (f_yy, dd, 0.3),
    ]
    coefficients = solve(blocks)
    coefficients[:: layout.STEAM_Y + 1] = 0.0
    W[layout.STEAM : layout.STEAM_VISCOSITY] = coefficients


class Worst:
    """The largest error seen, by name."""

    def __init__(self) -> None:
        self.errors: dict[str, float] = {}

    def see(self, name: str, got: float, wanted: float, floor: float = 0.0) -> None:
        error = abs(got - wanted) / max(abs(wanted), floor) if floor >= 0.0 else abs(got - wanted)
        self.errors[name] = max(self.errors.get(name, 0.0), error)


def measure_water(water: Water, W: Vector) -> dict[str, dict[str, float]]:
    """Return the largest errors at random points, by region and property."""
    random = np.random.default_rng(SEED)
    line, dense, thin, dome = Worst(), Worst(), Worst(), Worst()
    for T in random.uniform(layout.TRIPLE_TEMPERATURE, layout.HIGHEST_SATURATION, POINTS):
        p, vf, vg, uf, ug, sf, sg = water.saturated(T)
        got = saturation.saturation_line(W, T)
        line.see("saturation pressure", got[0], p)
        line.see("boiling point", saturation.saturation_temperature(W, p), T)
        line.see("density", 1.0 / got[1], 1.0 / vf)
        line.see("density", 1.0 / got[2], 1.0 / vg)
        for index, wanted in ((3, uf), (4, ug)):
            line.see("internal energy", got[index], wanted, ENERGY_FLOOR)
        for index, wanted in ((5, uf + p * vf), (6, ug + p * vg)):
            line.see("enthalpy", got[index], wanted, ENERGY_FLOOR)
        for index, wanted in ((7, sf), (8, sg)):
            line.see("entropy", got[index], wanted, ENTROPY_FLOOR)
        x = random.uniform()
        v, u = vf + x * (vg - vf), uf + x * (ug - uf)
        state = closures.vessel_state(W, v, u, random.uniform(280.0, 580.0))
        dome.see("temperature [K]", state[0], T, -1.0)
        dome.see("pressure", state[1], p)
        dome.see("dryness [-]", state[2], x, -1.0)
    for row in liquid_rows(water, random.uniform(size=POINTS // 16), random.uniform(size=16)):
        T, p, g, s, v, cp, _, _, mu, k, u = row
        rho, got_u, got_h, got_s, got_cp = liquid.liquid_state(W, T, p)
        got_mu, got_k = liquid.liquid_transport(W, T, p)
        see_state(dense, (rho, got_u, got_h, got_s, got_cp, got_mu, got_k),
                  (1.0 / v, u, g + T * s, s, cp, mu, k))  # fmt: skip
        state = closures.vessel_state(W, v, u, T + random.uniform(-20.0, 20.0))
        dense.see("temperature from v and u [K]", state[0], T, -1.0)
        dense.see("pressure from v and u [Pa]", state[1], p, -1.0)
    for row in steam_rows(water, random.uniform(size=POINTS // 16), random.uniform(size=16)):
        T, rho = row[:2]
        mu, k, p, u, s, cp = row[7:]
        if p > layout.HIGHEST_PRESSURE:
            continue
        got_rho, got_u, got_h, got_s, got_cp = steam.steam_state(W, T, p)
        got_mu, got_k = steam.steam_transport(W, T, rho)
        see_state(
            thin, (got_rho, got_u, got_h, got_s, got_cp, got_mu, got_k), (rho, u, u + p / rho, s, cp, mu, k)
        )
        state = closures.vessel_state(W, 1.0 / rho, u, T + random.uniform(-20.0, 20.0))
        thin.see("temperature from v and u [K]", state[0], T, -1.0)
        thin.see("pressure from v and u", state[1], p)
    return {"saturation": line.errors, "two-phase": dome.errors, "liquid": dense.errors, "steam": thin.errors}


def see_state(worst: Worst, got: Row, wanted: Row) -> None:
    names = "density", "internal energy", "enthalpy", "entropy", "heat capacity", "viscosity", "conductivity"
    floors = 0.0, ENERGY_FLOOR, ENERGY_FLOOR, ENTROPY_FLOOR, 0.0, 0.0, 0.0
    for name, a, b, floor in zip(names, got, wanted, floors, strict=True):
        worst.see(name, a, b, floor)


def make_water() -> tuple[dict[str, Vector], dict[str, Any]]:
    water, W = Water(), np.zeros(layout.LENGTH)
    W[0] = layout.VERSION
    fit_saturation(water, W)
    fit_liquid(water, W)
    fit_steam(water, W)
    pressures = np.linspace(1e5, layout.HIGHEST_LIQUID_PRESSURE, 40)
    melting = [water.state.melting_line(CoolProp.iT, CoolProp.iP, p) for p in pressures]
    ice = np.polynomial.Polynomial.fit(pressures, melting, 3).convert().coef.tolist()
    notes = {"base": BASE, "points": POINTS, "errors": measure_water(water, W), "melting": Exact(ice)}
    return {"vector": W}, notes


def fit(group: Callable[..., Row], places: Vector, x: Vector, y: Vector, nx: int, ny: int) -> list[Vector]:
    """Return one series for each value that `group` gives at the places."""
    values = np.array([group(*place) for place in places])
    return [solve([(basis(x, y, nx, ny), column, 1.0)]) for column in values.T]


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


def make_solutions(W: Vector) -> tuple[dict[str, Vector], dict[str, Any]]:
    arrays: dict[str, Vector] = {}
    notes: dict[str, Any] = {}
    random = np.random.default_rng(SEED)
    for solution in SOLUTIONS.values():
        brine = Brine(solution)
        least, most, floor, hottest = brine.least, brine.most, brine.floor, brine.hottest
        shares = least + (most - least) * points(41)
        frozen = np.array([brine.freezing(share) for share in shares])
        coldest = float(np.maximum(frozen, floor).min())
        flat = basis(2.0 * (shares - least) / (most - least) - 1.0, 0.0 * shares, 16, 0)
        starts = [brine.start(share) for share in shares]
        grid = [
            (share, start + (hottest - start) * place)
            for share, start in zip(shares, starts, strict=True)
            for place in points(21)
        ]
        places = np.array(grid)
        x = 2.0 * (places[:, 1] - coldest) / (hottest - coldest) - 1.0
        y = (places[:, 0] - least) / (most - least)
        blocks = fit(brine.values, places, x, y, 6, 6)
        ice = solve([(flat, frozen, 1.0)])
        arrays[solution.name] = np.concatenate([[coldest, hottest, least, most, floor], ice, *blocks])
        worst = Worst()
        for _ in range(POINTS):
            share = random.uniform(least, most)
            freeze = brine.freezing(share)
            T = random.uniform(brine.start(share), hottest)
            worst.see("freezing point", solution.series_freezing(arrays[solution.name], share), freeze)
            rho, cp, log_mu, log_k = brine.values(share, T)
            got = solution.series_values(arrays[solution.name], share, T)
            for name, a, b in zip(
                SOLUTION_NAMES, got, (rho, cp, math.exp(log_mu), math.exp(log_k)), strict=True
            ):
                worst.see(name, a, b)
        notes[solution.name] = {"errors": worst.errors}
        if solution.continued_to > hottest:
            notes[solution.name]["continued"] = hindcast(arrays[solution.name], solution, W, random)
    return arrays, {"base": BASE, "points": POINTS, "solutions": notes}


def hindcast(table: Vector, solution: Solution, W: Vector, random: np.random.Generator) -> dict[str, float]:
    """Return what the continuation rule misses where the truth is known.

    That is: begun 50 K below the end of the table, and for pure water begun at 100 degC.
    """

    def water(T: float) -> Row:
        p = saturation.saturation_pressure(W, T)[0]
        rho, _, _, _, cp = liquid.liquid_state(W, T, p)
        return rho, cp, *liquid.liquid_transport(W, T, p)

    worst = Worst()
    for _ in range(POINTS // 2):
        share, T = random.uniform(table[2], table[3]), random.uniform(table[1] - 50.0, table[1])
        cases = (
            (lambda t, s=share: solution.series_values(table, s, t), table[1] - 50.0, T),
            (water, table[1], T + 50.0),
        )
        for values, end, at in cases:
            got, wanted = continued(values, end, at), values(at)
            for name, a, b in zip(SOLUTION_NAMES, got, wanted, strict=True):
                worst.see(name, a, b)
    return worst.errors


def make_gases() -> tuple[dict[str, Vector], dict[str, Any]]:
    arrays: dict[str, Vector] = {}
    notes: dict[str, Any] = {}
    random = np.random.default_rng(SEED)
    for gas in GASES.values():
        state = CoolProp.AbstractState("HEOS", gas.code)
        state.specify_phase(CoolProp.iphase_gas)
        R = state.gas_constant() / state.molar_mass()

        def values(T: float, p: float, state: Any = state, R: float = R) -> Row:
            state.update(CoolProp.PT_INPUTS, p, T)
            factor = p / (state.rhomass() * R * T)
            return (
                factor,
                state.cpmass(),
                state.cvmass(),
                math.log(state.viscosity()),
                math.log(state.conductivity()),
            )

        inverse = 1.0 / gas.highest + (1.0 / gas.coldest - 1.0 / gas.highest) * points(40)
        pressures = gas.thinnest + (gas.densest - gas.thinnest) * points(16)
        places = np.array([(1.0 / one, p) for one in inverse for p in pressures])
        x, y = gas.scaled(places[:, 0], places[:, 1])
        blocks = fit(values, places, x, y, gas.nx, gas.ny)
        arrays[gas.name] = np.concatenate([[R], *blocks])
        worst = Worst()
        for T, p in zip(random.uniform(gas.coldest, gas.highest, POINTS),
                        random.uniform(gas.thinnest, gas.densest, POINTS), strict=True):  # fmt: skip
            factor, cp, cv, log_mu, log_k = values(T, p)
            got = gas.series_values(arrays[gas.name], T, p)
            names = (
                "density",
                "heat capacity",
                "heat capacity at constant volume",
                "viscosity",
                "conductivity",
            )
            wanted = (p / (factor * R * T), cp, cv, math.exp(log_mu), math.exp(log_k))
            for name, a, b in zip(names, got, wanted, strict=True):
                worst.see(name, a, b)
        notes[gas.name] = {"errors": worst.errors}
    return arrays, {"base": BASE, "points": POINTS, "gases": notes}


class Exact(list[float]):
    """Numbers that are data, not errors."""


def rounded_up(value: Any) -> Any:
    """Return errors with two digits, rounded up, so that what is stated holds."""
    if isinstance(value, dict):
        return {key: rounded_up(item) for key, item in value.items()}
    if not isinstance(value, float):
        return value
    value = max(value, 1e-9)
    unit = 10.0 ** (math.floor(math.log10(value)) - 1)
    return float(f"{math.ceil(value * 1.1 / unit) * unit:.1e}")


def main() -> None:
    DATA.mkdir(exist_ok=True)
    water = make_water()
    made = {"water": water, "solutions": make_solutions(water[0]["vector"]), "gases": make_gases()}
    for name, (arrays, notes) in made.items():
        text = json.dumps(rounded_up(notes), indent=1, sort_keys=True)
        with (DATA / f"{name}.npz").open("wb") as stream:
            np.savez_compressed(stream, allow_pickle=False, metadata=np.array(text), **arrays)
        print(name, (DATA / f"{name}.npz").stat().st_size, "bytes")
        print(text)


if __name__ == "__main__":
    main()
