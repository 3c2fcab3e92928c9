"""Hydrogen in and around an enclosure: limits, purging, ventilation, stored energy."""

import math

from brinewright.jit import compiled

LOWER_FLAMMABLE = 0.04
"""Volume fraction in air; NFPA 497 (2008), IEC 60079-20-1 (2010) [-]."""
UPPER_FLAMMABLE = 0.75
"""Volume fraction in air; NFPA 497 (2008); IEC 60079-20-1 (2010) prints 0.77 [-]."""
UPPER_FLAMMABLE_IN_OXYGEN = 0.94
"""Volume fraction in oxygen; from memory [-]."""
AUTOIGNITION = 773.15
"""In air; NFPA 497 (2008), the lowest of the published values (IEC 833 K) [K]."""
LOWER_HEATING_VALUE = 119.95e6
"""From heats of formation [J/kg]."""
IGNITION_ENERGY = 1.7e-5
"""Least spark in air; hydrogen-safety handbooks, from memory [J]."""
RATED_PURITY = 0.95
"""Least volume fraction kept in a hydrogen-cooled machine, IEC 60034-3 practice; run at 0.97 to 0.98 [-]."""
CARBON_DIOXIDE_BEFORE_HYDROGEN = 0.75
"""Volume fraction of carbon dioxide to reach before hydrogen is let in; from memory [-]."""
STOICHIOMETRIC = 1.0 / (1.0 + 0.5 / 0.2095)
"""Volume fraction in dry air that burns without rest, H2 + O2/2 with 20.95 % oxygen [-]."""


@compiled
def is_flammable(hydrogen: float, oxygen: float) -> bool:
    """Tell whether a mixture with air at room conditions can burn, [-].

    True between the limits, taken on the hydrogen in hydrogen plus air

    Parameters
    ----------
    hydrogen : volume fraction [-]
    oxygen : volume fraction [-]

    Notes
    -----
    Inert gas counts only by the oxygen it leaves: below 4 % oxygen nothing burns (below 5 % by
    most handbooks, from memory). Hot or compressed gas has wider limits.

    Example
    -------
    >>> is_flammable(0.3, 0.147), is_flammable(0.98, 0.004)
    (True, False)

    References
    ----------
    Limits of this module.
    """
    return bool(
        oxygen >= 0.04
        and hydrogen >= LOWER_FLAMMABLE
        and hydrogen <= UPPER_FLAMMABLE * (hydrogen + oxygen / 0.2095)
    )


@compiled
def purge_fraction(volumes: float) -> float:
    """Share of the first gas left after purging with ideal mixing, [-].

    C / C_0 = exp(-V_purge / V)

    Parameters
    ----------
    volumes : purge gas over the volume of the enclosure [-]

    Notes
    -----
    A heavy gas fed at the bottom displaces with fewer volumes; don't count on it.

    Example
    -------
    >>> round(purge_fraction(3.0), 3)
    0.05

    References
    ----------
    Closed form.
    """
    return math.exp(-volumes)


@compiled
def purge_volumes(left: float) -> float:
    """Volumes of purge gas that leave a share of the first gas, [-].

    V_purge / V = -ln(C / C_0)

    Parameters
    ----------
    left : share of the first gas, 0 to 1 [-]

    Notes
    -----
    Air to carbon dioxide to hydrogen, and the reverse: never air to hydrogen.

    Example
    -------
    >>> [round(purge_volumes(left), 2) for left in (0.25, 0.05, 0.01)]
    [1.39, 3.0, 4.61]

    References
    ----------
    Closed form.
    """
    return -math.log(left)


@compiled
def ventilation_flow(leak: float, share_of_limit: float) -> float:
    """Air that keeps a leak below a share of the lower flammable limit, [m3/s].

    Q = Q_leak / (x LFL)

    Parameters
    ----------
    leak : volumetric at the state of the room [m3/s]
    share_of_limit : x, 0.25 as a rule [-]

    Notes
    -----
    For mixed air: a pocket under a roof is not. From memory of NFPA 2 and ISO/TR 15916.

    Example
    -------
    >>> round(ventilation_flow(12.0 / 86400.0, 0.25) * 3600.0, 6)
    50.0

    References
    ----------
    Mass balance.
    """
    return leak / (share_of_limit * LOWER_FLAMMABLE)


@compiled
def stored_energy(mass: float) -> float:
    """Heat that an amount of hydrogen gives when it burns, [J].

    E = m LHV

    Parameters
    ----------
    mass : of hydrogen [kg]

    Notes
    -----
    Lower heating value: the steam does not condense.

    Example
    -------
    >>> round(stored_energy(3.72) / 1e6)
    446

    References
    ----------
    Lower heating value of this module.
    """
    return mass * LOWER_HEATING_VALUE


@compiled
def ideal_gas_mass(pressure: float, volume: float, temperature: float, molar_mass: float) -> float:
    """Mass of an ideal gas in a volume, [kg].

    m = p V M / (R T)

    Parameters
    ----------
    pressure : absolute [Pa]
    volume : [m3]
    temperature : [K]
    molar_mass : M, 0.00201588 for hydrogen [kg/mol]

    Notes
    -----
    Hydrogen at a few bar is within 0.3 %.

    Example
    -------
    >>> round(ideal_gas_mass(1.2e5, 40.0, 313.15, 0.00201588), 2)
    3.72

    References
    ----------
    Ideal gas.
    """
    return pressure * volume * molar_mass / (8.31446261815324 * temperature)
