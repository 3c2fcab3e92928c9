"""Rules that make up what a weather file leaves out."""

import numpy as np
from numpy.typing import NDArray

Hours = NDArray[np.float64]

ICE = 273.15
STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), CODATA 2018


def saturation_pressure(temperature: Hours) -> Hours:
    """Return the vapour pressure over water [Pa] at `temperature` [K], -45 to 60 degC.

    e = 611.2 exp(17.62 t / (243.12 + t)),  t in degC

    References
    ----------
    WMO-No. 8, Guide to Instruments and Methods of Observation, annex 4.B.
    """
    celsius = temperature - ICE
    pressure: Hours = 611.2 * np.exp(17.62 * celsius / (243.12 + celsius))
    return pressure


def dew_point_of(temperature: Hours, humidity: Hours) -> Hours:
    """Return the dew point [K] of air at `temperature` [K] and relative `humidity` [-]; same source."""
    logarithm = np.log(saturation_pressure(temperature) * np.maximum(humidity, 1e-3) / 611.2)
    dew_point: Hours = ICE + 243.12 * logarithm / (17.62 - logarithm)
    return dew_point


def sky_emissivity(dew_point: Hours, cover: Hours) -> Hours:
    """Return what the sky sends down as a share of a black body at air temperature [-].

    (0.787 + 0.764 ln(T_dp / 273 K)) (1 + 0.0224 n - 0.0035 n2 + 0.00028 n3), n in tenths

    Parameters
    ----------
    dew_point : of the air near the ground [K]
    cover : opaque sky cover, 0 clear to 10 overcast [tenths]

    References
    ----------
    Clark and Allen (1978), The estimation of atmospheric radiation for clear and cloudy
    skies; the cloud term after Walton (1983), NBSIR 83-2655.
    """
    clear = 0.787 + 0.764 * np.log(dew_point / 273.0)
    emissivity: Hours = clear * (1.0 + 0.0224 * cover - 0.0035 * cover**2 + 0.00028 * cover**3)
    return emissivity


def standard_pressure(elevation: float) -> float:
    """Return the pressure of the standard atmosphere (ISO 2533) below 11 km [Pa]."""
    return float(101325.0 * (1.0 - 0.0065 * elevation / 288.15) ** 5.25588)


def sky_radiation(temperature: Hours, emissivity: Hours) -> Hours:
    """Return what a sky of `emissivity`, 1 at most, over air at `temperature` [K] sends down [W/m2]."""
    radiation: Hours = np.minimum(emissivity, 1.0) * STEFAN_BOLTZMANN * temperature**4
    return radiation


def black_temperature(longwave: Hours) -> Hours:
    """Return the temperature [K] of a black surface that sends out `longwave` [W/m2]."""
    temperature: Hours = (longwave / STEFAN_BOLTZMANN) ** 0.25
    return temperature
