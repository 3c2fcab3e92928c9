"""What the second law allows between two temperatures, and how near a machine claims to come."""

from brinewright.jit import compiled

HIGHEST_BUILT = 0.7
"""Second-law efficiency above which no chiller has been built; common practice, no source [-]."""


@compiled
def engine_bound(hot: float, cold: float) -> float:
    """Largest share of heat that can become work, [-].

    eta = 1 - T_c / T_h

    Parameters
    ----------
    hot : temperature of the source, > 0 [K]
    cold : temperature of the sink [K]

    Notes
    -----
    Holds for sources and sinks at one temperature each.

    Example
    -------
    >>> round(engine_bound(398.15, 368.15), 6)
    0.075348

    References
    ----------
    Carnot; any text on thermodynamics.
    """
    return 1.0 - cold / hot


@compiled
def cooling_bound(cold: float, hot: float) -> float:
    """Largest cooling per work, [-].

    COP = T_c / (T_h - T_c)

    Parameters
    ----------
    cold : temperature of what is cooled [K]
    hot : temperature that takes the heat, > cold [K]

    Notes
    -----
    The heating bound is larger by 1.

    Example
    -------
    >>> round(cooling_bound(280.15, 308.15), 3)
    10.005

    References
    ----------
    Carnot; any text on thermodynamics.
    """
    return cold / (hot - cold)


@compiled
def least_cooling_power(heat: float, cold: float, hot: float) -> float:
    """Least power that lifts heat from cold to hot, [W].

    P = Phi (T_h - T_c) / T_c

    Parameters
    ----------
    heat : taken at the cold end [W]
    cold : temperature of what is cooled [K]
    hot : temperature that takes the heat [K]

    Notes
    -----
    Negative where hot < cold: there work could be gained.

    Example
    -------
    >>> round(least_cooling_power(100e3, 293.15, 398.15), 1)
    35817.8

    References
    ----------
    Carnot; any text on thermodynamics.
    """
    return heat * (hot - cold) / cold


@compiled
def least_heating_power(heat: float, cold: float, hot: float) -> float:
    """Least power that delivers heat at the hot end, [W].

    P = Phi (T_h - T_c) / T_h

    Parameters
    ----------
    heat : given at the hot end [W]
    cold : temperature of the source [K]
    hot : temperature that takes the heat [K]

    Notes
    -----
    Holds for reservoirs at one temperature each.

    Example
    -------
    >>> round(least_heating_power(37.5e3, 268.0, 294.0), 0)
    3316.0

    References
    ----------
    Carnot; any text on thermodynamics.
    """
    return heat * (hot - cold) / hot


@compiled
def reversible_loop_power(heat: float, cold: float, vessel: float, sink: float) -> float:
    """Net power that a reversible chiller into a vessel and a reversible engine out of it need, [W].

    P = Phi (T_v - T_c) / T_c - Phi (T_v / T_c) (1 - T_s / T_v) = Phi (T_s / T_c - 1)

    Parameters
    ----------
    heat : taken from the cooled place [W]
    cold : temperature of the cooled place [K]
    vessel : temperature of the vessel between the two machines [K]
    sink : temperature of the final sink [K]

    Notes
    -----
    The vessel drops out: lifting heat to steam and expanding it again can't pay. Negative, a
    gain, only where the sink is colder than the cooled place.

    Example
    -------
    >>> round(reversible_loop_power(100e3, 283.15, 398.15, 308.15), 1)
    8829.2

    References
    ----------
    Closed form from `least_cooling_power` and `engine_bound`.
    """
    gained = heat * vessel / cold * engine_bound(vessel, sink)
    return least_cooling_power(heat, cold, vessel) - gained


@compiled
def second_law_efficiency(performance: float, cold: float, hot: float) -> float:
    """Share of the Carnot bound that a stated cooling performance claims, [-].

    eta_II = COP (T_h - T_c) / T_c

    Parameters
    ----------
    performance : cooling per power [-]
    cold : temperature of the liquid that leaves the machine [K]
    hot : temperature of what takes the heat [K]

    Notes
    -----
    Above 1 impossible; above `HIGHEST_BUILT` unbuildable. At hot <= cold it is 0 or less: no
    work is needed there and any machine is allowed.

    Example
    -------
    >>> round(second_law_efficiency(1.8667, 281.15, 419.5), 2)
    0.92

    References
    ----------
    Definition.
    """
    return performance * (hot - cold) / cold
