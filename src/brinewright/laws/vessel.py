"""Closed vessel of water and steam: what its property tables do not say by themselves."""

import math

from brinewright.jit import compiled


@compiled
def mean_dryness(volume: float, mass: float, liquid_volume: float, vapour_volume: float) -> float:
    """Share of vapour by mass in a closed vessel, [-].

    x = (V / M - v_f) / (v_g - v_f)

    Parameters
    ----------
    volume : of the vessel [m3]
    mass : of water and steam, > 0 [kg]
    liquid_volume : specific, saturated [m3/kg]
    vapour_volume : specific, saturated [m3/kg]

    Notes
    -----
    Below 0 the vessel is full of liquid, above 1 it is dry; neither obeys saturation any more.

    Example
    -------
    >>> round(mean_dryness(40.0, 400.0, 0.00106508, 0.770045), 4)
    0.1287

    References
    ----------
    Definition.
    """
    return (volume / mass - liquid_volume) / (vapour_volume - liquid_volume)


@compiled
def charge_window(
    vessel_volume: float,
    cover_volume: float,
    liquid_density: float,
    vapour_density: float,
    steam_flow: float,
    circuit_time: float,
    relief_liquid_density: float,
) -> tuple[float, float]:
    """Least and largest charge of water, [kg] and [kg].

    M_min = rho_f V_cover + rho_g (V - V_cover) + q tau,  M_max = 0.9 rho_f(T_relief) V

    Parameters
    ----------
    vessel_volume : of the vessel [m3]
    cover_volume : of liquid that keeps condensers covered [m3]
    liquid_density : saturated, at the working temperature [kg/m3]
    vapour_density : saturated, at the working temperature [kg/m3]
    steam_flow : to the turbines [kg/s]
    circuit_time : that the water spends outside the vessel [s]
    relief_liquid_density : saturated, at the relief valve's pressure [kg/m3]

    Notes
    -----
    The 0.9 leaves a vapour space when the vessel relieves; common practice.

    Example
    -------
    >>> low, high = charge_window(6.0, 2.0, 930.5, 1.719, 1.398, 60.0, 887.1)
    >>> round(low), round(high)
    (1952, 4790)

    References
    ----------
    Mass balance; the margin is common practice, no source.
    """
    least = (
        liquid_density * cover_volume
        + vapour_density * (vessel_volume - cover_volume)
        + steam_flow * circuit_time
    )
    return least, 0.9 * relief_liquid_density * vessel_volume


@compiled
def pressure_with_gas(
    saturation: float, sealed: float, sealed_temperature: float, temperature: float
) -> float:
    """Pressure of a vessel that was closed with air in it, [Pa].

    p = p_sat(T) + p_a T / T_a

    Parameters
    ----------
    saturation : pressure of water at the temperature [Pa]
    sealed : partial pressure of the air when it was sealed in [Pa]
    sealed_temperature : at that moment [K]
    temperature : now [K]

    Notes
    -----
    Ideal gas, space for it taken as constant. A pressure switch then reads too hot.

    Example
    -------
    >>> round(pressure_with_gas(232238.0, 101325.0, 293.15, 398.15))
    369855

    References
    ----------
    Dalton.
    """
    return saturation + sealed * temperature / sealed_temperature


@compiled
def flash_fraction(liquid: float, liquid_after: float, latent_after: float) -> float:
    """Share of hot liquid that turns to steam when it is let out, [-].

    x = max(0, (h_f1 - h_f2) / h_fg2)

    Parameters
    ----------
    liquid : enthalpy of the liquid before [J/kg]
    liquid_after : enthalpy of saturated liquid at the outer pressure [J/kg]
    latent_after : latent heat at the outer pressure [J/kg]

    Notes
    -----
    At constant enthalpy: a throttling leak or an opened drain.

    Example
    -------
    >>> round(flash_fraction(567.75e3, 419.06e3, 2256.5e3), 4)
    0.0659

    References
    ----------
    First law.
    """
    return max(0.0, (liquid - liquid_after) / latent_after)


@compiled
def relief_flow(heat: float, latent: float) -> float:
    """Steam that a relief valve must pass, [kg/s].

    q = Phi / h_fg

    Parameters
    ----------
    heat : largest, into the vessel with no outlet open [W]
    latent : heat at the relieving pressure [J/kg]

    Notes
    -----
    Slightly too much: part of the heat warms what stays.

    Example
    -------
    >>> round(relief_flow(3549e3, 2000e3), 4)
    1.7745

    References
    ----------
    API 520-1, from memory.
    """
    return heat / latent


@compiled
def relief_area(
    flow: float, relieving: float, discharge: float, back: float, disk: float, superheat: float
) -> float:
    """Flow area of a relief valve for steam in critical flow, [m2].

    A = 190.5 q / (p_1 K_d K_b K_c K_N K_SH),  A in mm2, q in kg/h, p_1 in kPa

    Parameters
    ----------
    flow : to be relieved [kg/s]
    relieving : absolute pressure upstream, set pressure with overpressure [Pa]
    discharge : coefficient K_d, 0.975 for a certified valve [-]
    back : coefficient K_b for back pressure, 1 for a conventional valve into the open [-]
    disk : coefficient K_c, 0.9 with a rupture disk upstream, else 1 [-]
    superheat : coefficient K_SH, 1 for saturated steam [-]

    Notes
    -----
    K_N = 1 up to 10 339 kPa and the Napier correction to 22 057 kPa. An estimate for study:
    relief valves are sized under the code of the place by licensed persons.

    Example
    -------
    >>> round(relief_area(1.774, 1091.3e3, 0.975, 1.0, 1.0, 1.0) * 1e6)
    1143

    References
    ----------
    API Standard 520 Part 1, sizing for steam relief (SI form); coefficient cross-checked with the
    library fluids.
    """
    kilopascal = relieving / 1e3
    napier = 1.0
    if kilopascal > 10339.0:
        napier = (0.02764 * kilopascal - 1000.0) / (0.03324 * kilopascal - 1061.0)
    return 190.5e-6 * flow * 3600.0 / (kilopascal * discharge * back * disk * napier * superheat)


@compiled
def release_velocity(steam_flow: float, vapour_density: float, surface: float) -> float:
    """Velocity with which steam leaves the water's surface, [m/s].

    w = q / (rho_g A)

    Parameters
    ----------
    steam_flow : leaving the vessel [kg/s]
    vapour_density : saturated [kg/m3]
    surface : of the water [m2]

    Notes
    -----
    Compare with `carry_over_velocity`.

    Example
    -------
    >>> round(release_velocity(1.398, 1.719, 4.5), 2)
    0.18

    References
    ----------
    Mass balance.
    """
    return steam_flow / (vapour_density * surface)


@compiled
def carry_over_velocity(factor: float, liquid_density: float, vapour_density: float) -> float:
    """Largest steam velocity that leaves drops behind, [m/s].

    w = K sqrt((rho_f - rho_g) / rho_g)

    Parameters
    ----------
    factor : K, 0.03 to 0.06 without a demister [m/s]
    liquid_density : saturated [kg/m3]
    vapour_density : saturated [kg/m3]

    Notes
    -----
    K was found at g = 9.81 m/s2; drops fall with sqrt(g), so scale it elsewhere.

    Example
    -------
    >>> round(carry_over_velocity(0.04, 930.5, 1.719), 2)
    0.93

    References
    ----------
    Souders and Brown, Ind. Eng. Chem. 26 (1934) 98.
    """
    return factor * math.sqrt((liquid_density - vapour_density) / vapour_density)


@compiled
def bore_for_velocity(flow: float, density: float, velocity: float) -> float:
    """Inner diameter that gives a flow a velocity, [m].

    D = sqrt(4 q / (pi rho v))

    Parameters
    ----------
    flow : mass flow [kg/s]
    density : of what flows [kg/m3]
    velocity : wanted, 25 to 30 for steam, 1 to 3 for liquids [m/s]

    Notes
    -----
    Choose the next larger standard bore.

    Example
    -------
    >>> round(bore_for_velocity(1.398, 1.719, 30.0), 3)
    0.186

    References
    ----------
    Mass balance.
    """
    return math.sqrt(4.0 * flow / (math.pi * density * velocity))
