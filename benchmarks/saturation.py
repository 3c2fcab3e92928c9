"""Saturated water between 80 and 160 degC, for the steam vessel of the benchmark plant.

The stored table is made with CoolProp (equation of state of Wagner and Pruss, IAPWS-95)
by ``python -m benchmarks.saturation``; reading it needs no CoolProp.
"""

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

TABLE = Path(__file__).with_name("saturation.csv")
COLUMNS = (
    "temperature_K",
    "rho_liquid_kg_m3",
    "rho_steam_kg_m3",
    "u_liquid_J_kg",
    "u_steam_J_kg",
    "h_liquid_J_kg",
    "h_steam_J_kg",
)


class Saturation(NamedTuple):
    """Splines over the absolute temperature [K] of what the vessel needs, SI units."""

    density_liquid: CubicSpline
    density_steam: CubicSpline
    energy_liquid: CubicSpline
    energy_steam: CubicSpline
    enthalpy_liquid: CubicSpline
    enthalpy_steam: CubicSpline


class Vessel(NamedTuple):
    """A closed two-phase vessel as two tables over equal steps of its energy.

    Between two entries both are taken as straight; the step is so small that the
    error stays below 1 microkelvin.
    """

    first: float
    step: float
    temperature: NDArray[np.float64]
    steam_enthalpy: NDArray[np.float64]


def read_saturation() -> Saturation:
    """Return the splines through the stored table."""
    rows = np.loadtxt(TABLE, delimiter=",", skiprows=1)
    return Saturation(*(CubicSpline(rows[:, 0], rows[:, column]) for column in range(1, len(COLUMNS))))


def vessel_energy(
    water: Saturation, volume: float, mass: float, temperature: NDArray[np.float64] | float
) -> NDArray[np.float64]:
    """Return the energy [J] of `mass` [kg] of water and steam in `volume` [m3] at `temperature` [K].

    U = m (u_f + x (u_g - u_f)),  x = (V/m - 1/rho_f) / (1/rho_g - 1/rho_f)
    """
    liquid, steam = 1.0 / water.density_liquid(temperature), 1.0 / water.density_steam(temperature)
    quality = (volume / mass - liquid) / (steam - liquid)
    u_liquid, u_steam = water.energy_liquid(temperature), water.energy_steam(temperature)
    energy: NDArray[np.float64] = mass * (u_liquid + quality * (u_steam - u_liquid))
    return energy


def vessel_table(volume: float, mass: float, size: int = 8192) -> Vessel:
    """Return the temperature [K] and the steam enthalpy [J/kg] of a vessel over its energy [J]."""
    water = read_saturation()
    temperatures = np.linspace(355.0, 430.0, 1501)
    energies = vessel_energy(water, volume, mass, temperatures)
    grid = np.linspace(energies[0], energies[-1], size)
    temperature = CubicSpline(energies, temperatures)(grid)
    return Vessel(float(grid[0]), float(grid[1] - grid[0]), temperature, water.enthalpy_steam(temperature))


def make_table() -> None:
    """Write the stored table anew; this alone needs CoolProp."""
    from CoolProp.CoolProp import PropsSI

    lines = [",".join(COLUMNS)]
    for temperature in np.arange(80.0, 161.0) + 273.15:
        state = [
            PropsSI(name, "T", temperature, "Q", quality, "Water") for name in "DUH" for quality in (0, 1)
        ]
        lines.append(f"{temperature:.2f}," + ",".join(f"{value:.10g}" for value in state))
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    make_table()
