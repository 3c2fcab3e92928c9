"""Surface tension of water against its vapour."""

from brinewright.jit import compiled

_CRITICAL_TEMPERATURE = 647.096
_B, _MU, _SLOPE = 0.2358, 1.256, 0.625


@compiled
def surface_tension(temperature: float) -> float:
    """Surface tension of water, [N/m].

    sigma = B t^mu (1 - 0.625 t),  t = 1 - T / 647.096 K

    Parameters
    ----------
    temperature : 273.16 to 647.096 [K]

    Notes
    -----
    Stated uncertainty of the release: 0.1 % to 0.5 % up to 360 degC.

    Example
    -------
    >>> round(surface_tension(373.15) * 1e3, 2)
    58.91

    References
    ----------
    IAPWS R1-76(2014).
    """
    t = 1.0 - temperature / _CRITICAL_TEMPERATURE
    return float(_B * t**_MU * (1.0 - _SLOPE * t))
