"""Centrifugal pumps: curve, affinity, power, heat into the liquid, suction head."""

import math

from brinewright.jit import compiled


@compiled
def pump_head(flow: float, shut_off: float, fall: float, speed: float) -> tuple[float, float]:
    """Head of a pump on a quadratic curve and its slope, [m] and [s/m2].

    H = s^2 H_0 - a Q |Q|

    Parameters
    ----------
    flow : volumetric [m3/s]
    shut_off : H_0, head at no flow and rated speed [m]
    fall : a, of the curve [s2/m5]
    speed : s, of rated [-]

    Notes
    -----
    Follows the affinity laws. Reverse flow raises the head, so that the curve falls throughout.

    Example
    -------
    >>> head, slope = pump_head(0.01, 40.0, 2e5, 1.0)
    >>> round(head, 9), round(slope, 6)
    (20.0, -4000.0)

    References
    ----------
    Any text on pumps.
    """
    return speed * speed * shut_off - fall * flow * abs(flow), -2.0 * fall * abs(flow)


@compiled
def operating_flow(shut_off: float, fall: float, static: float, resistance: float, pumps: int) -> float:
    """Flow at which equal pumps in parallel meet their system, [m3/s].

    H_0 - a (Q / n)^2 = H_s + b Q^2

    Parameters
    ----------
    shut_off : H_0 [m]
    fall : a, of one pump [s2/m5]
    static : H_s, head to overcome at no flow [m]
    resistance : b, of the system [s2/m5]
    pumps : n, running in parallel [-]

    Notes
    -----
    0 where the static head is not below the shut-off head.

    Example
    -------
    >>> round(operating_flow(40.0, 2e5, 10.0, 1e5, 1), 6)
    0.01

    References
    ----------
    Closed form.
    """
    if shut_off <= static:
        return 0.0
    return math.sqrt((shut_off - static) / (fall / (pumps * pumps) + resistance))


@compiled
def parallel_share(resistance: float, other: float) -> float:
    """Share of a flow that takes the first of two parallel branches, [-].

    Q_1 / Q = sqrt(R_2) / (sqrt(R_1) + sqrt(R_2))

    Parameters
    ----------
    resistance : R_1, loss over squared flow, > 0 [Pa s2/m6]
    other : R_2 of the second branch [Pa s2/m6]

    Notes
    -----
    For losses with the square of flow.

    Example
    -------
    >>> round(parallel_share(1e6, 4e6), 6)
    0.666667

    References
    ----------
    Closed form.
    """
    first = math.sqrt(resistance)
    second = math.sqrt(other)
    return second / (first + second)


@compiled
def affine_flow(flow: float, speed: float) -> float:
    """Flow of the corresponding point at another speed, [m3/s].

    Q_2 = Q_1 s

    Parameters
    ----------
    flow : at the first speed [m3/s]
    speed : s, second over first [-]

    Notes
    -----
    At equal efficiency, no change of viscosity.

    Example
    -------
    >>> round(affine_flow(0.02, 0.8), 6)
    0.016

    References
    ----------
    Affinity laws; any text on pumps.
    """
    return flow * speed


@compiled
def affine_head(head: float, speed: float) -> float:
    """Head of the corresponding point at another speed, [m].

    H_2 = H_1 s^2

    Parameters
    ----------
    head : at the first speed [m]
    speed : s, second over first [-]

    Notes
    -----
    At equal efficiency, no change of viscosity.

    Example
    -------
    >>> round(affine_head(30.0, 0.8), 3)
    19.2

    References
    ----------
    Affinity laws; any text on pumps.
    """
    return head * speed * speed


@compiled
def affine_power(power: float, speed: float) -> float:
    """Power of the corresponding point at another speed, [W].

    P_2 = P_1 s^3

    Parameters
    ----------
    power : at the first speed [W]
    speed : s, second over first [-]

    Notes
    -----
    At equal efficiency, no change of viscosity.

    Example
    -------
    >>> affine_power(1000.0, 2.0)
    8000.0

    References
    ----------
    Affinity laws; any text on pumps.
    """
    return power * speed * speed * speed


@compiled
def pump_efficiency(flow: float, best_flow: float, best: float) -> float:
    """Efficiency of a pump at any flow, [-].

    eta = eta_b (2 r - r^2),  r = Q / Q_b

    Parameters
    ----------
    flow : volumetric [m3/s]
    best_flow : Q_b, of the best point at this speed [m3/s]
    best : eta_b, best efficiency, 0.5 to 0.8 [-]

    Notes
    -----
    A parabola through no flow and the best point; 0 beyond twice the best flow.

    Example
    -------
    >>> round(pump_efficiency(0.005, 0.01, 0.72), 3)
    0.54

    References
    ----------
    Common practice, no source.
    """
    ratio = flow / best_flow
    return max(0.0, best * ratio * (2.0 - ratio))


@compiled
def shaft_power(flow: float, head: float, density: float, gravity: float, efficiency: float) -> float:
    """Power at the pump's shaft, [W].

    P = rho g Q H / eta

    Parameters
    ----------
    flow : volumetric [m3/s]
    head : of the pump [m]
    density : of the liquid [kg/m3]
    gravity : of the site [m/s2]
    efficiency : of the pump, > 0 [-]

    Notes
    -----
    All of it ends as heat in a closed loop, sooner or later.

    Example
    -------
    >>> round(shaft_power(0.0233, 7.3, 998.0, 9.81, 0.7))
    2379

    References
    ----------
    Any text on pumps.
    """
    return density * gravity * flow * head / efficiency


@compiled
def shaft_power_of_pressure(flow: float, pressure: float, efficiency: float) -> float:
    """Power at the pump's shaft from the pressure it makes, [W].

    P = Q dp / eta

    Parameters
    ----------
    flow : volumetric [m3/s]
    pressure : made by the pump [Pa]
    efficiency : of the pump, > 0 [-]

    Notes
    -----
    The same at any gravity.

    Example
    -------
    >>> round(shaft_power_of_pressure(0.01348, 125.8e3, 0.72))
    2355

    References
    ----------
    Any text on pumps.
    """
    return flow * pressure / efficiency


@compiled
def pump_warming(head: float, efficiency: float, heat_capacity: float, gravity: float) -> float:
    """Temperature rise of the liquid in a pump, [K].

    dT = g H (1 / eta - 1) / c

    Parameters
    ----------
    head : of the pump [m]
    efficiency : of the pump, > 0 [-]
    heat_capacity : of the liquid [J/(kg K)]
    gravity : of the site [m/s2]

    Notes
    -----
    What is lost in the pump itself; the useful part g H warms the liquid in the pipes.

    Example
    -------
    >>> round(pump_warming(30.0, 0.6, 4186.0, 9.80665), 5)
    0.04685

    References
    ----------
    First law.
    """
    return gravity * head * (1.0 / efficiency - 1.0) / heat_capacity


@compiled
def suction_head(
    surface: float, vapour: float, density: float, gravity: float, level: float, friction: float
) -> float:
    """Net positive suction head available, [m].

    NPSHa = (p_surface - p_vapour - dp_friction) / (rho g) + z

    Parameters
    ----------
    surface : absolute pressure on the liquid's surface [Pa]
    vapour : vapour pressure at the pump's inlet temperature [Pa]
    density : of the liquid [kg/m3]
    gravity : of the site, > 0 [m/s2]
    level : z, of the surface above the pump [m]
    friction : pressure lost in the suction line [Pa]

    Notes
    -----
    Over saturated condensate only the level counts. Compare with the pump's need times 1.1 to 1.3.

    Example
    -------
    >>> round(suction_head(101325.0, 84609.0, 961.9, 9.80665, 3.0, 0.5 * 961.9 * 9.80665), 2)
    4.27

    References
    ----------
    ANSI/HI 9.6.1 for the margin; from memory.
    """
    return (surface - vapour - friction) / (density * gravity) + level
