"""The turbine of a declared world: above a threshold it draws hot mass and gives it back cooler."""

import math

from brinewright.jit import compiled


@compiled
def heat_taken(flow: float, heat_capacity: float, vessel: float, returned: float, latent: float) -> float:
    """Heat that one turbine takes from the vessel while it runs, [W].

    Phi_t = q (c (T - T_ret) + h_fg)

    Parameters
    ----------
    flow : drawn and returned [kg/s]
    heat_capacity : of the vessel's content [J/(kg K)]
    vessel : temperature of the vessel [K]
    returned : temperature of what comes back [K]
    latent : latent heat that the world counts, 0 for none [J/kg]

    Notes
    -----
    Whether latent heat counts changes the number of turbines more than tenfold: it has no default.

    Example
    -------
    >>> round(heat_taken(1.5, 4200.0, 398.15, 368.15, 0.0))
    189000
    >>> round(heat_taken(1.5, 4200.0, 398.15, 368.15, 2188.0e3))
    3471000

    References
    ----------
    A declared law.
    """
    return flow * (heat_capacity * (vessel - returned) + latent)


@compiled
def shaft_power(heat: float, efficiency: float, limit: float) -> float:
    """Power of one turbine, [W].

    P = min(P_max, eta Phi_t)

    Parameters
    ----------
    heat : that the turbine takes [W]
    efficiency : declared, on the heat taken [-]
    limit : largest power [W]

    Notes
    -----
    Compare the efficiency with `carnot.engine_bound`.

    Example
    -------
    >>> shaft_power(300e3, 0.5, 260e3), shaft_power(600e3, 0.5, 260e3)
    (150000.0, 260000.0)

    References
    ----------
    A declared law.
    """
    return min(limit, efficiency * heat)


@compiled
def casing_heat(heat: float, share: float, fixed: float) -> float:
    """Heat that one casing gives off, [W].

    Phi_case = phi Phi_t + Phi_fix

    Parameters
    ----------
    heat : that the turbine takes [W]
    share : of it that the casing gives off [-]
    fixed : given off at any load [W]

    Notes
    -----
    Where the loop cools the casing, this comes back as load: see `loop_load`.

    Example
    -------
    >>> casing_heat(300e3, 0.08, 3e3)
    27000.0

    References
    ----------
    A declared law.
    """
    return share * heat + fixed


@compiled
def full_power_temperature(
    returned: float, limit: float, efficiency: float, flow: float, heat_capacity: float
) -> float:
    """Vessel temperature above which a turbine gives no more power, [K].

    T = T_ret + P_max / (eta q c)

    Parameters
    ----------
    returned : temperature of what comes back [K]
    limit : largest power [W]
    efficiency : declared, on the heat taken [-]
    flow : drawn by one turbine [kg/s]
    heat_capacity : of the vessel's content [J/(kg K)]

    Notes
    -----
    The heat taken goes on rising above it. Without latent heat.

    Example
    -------
    >>> round(full_power_temperature(368.15, 260e3, 0.55, 1.5, 4200.0) - 273.15, 1)
    170.0

    References
    ----------
    A declared law.
    """
    return returned + limit / (efficiency * flow * heat_capacity)


@compiled
def turbines_needed(
    rejected: float, flow: float, heat_capacity: float, returned: float, limit: float
) -> float:
    """Turbines that keep the vessel at or below a limit, as a fraction to be rounded up, [-].

    N = Phi_rej / (q c (T_limit - T_ret))

    Parameters
    ----------
    rejected : heat into the vessel, with every chiller running [W]
    flow : drawn by one turbine [kg/s]
    heat_capacity : of the vessel's content [J/(kg K)]
    returned : temperature of what comes back [K]
    limit : material limit less its margin, > returned [K]

    Notes
    -----
    Leaves the vessel's own loss out, which is on the safe side.

    Example
    -------
    >>> round(turbines_needed(1416e3, 1.5, 4200.0, 368.15, 433.15), 2)
    3.46

    References
    ----------
    Closed form: energy balance.
    """
    return rejected / (flow * heat_capacity * (limit - returned))


@compiled
def vessel_rest(
    rejected: float,
    carried: float,
    returned: float,
    loss: float,
    surroundings: float,
    threshold: float,
) -> tuple[float, float]:
    """Temperature at which the vessel rests and the duty of its turbines, [K] and [-].

    T = (Phi_rej + G T_ret + UA T_amb) / (G + UA)                         if that is >= T_thr
    u = (Phi_rej - UA (T_thr - T_amb)) / (G (T_thr - T_ret)),  T = T_thr  otherwise

    Parameters
    ----------
    rejected : heat into the vessel [W]
    carried : G = N q c, heat capacity flow of all turbines together [W/K]
    returned : temperature of what comes back, < threshold [K]
    loss : conductance UA of the vessel to its surroundings [W/K]
    surroundings : temperature around the vessel [K]
    threshold : above which the turbines run [K]

    Notes
    -----
    Duty 1 means that the turbines run all the time; below that they cycle at the threshold.
    With too little heat to reach the threshold the duty is 0 and the vessel rests at
    T_amb + Phi_rej / UA. With no turbine and no loss it rises for ever: infinite.

    Example
    -------
    >>> temperature, duty = vessel_rest(1298.97e3, 18.9e3, 368.15, 0.0, 293.15, 398.15)
    >>> round(temperature - 273.15, 2), duty
    (163.73, 1.0)
    >>> temperature, duty = vessel_rest(300e3, 18.9e3, 368.15, 0.0, 293.15, 398.15)
    >>> round(temperature - 273.15, 2), round(duty, 3)
    (125.0, 0.529)

    References
    ----------
    Closed form: energy balance of a lump.
    """
    standing = rejected - loss * (threshold - surroundings)
    if standing <= 0.0:
        return (surroundings + rejected / loss if loss > 0.0 else surroundings), 0.0
    if carried <= 0.0:
        return (surroundings + rejected / loss if loss > 0.0 else math.inf), 1.0
    running = (rejected + carried * returned + loss * surroundings) / (carried + loss)
    if running >= threshold:
        return running, 1.0
    return threshold, standing / (carried * (threshold - returned))


@compiled
def loop_load(load: float, fixed: float, share: float, ratio: float) -> float:
    """Load of a loop that also cools its turbine casings, [W].

    Phi_loop = (Phi + Phi_fix) / (1 - phi g)

    Parameters
    ----------
    load : of the consumers [W]
    fixed : heat that all casings give off at any load [W]
    share : phi, of the heat taken by turbines that casings give off [-]
    ratio : g, heat into the vessel per heat taken from the loop, see `fixed_drop.reject_ratio` [-]

    Notes
    -----
    An upper bound: the vessel's own loss is left out. Infinite where share * ratio >= 1.

    Example
    -------
    >>> round(loop_load(1120e3, 9e3, 0.08, 1.0535714) / 1e3, 2)
    1232.92

    References
    ----------
    Closed form: sum of a geometric series.
    """
    if share * ratio >= 1.0:
        return math.inf
    return (load + fixed) / (1.0 - share * ratio)


@compiled
def loop_load_with_loss(
    load: float,
    fixed: float,
    share: float,
    ratio: float,
    carried: float,
    returned: float,
    loss: float,
    surroundings: float,
    threshold: float,
) -> float:
    """Load of a loop that cools its casings, with the vessel's own loss counted, [W].

    Phi_loop = Phi + Phi_fix + phi Phi_t,  Phi_t = g Phi_loop - UA (T - T_amb),  T of `vessel_rest`

    Parameters
    ----------
    load : of the consumers [W]
    fixed : heat that all casings give off at any load [W]
    share : phi, of the heat taken by turbines that casings give off [-]
    ratio : g, heat into the vessel per heat taken from the loop [-]
    carried : G = N q c of all turbines together, > 0 [W/K]
    returned : temperature of what comes back [K]
    loss : conductance UA of the vessel to its surroundings [W/K]
    surroundings : temperature around the vessel [K]
    threshold : above which the turbines run [K]

    Notes
    -----
    Both regimes are linear, so each has one root; the running one is taken if it reaches the
    threshold. Infinite where the feedback is 1 or more.

    Example
    -------
    >>> load = loop_load_with_loss(1120e3, 12e3, 0.08, 1.0535714, 25.2e3, 368.15, 60.0, 293.15, 398.15)
    >>> round(load / 1e3, 1)
    1235.5

    References
    ----------
    Closed form: two linear balances.
    """
    part = carried / (carried + loss)
    if share * ratio >= 1.0:
        return math.inf
    running = (load + fixed - share * part * loss * (returned - surroundings)) / (1.0 - share * part * ratio)
    rest, _ = vessel_rest(ratio * running, carried, returned, loss, surroundings, threshold)
    if rest > threshold:
        return running
    cycling = (load + fixed - share * loss * (threshold - surroundings)) / (1.0 - share * ratio)
    if ratio * cycling >= loss * (threshold - surroundings):
        return cycling
    return load + fixed


@compiled
def bus_gain(efficiency: float, performance: float, share: float) -> float:
    """Turbine power gained per chiller power spent, [-].

    G = eta (COP + kappa)

    Parameters
    ----------
    efficiency : of the turbine on the heat it takes [-]
    performance : of the chiller, cooling per electric power [-]
    share : of the chiller's power that appears in the vessel [-]

    Notes
    -----
    Above 1 the pair feeds itself, which no real plant can.

    Example
    -------
    >>> round(bus_gain(0.55, 1.8667, 0.1), 2)
    1.08

    References
    ----------
    Closed form: energy balance of the bus.
    """
    return efficiency * (performance + share)


@compiled
def break_even_performance(efficiency: float, share: float) -> float:
    """Chiller performance at which turbine power just feeds the chillers, [-].

    COP = (1 - eta kappa) / eta

    Parameters
    ----------
    efficiency : of the turbine on the heat it takes, > 0 [-]
    share : of the chiller's power that appears in the vessel [-]

    Notes
    -----
    Casing heat, leaks and auxiliaries make it a little worse.

    Example
    -------
    >>> round(break_even_performance(0.55, 0.1), 3)
    1.718

    References
    ----------
    Closed form: `bus_gain` equal to 1.
    """
    return (1.0 - efficiency * share) / efficiency
