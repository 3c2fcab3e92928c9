"""Enclosure gases: density, heat capacities, viscosity and conductivity over T and p."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from brinewright.fluids.polynomial import series
from brinewright.fluids.tables import Vector


@dataclass(frozen=True)
class Gas:
    """One gas, its range [K], [Pa] and the formulations behind its table."""

    name: str
    code: str
    aliases: tuple[str, ...]
    source: str
    coldest: float = 200.0
    highest: float = 600.0
    thinnest: float = 1.0e4
    densest: float = 2.0e6
    nx: int = 12
    ny: int = 4

    def scaled(self, temperature: Any, pressure: Any) -> tuple[Any, Any]:
        """Return the arguments of the series, even in 1/T and in p [-]."""
        low, high = 1.0 / self.highest, 1.0 / self.coldest
        return (2.0 / temperature - low - high) / (high - low), pressure / self.densest

    def series_values(self, table: Vector, temperature: Any, pressure: Any) -> tuple[Any, ...]:
        """Return rho, c_p, c_v, mu and k [kg/m3], [J/(kg K)] twice, [Pa s], [W/(m K)]."""
        x, y = self.scaled(temperature, pressure)
        size = (self.nx + 1) * (self.ny + 1)
        factor, cp, cv, log_mu, log_k = (
            series(table, 1 + i * size, self.nx, self.ny, x, y) for i in range(5)
        )
        density = pressure / (factor * table[0] * temperature)
        return density, cp, cv, math.e**log_mu, math.e**log_k


def _gases() -> Mapping[str, Gas]:
    listed = (
        Gas("air", "Air", ("dry air",),
            "Lemmon et al., J. Phys. Chem. Ref. Data 29 (2000) 331; "
            "Lemmon and Jacobsen, Int. J. Thermophys. 25 (2004) 21"),
        Gas("oxygen", "Oxygen", ("o2",),
            "Schmidt and Wagner, Fluid Phase Equilib. 19 (1985) 175; "
            "Lemmon and Jacobsen, Int. J. Thermophys. 25 (2004) 21"),
        Gas("nitrogen", "Nitrogen", ("n2",),
            "Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361; "
            "Lemmon and Jacobsen, Int. J. Thermophys. 25 (2004) 21"),
        # liquid at 20 bar below 253.7 K
        Gas("carbon dioxide", "CarbonDioxide", ("co2",),
            "Span and Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509; "
            "Huber et al., J. Phys. Chem. Ref. Data 45 (2016) 013102", coldest=255.0, nx=14, ny=8),
        Gas("helium", "Helium", ("he",),
            "Ortiz Vega et al., equation of state of helium-4; "
            "Hands and Arp, Cryogenics 21 (1981) 697"),
        Gas("hydrogen", "Hydrogen", ("h2", "normal hydrogen"),
            "Leachman et al., J. Phys. Chem. Ref. Data 38 (2009) 721; "
            "Assael et al., J. Phys. Chem. Ref. Data 40 (2011) 033101"),
    )  # fmt: skip
    return MappingProxyType({gas.name: gas for gas in listed})


GASES = _gases()
