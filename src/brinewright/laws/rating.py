"""Rating conditions of liquid chillers and the mean over part loads."""

from brinewright.jit import compiled

CHILLED_WATER_ENTERING = 285.15
"""EN 14511-2 standard rating, cooling of water [K]; from memory."""
CHILLED_WATER_LEAVING = 280.15
"""EN 14511-2 standard rating, cooling of water [K]; from memory."""
COOLING_WATER_ENTERING = 303.15
"""EN 14511-2 standard rating, water-cooled machine [K]; from memory."""
COOLING_WATER_LEAVING = 308.15
"""EN 14511-2 standard rating, water-cooled machine [K]; from memory."""
OUTDOOR_AIR = 308.15
"""EN 14511-2 standard rating, air-cooled machine, dry bulb [K]; from memory."""


@compiled
def integrated_performance(full: float, three_quarters: float, half: float, quarter: float) -> float:
    """Mean cooling per power over part loads, [-].

    IPLV = 0.01 A + 0.42 B + 0.45 C + 0.12 D

    Parameters
    ----------
    full : COP at 100 % load [-]
    three_quarters : COP at 75 % load [-]
    half : COP at 50 % load [-]
    quarter : COP at 25 % load [-]

    Notes
    -----
    Weights of one climate and building; a process load wants its own.

    Example
    -------
    >>> round(integrated_performance(5.0, 6.0, 7.0, 6.5), 3)
    6.5

    References
    ----------
    AHRI 550/590 and 551/591; from memory.
    """
    return 0.01 * full + 0.42 * three_quarters + 0.45 * half + 0.12 * quarter
