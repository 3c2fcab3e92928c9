"""Heat of a casing through the gas of its enclosure, and by radiation beside it."""

import math

from brinewright.jit import compiled
from brinewright.laws.forced_convection import film_coefficient
from brinewright.laws.free_convection import (
    annulus_conductivity_ratio,
    annulus_heat,
    annulus_rayleigh,
    horizontal_cylinder,
    rayleigh_number,
)
from brinewright.laws.radiation import concentric_emissivity, radiated_heat


@compiled
def annulus_shed(
    casing: float,
    shell: float,
    inner: float,
    outer: float,
    length: float,
    casing_emissivity: float,
    shell_emissivity: float,
    gravity: float,
    conductivity: float,
    viscosity: float,
    diffusivity: float,
) -> float:
    """Heat that a horizontal cylindrical casing gives to the shell around it, [W].

    Phi = free convection in the closed annulus (Raithby and Hollands) + grey concentric radiation

    Parameters
    ----------
    casing : temperature of the casing [K]
    shell : temperature of the shell [K]
    inner : diameter of the casing [m]
    outer : diameter of the shell, > inner [m]
    length : of the casing [m]
    casing_emissivity : 0.05 to 0.2 bright metal, 0.8 to 0.95 painted [-]
    shell_emissivity : of the shell's inner side [-]
    gravity : of the site, 0 for none: the gas then only conducts [m/s2]
    conductivity : of the gas at the mean of both temperatures, 0 for vacuum [W/(m K)]
    viscosity : kinematic, of the gas at the mean temperature and its pressure [m2/s]
    diffusivity : thermal, of the gas at the mean temperature and its pressure [m2/s]

    Notes
    -----
    Ideal gas. Ends left out. Above Ra_c 1e7 +-30 %: dense gas in a wide gap lies there.

    Example
    -------
    >>> round(annulus_shed(463.15, 303.15, 1.6, 2.4, 3.0, 0.8, 0.8, 9.81, 0.0322, 2.17e-5, 3.1e-5) / 1e3, 1)
    28.6

    References
    ----------
    Raithby and Hollands 1975; Incropera, table 13.3 for the radiation.
    """
    emissivity = concentric_emissivity(casing_emissivity, shell_emissivity, inner / outer)
    heat = radiated_heat(emissivity, math.pi * inner * length, casing, shell)
    if conductivity > 0.0:
        mean = 0.5 * (casing + shell)
        gap = rayleigh_number(
            gravity, 1.0 / mean, casing - shell, 0.5 * (outer - inner), viscosity, diffusivity
        )
        ratio = annulus_conductivity_ratio(annulus_rayleigh(gap, inner, outer), viscosity / diffusivity)
        heat += annulus_heat(conductivity, ratio, inner, outer, length, casing - shell)
    return heat


@compiled
def hall_shed(
    casing: float,
    gas: float,
    walls: float,
    diameter: float,
    length: float,
    emissivity: float,
    gravity: float,
    conductivity: float,
    viscosity: float,
    diffusivity: float,
) -> float:
    """Heat that a horizontal cylindrical casing gives to a hall, [W].

    Phi = h_c A (T - T_gas) + eps sigma A (T^4 - T_walls^4),  h_c of Churchill and Chu

    Parameters
    ----------
    casing : temperature of the casing [K]
    gas : temperature of the gas in the hall [K]
    walls : temperature that it radiates to [K]
    diameter : of the casing [m]
    length : of the casing [m]
    emissivity : of the casing [-]
    gravity : of the site [m/s2]
    conductivity : of the gas at film temperature, 0 for vacuum [W/(m K)]
    viscosity : kinematic, of the gas at film temperature and its pressure [m2/s]
    diffusivity : thermal, of the gas at film temperature and its pressure [m2/s]

    Notes
    -----
    Ideal gas. Ends left out. Without gravity or gas only radiation and still conduction remain.

    Example
    -------
    >>> round(hall_shed(363.15, 313.15, 313.15, 1.6, 3.0, 0.0, 9.81, 0.0292, 1.95e-5, 2.77e-5) / 754.0, 1)
    4.5

    References
    ----------
    Churchill and Chu 1975; Stefan and Boltzmann.
    """
    area = math.pi * diameter * length
    heat = radiated_heat(emissivity, area, casing, walls)
    if conductivity > 0.0:
        film = 0.5 * (casing + gas)
        number = rayleigh_number(gravity, 1.0 / film, casing - gas, diameter, viscosity, diffusivity)
        nusselt = horizontal_cylinder(number, viscosity / diffusivity)
        heat += film_coefficient(nusselt, conductivity, diameter) * area * (casing - gas)
    return heat
