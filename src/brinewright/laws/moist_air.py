"""Moist air: saturation, humidity ratio, dew point, enthalpy."""

import math

from brinewright.jit import compiled

RANGES = {"saturation_pressure": {"temperature": (173.15, 473.15)}}
"""Range of the saturation formula [K]."""
MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air, ASHRAE Fundamentals [-]."""
TRIPLE_POINT = 273.16


@compiled
def saturation_pressure(temperature: float) -> float:
    """Vapour pressure over ice or water, [Pa].

    ln p = c_0 / T + c_1 + c_2 T + c_3 T^2 + c_4 T^3 + c_5 T^4 + c_6 ln T

    Parameters
    ----------
    temperature : 173.15 to 473.15, ice below 273.16 [K]

    Notes
    -----
    Within 0.1 % of IAPWS-95 over water.

    Example
    -------
    >>> round(saturation_pressure(293.15), 1), round(saturation_pressure(263.15), 1)
    (2338.8, 259.9)

    References
    ----------
    Hyland and Wexler, ASHRAE Trans. 89-2A (1983) 500; ASHRAE Fundamentals, psychrometrics, eq. 5 and 6.
    """
    t = temperature
    if t < TRIPLE_POINT:
        exponent = (
            -5.6745359e3 / t
            + 6.3925247
            - 9.677843e-3 * t
            + 6.2215701e-7 * t * t
            + 2.0747825e-9 * t * t * t
            - 9.484024e-13 * t * t * t * t
            + 4.1635019 * math.log(t)
        )
    else:
        exponent = (
            -5.8002206e3 / t
            + 1.3914993
            - 4.8640239e-2 * t
            + 4.1764768e-5 * t * t
            - 1.4452093e-8 * t * t * t
            + 6.5459673 * math.log(t)
        )
    return math.exp(exponent)


@compiled
def humidity_ratio(vapour_pressure: float, pressure: float) -> float:
    """Water per dry air, [kg/kg].

    w = 0.621945 p_w / (p - p_w)

    Parameters
    ----------
    vapour_pressure : p_w [Pa]
    pressure : p of the site, absolute, > p_w [Pa]

    Notes
    -----
    Ideal gases.

    Example
    -------
    >>> round(humidity_ratio(2338.8, 101325.0), 5)
    0.0147

    References
    ----------
    ASHRAE Fundamentals, psychrometrics, eq. 20.
    """
    return MASS_RATIO * vapour_pressure / (pressure - vapour_pressure)


@compiled
def vapour_pressure(ratio: float, pressure: float) -> float:
    """Partial pressure of the water in air, [Pa].

    p_w = p w / (0.621945 + w)

    Parameters
    ----------
    ratio : w, water per dry air [kg/kg]
    pressure : p of the site, absolute [Pa]

    Notes
    -----
    The inverse of `humidity_ratio`.

    Example
    -------
    >>> round(vapour_pressure(0.0147, 101325.0))
    2340

    References
    ----------
    ASHRAE Fundamentals, psychrometrics, eq. 36.
    """
    return pressure * ratio / (MASS_RATIO + ratio)


@compiled
def saturation_ratio(temperature: float, pressure: float) -> float:
    """Water per dry air at saturation, [kg/kg].

    w_s = 0.621945 p_s / (p - p_s)

    Parameters
    ----------
    temperature : of the air [K]
    pressure : of the site, absolute [Pa]

    Notes
    -----
    Infinite where water boils. The enhancement factor (0.5 %) is left out.

    Example
    -------
    >>> round(saturation_ratio(293.15, 101325.0), 5)
    0.0147

    References
    ----------
    ASHRAE Fundamentals, psychrometrics, eq. 21.
    """
    saturated = saturation_pressure(temperature)
    if saturated >= pressure:
        return math.inf
    return humidity_ratio(saturated, pressure)


@compiled
def dew_point(vapour: float) -> float:
    """Temperature at which a vapour pressure is saturated, [K].

    p_s(T) = p_w

    Parameters
    ----------
    vapour : partial pressure of water, 0.0014 to 1.55e6 [Pa]

    Notes
    -----
    Bisection over the range of `saturation_pressure`; frost point below 273.16 K.

    Example
    -------
    >>> round(dew_point(0.6 * saturation_pressure(295.15)) - 273.15, 1)
    13.9

    References
    ----------
    The inverse of `saturation_pressure`.
    """
    low, high = 173.15, 473.15
    for _ in range(55):
        middle = 0.5 * (low + high)
        if saturation_pressure(middle) < vapour:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@compiled
def relative_humidity(ratio: float, temperature: float, pressure: float) -> float:
    """Vapour pressure over its saturation value, [-].

    phi = p_w / p_s(T)

    Parameters
    ----------
    ratio : water per dry air [kg/kg]
    temperature : of the air [K]
    pressure : of the site, absolute [Pa]

    Notes
    -----
    Above 1 the air carries fog.

    Example
    -------
    >>> round(relative_humidity(0.0099, 295.15, 101325.0), 2)
    0.6

    References
    ----------
    Definition.
    """
    return vapour_pressure(ratio, pressure) / saturation_pressure(temperature)


@compiled
def enthalpy(temperature: float, ratio: float) -> float:
    """Enthalpy of moist air per kilogram of dry air, 0 for dry air at 0 degC, [J/kg].

    h = 1006 t + w (2.501e6 + 1860 t),  t in degC

    Parameters
    ----------
    temperature : of the air [K]
    ratio : w, water per dry air [kg/kg]

    Notes
    -----
    Compare differences only.

    Example
    -------
    >>> round(enthalpy(293.15, 0.0147) / 1e3, 1)
    57.4

    References
    ----------
    ASHRAE Fundamentals, psychrometrics, eq. 30.
    """
    celsius = temperature - 273.15
    return 1006.0 * celsius + ratio * (2.501e6 + 1860.0 * celsius)


@compiled
def condensing_flow(
    dry_air_flow: float, ratio: float, surface: float, pressure: float, contact: float
) -> float:
    """Water that a cold surface takes out of an air stream, [kg/s].

    m_w = q_a f max(0, w - w_s(T_surface))

    Parameters
    ----------
    dry_air_flow : q_a [kg/s]
    ratio : w, water per dry air of the entering air [kg/kg]
    surface : temperature of the coil's surface [K]
    pressure : of the site, absolute [Pa]
    contact : f, share of the air that meets the surface, 0 to 1 [-]

    Notes
    -----
    The coil is dry while its surface is above the dew point.

    Example
    -------
    >>> round(condensing_flow(1.0, 0.0099, 281.15, 101325.0, 0.8) * 3600.0, 2)
    9.34

    References
    ----------
    Bypass-factor method; any text on air conditioning.
    """
    return dry_air_flow * contact * max(0.0, ratio - saturation_ratio(surface, pressure))
