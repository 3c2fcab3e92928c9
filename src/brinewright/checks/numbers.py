"""Numbers of a formula, and values in words, as findings tell them."""

from brinewright.checks.finding import shown
from brinewright.model.criterion import Number


def known(symbol: str, value: float, quantity: str, text: str = "") -> Number:
    """Return a symbol with its value in SI.

    Example
    -------
    >>> known("T_s", 295.15, "temperature", "set point").symbol
    'T_s'
    """
    return Number(symbol=symbol, value=value, quantity=quantity, text=text)


def degrees(temperature: float) -> str:
    """Return a temperature in words.

    Example
    -------
    >>> degrees(436.384)
    '163.2 degC'
    """
    if temperature == float("inf"):
        return "no rest"
    return shown(round(temperature, 6), "temperature")


def watts(power: float) -> str:
    """Return a heat flow or a power in words.

    Example
    -------
    >>> watts(1.2949e6)
    '1295 kW'
    """
    return shown(power, "power")


def lasting(time: float) -> str:
    """Return a time in words.

    Example
    -------
    >>> lasting(64.0), lasting(204.0), lasting(5400.0), lasting(float("inf"))
    ('64 s', '3.4 min', '1.5 h', 'for ever')
    """
    if not time < 1e9:
        return "for ever"
    if time < 120.0:
        return f"{time:.3g} s"
    return f"{time / 60.0:.3g} min" if time < 5400.0 else f"{time / 3600.0:.3g} h"
