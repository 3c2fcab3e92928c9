"""Water hammer: what a column of liquid does when a valve shuts."""

import math

from brinewright.jit import compiled


@compiled
def wave_speed(bulk_modulus: float, density: float, bore: float, wall: float, elasticity: float) -> float:
    """Speed of a pressure wave in a thin elastic pipe, [m/s].

    a = sqrt((K / rho) / (1 + K D / (E e)))

    Parameters
    ----------
    bulk_modulus : K, of the liquid [Pa]
    density : of the liquid [kg/m3]
    bore : D [m]
    wall : e, thickness [m]
    elasticity : E, modulus of the wall, infinite for a rigid one [Pa]

    Notes
    -----
    Free gas lowers it much further.

    Example
    -------
    >>> round(wave_speed(2.19e9, 998.0, 0.1, 0.004, 200e9))
    1313

    References
    ----------
    Korteweg 1878; any text on transients.
    """
    return math.sqrt(bulk_modulus / density / (1.0 + bulk_modulus * bore / (elasticity * wall)))


@compiled
def critical_time(length: float, speed: float) -> float:
    """Closing time below which the full blow comes, [s].

    t = 2 L / a

    Parameters
    ----------
    length : of the pipe to the next free surface [m]
    speed : of the wave [m/s]

    Notes
    -----
    The wave's way there and back.

    Example
    -------
    >>> round(critical_time(120.0, 1450.0), 3)
    0.166

    References
    ----------
    Joukowsky 1898.
    """
    return 2.0 * length / speed


@compiled
def surge(density: float, speed: float, velocity: float, length: float, closing: float) -> float:
    """Pressure rise when a flow is stopped, on top of what stands there, [Pa].

    dp = rho a v  for closing <= 2 L / a,  else  2 rho L v / t

    Parameters
    ----------
    density : of the liquid [kg/m3]
    speed : of the wave, about 1450 in a rigid pipe [m/s]
    velocity : that is stopped [m/s]
    length : of the pipe to the next free surface [m]
    closing : time in which the valve shuts [s]

    Notes
    -----
    The slow form is Michaud's bound for a flow that falls evenly; real valves stop most of it
    in the last part of their stroke, so take the effective time.

    Example
    -------
    >>> round(surge(1028.4, 1450.0, 0.98, 120.0, 0.0) / 1e5, 1)
    14.6

    References
    ----------
    Joukowsky 1898; Michaud 1878.
    """
    if closing * speed <= 2.0 * length:
        return density * speed * velocity
    return 2.0 * density * length * velocity / closing
