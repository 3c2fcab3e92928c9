"""The gas of an enclosure as one line of properties over temperature, mixed with air where it is not pure."""

from collections.abc import Sequence

from brinewright.errors import InputError
from brinewright.model.rulebook import Gas


def gas_line(tag: str, gas: Gas, purity: float, pressure: float) -> Sequence[float]:
    """Return density, c_p, viscosity and conductivity over temperature for `line_values`.

    Parameters
    ----------
    tag : of the enclosure, for the error
    gas : of the rulebook; it must name a table
    purity : share of the gas by volume, the rest is air [-]
    pressure : of the gas [Pa]

    References
    ----------
    Wilke, J. Chem. Phys. 18 (1950) 517; Mason and Saxena, Phys. Fluids 1 (1958) 361.
    """
    import numpy as np

    from brinewright.fluids import fluid
    from brinewright.fluids.line import CELLS, line_values, make_line

    if not gas.properties:
        raise InputError(
            f'{tag}: the gas "{gas.name}" has no properties in the rulebook. Write properties = "..." there.'
        )
    pure = fluid(gas.properties)
    if purity >= 1.0:
        return [float(value) for value in pure.line(pressure)]
    air = fluid("air")
    low = max(pure.range.temperature[0], air.range.temperature[0])
    high = min(pure.range.temperature[1], air.range.temperature[1])
    nodes = np.linspace(low, high, CELLS + 1)
    lines = pure.line(pressure), air.line(pressure)
    rows = [mixed(line_values(lines[0], T), line_values(lines[1], T), purity) for T in nodes]
    return [float(value) for value in make_line(low, high, np.array(rows))]


def mixed(first: Sequence[float], second: Sequence[float], share: float) -> tuple[float, float, float, float]:
    """Return rho, c_p, mu and k of two gases at one temperature and pressure.

    Densities stand to each other as molar masses.  mu = sum_i x_i mu_i / sum_j x_j phi_ij, k likewise,
    phi_ij = (1 + (mu_i / mu_j)^(1/2) (M_j / M_i)^(1/4))^2 / (8 (1 + M_i / M_j))^(1/2)

    Parameters
    ----------
    first, second : rho, c_p, mu and k of the pure gases [kg/m3], [J/(kg K)], [Pa s], [W/(m K)]
    share : of the first by volume [-]

    Example
    -------
    >>> [round(value, 3) for value in mixed((1.0, 1e3, 2e-5, 0.03), (1.0, 1e3, 2e-5, 0.03), 0.4)]
    [1.0, 1000.0, 0.0, 0.03]
    """
    gases = (first, second)
    shares = (share, 1.0 - share)
    density = sum(x * gas[0] for x, gas in zip(shares, gases, strict=True))
    heat = sum(x * gas[0] * gas[1] for x, gas in zip(shares, gases, strict=True)) / density
    viscosity = conductivity = 0.0
    for x, a in zip(shares, gases, strict=True):
        among = sum(
            y * (1.0 + (a[2] / b[2]) ** 0.5 * (b[0] / a[0]) ** 0.25) ** 2 / (8.0 * (1.0 + a[0] / b[0])) ** 0.5
            for y, b in zip(shares, gases, strict=True)
        )
        viscosity += x * a[2] / among
        conductivity += x * a[3] / among
    return density, heat, viscosity, conductivity
