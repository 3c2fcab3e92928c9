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

from brinewright.fluids import layout
from brinewright.fluids.gas import GASES
from brinewright.fluids.solution import SOLUTIONS
from brinewright.fluids.tables import Vector
from tools.table_errors import POINTS, SEED, SOLUTION_NAMES, Exact, Worst, hindcast, measure_water, rounded_up
from tools.table_sources import BASE, Brine, Row, Water, liquid_rows, points, steam_rows

DATA = Path(__file__).parents[1] / "src" / "brinewright" / "fluids" / "data"
CUT = 1e-13
"""Singular values cut off: smaller ones buy no accuracy and cost digits by cancellation [-]."""


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
