"""How far the shipped tables stray from what they were made of, at random points."""

import math
from typing import Any

import numpy as np

from brinewright.fluids import closures, layout, liquid, saturation, steam
from brinewright.fluids.solution import Solution, continued
from brinewright.fluids.tables import Vector
from tools.table_sources import Row, Water, liquid_rows, steam_rows

SEED = 20_011
POINTS = 4000
ENERGY_FLOOR, ENTROPY_FLOOR = 1.0e5, 300.0
"""Errors of h and u, and of s, are relative to the larger of the value and these [J/kg], [J/(kg K)]."""

SOLUTION_NAMES = "density", "heat capacity", "viscosity", "conductivity"


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
