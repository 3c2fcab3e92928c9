"""The vessel that takes up what a loop's liquid grows by."""

from brinewright.jit import compiled

WATER_RESERVE_SHARE = 0.005
"""Reserve over the volume of the system, EN 12828; from memory [-]."""
WATER_RESERVE_LEAST = 0.003
"""Least reserve, EN 12828; from memory [m3]."""


@compiled
def expanded_volume(system_volume: float, cold_density: float, hot_density: float) -> float:
    """Growth of the liquid between cold and hot, [m3].

    V_e = V (rho_cold / rho_hot - 1)

    Parameters
    ----------
    system_volume : V, filled cold [m3]
    cold_density : at the filling temperature or the densest below it [kg/m3]
    hot_density : at the highest mean temperature [kg/m3]

    Notes
    -----
    Standstill may be hotter than work: take the hottest the loop can get.

    Example
    -------
    >>> round(expanded_volume(13.17, 1030.0, 1013.54), 3)
    0.214

    References
    ----------
    Mass balance.
    """
    return system_volume * (cold_density / hot_density - 1.0)


@compiled
def vessel_size(expansion: float, reserve: float, precharge_pressure: float, final_pressure: float) -> float:
    """Nominal volume of a membrane expansion vessel, [m3].

    V_n = (V_e + V_res) p_e / (p_e - p_0),  absolute pressures

    Parameters
    ----------
    expansion : V_e, see `expanded_volume` [m3]
    reserve : V_res, see `water_reserve` [m3]
    precharge_pressure : p_0 of the gas, absolute [Pa]
    final_pressure : p_e at the hottest, absolute, below the relief valve's [Pa]

    Notes
    -----
    Choose the next larger vessel. The pressure basis is absolute, so any site serves.

    Example
    -------
    >>> round(vessel_size(0.214, 0.066, 2.5e5, 3.5e5), 2)
    0.98

    References
    ----------
    EN 12828, annex D; from memory.
    """
    return (expansion + reserve) * final_pressure / (final_pressure - precharge_pressure)


@compiled
def water_reserve(system_volume: float) -> float:
    """Liquid that the vessel holds when cold, [m3].

    V_res = max(0.5 % V, 3 litres)

    Parameters
    ----------
    system_volume : V [m3]

    Notes
    -----
    Makes good small leaks until somebody looks.

    Example
    -------
    >>> round(water_reserve(13.17), 4), water_reserve(0.1)
    (0.0659, 0.003)

    References
    ----------
    EN 12828; from memory.
    """
    return max(WATER_RESERVE_SHARE * system_volume, WATER_RESERVE_LEAST)
