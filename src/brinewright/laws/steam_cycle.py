"""Round the turbine: condenser, feed pump and the efficiency of the whole cycle."""

from brinewright.jit import compiled


@compiled
def condenser_heat(flow: float, inlet: float, work: float, condensate: float) -> float:
    """Heat that the condenser must take, [W].

    Phi = q (h_1 - w - h_f)

    Parameters
    ----------
    flow : of steam [kg/s]
    inlet : enthalpy h_1 [J/kg]
    work : per kilogram [J/kg]
    condensate : enthalpy h_f of what is returned [J/kg]

    Notes
    -----
    81 to 95 % of the heat: a real turbine is no heat sink.

    Example
    -------
    >>> round(condenser_heat(1.398, 2726.9e3, 365.3e3, 188.4e3) / 1e3)
    3038

    References
    ----------
    First law.
    """
    return flow * (inlet - work - condensate)


@compiled
def feed_pump_work(volume: float, low: float, high: float, efficiency: float) -> float:
    """Work per kilogram of returned condensate, [J/kg].

    w = v (p_high - p_low) / eta

    Parameters
    ----------
    volume : specific, of the liquid [m3/kg]
    low : pressure before the pump [Pa]
    high : pressure after it, with friction [Pa]
    efficiency : of the pump [-]

    Notes
    -----
    Liquid taken as incompressible.

    Example
    -------
    >>> round(feed_pump_work(0.00101, 1e4, 3.14e5, 0.5), 1)
    614.1

    References
    ----------
    Any text on steam cycles.
    """
    return volume * (high - low) / efficiency


@compiled
def cycle_efficiency(inlet: float, work: float, condensate: float, pump_work: float) -> float:
    """Net work per heat of a steam cycle, [-].

    eta = (w - w_p) / (h_1 - h_f - w_p)

    Parameters
    ----------
    inlet : enthalpy h_1 of the steam [J/kg]
    work : per kilogram [J/kg]
    condensate : enthalpy h_f before the feed pump [J/kg]
    pump_work : per kilogram [J/kg]

    Notes
    -----
    Bounded by Carnot between boiler and condenser.

    Example
    -------
    >>> round(cycle_efficiency(2726.9e3, 365.3e3, 188.4e3, 0.0), 3)
    0.144

    References
    ----------
    Any text on steam cycles.
    """
    return (work - pump_work) / (inlet - condensate - pump_work)
