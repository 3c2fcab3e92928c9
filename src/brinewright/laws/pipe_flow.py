"""Flow in a round pipe: velocity, Reynolds number, pressure loss with its slope."""

import math

from brinewright.jit import compiled
from brinewright.laws.friction import churchill


@compiled
def reynolds_number(flow: float, bore: float, density: float, viscosity: float) -> float:
    """Reynolds number of a round pipe, never negative, [-].

    Re = 4 rho |Q| / (pi D mu)

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    bore : inner diameter, > 0 [m]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Laminar below about 2300, turbulent above about 4000.

    Example
    -------
    >>> round(reynolds_number(0.002, 0.05248, 998.2, 0.001002))
    48339

    References
    ----------
    Definition.
    """
    return 4.0 * density * abs(flow) / (math.pi * bore * viscosity)


@compiled
def velocity(flow: float, bore: float) -> float:
    """Mean velocity in a round pipe, [m/s].

    v = 4 Q / (pi D^2)

    Parameters
    ----------
    flow : volumetric, either sign [m3/s]
    bore : inner diameter, > 0 [m]

    Notes
    -----
    Sign of the flow.

    Example
    -------
    >>> round(velocity(0.0135, 0.1325), 2)
    0.98

    References
    ----------
    Mass balance.
    """
    return 4.0 * flow / (math.pi * bore * bore)


@compiled
def darcy_loss(flow: float, length: float, bore: float, factor: float, density: float) -> tuple[float, float]:
    """Pressure loss of a straight pipe at a given friction factor and its slope, [Pa] and [Pa s/m3].

    dp = f (L / D) rho v |v| / 2,  v = 4 Q / (pi D^2)

    Parameters
    ----------
    flow : volumetric, positive from port a to port b [m3/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    factor : Darcy friction factor that suits the Reynolds number [-]
    density : of the liquid [kg/m3]

    Notes
    -----
    Odd in flow. The slope holds the friction factor fixed.

    Example
    -------
    >>> loss, slope = darcy_loss(0.001, 10.0, 0.05, 0.02, 1000.0)
    >>> round(loss, 1)
    518.8

    References
    ----------
    Darcy and Weisbach; any text on fluid mechanics.
    """
    area = math.pi * bore * bore / 4.0
    resistance = factor * length / bore * density / (2.0 * area * area)
    return resistance * flow * abs(flow), 2.0 * resistance * abs(flow)


@compiled
def pipe_loss(
    flow: float,
    length: float,
    bore: float,
    roughness: float,
    minor: float,
    density: float,
    viscosity: float,
) -> tuple[float, float]:
    """Pressure loss of a pipe run with fittings and its slope, [Pa] and [Pa s/m3].

    dp = (f(Re) L / D + K) rho v |v| / 2,  f of `churchill`

    Parameters
    ----------
    flow : volumetric, positive from port a to port b [m3/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    roughness : absolute [m]
    minor : sum of loss coefficients K on the velocity in this bore [-]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Odd and smooth in flow, with a slope above zero at zero flow (laminar), so Newton's method
    on a network never meets a singular matrix from a pipe with length.

    Example
    -------
    >>> loss, slope = pipe_loss(0.002, 100.0, 0.05248, 4.5e-5, 0.0, 998.2, 0.001002)
    >>> round(loss, -2), slope > 0.0
    (19400.0, True)

    References
    ----------
    Darcy and Weisbach with Churchill 1977.
    """
    area = math.pi * bore * bore / 4.0
    per_flow = density * bore / (area * viscosity)
    reynolds = abs(flow) * per_flow
    head = density / (2.0 * area * area)
    if reynolds < 200.0:
        line = 32.0 * viscosity * length / (bore * bore * area)
        return line * flow + minor * head * flow * abs(flow), line + 2.0 * minor * head * abs(flow)
    factor, factor_slope = churchill(reynolds, roughness / bore)
    total = factor * length / bore + minor
    loss = total * head * flow * abs(flow)
    slope = 2.0 * total * head * abs(flow) + factor_slope * per_flow * length / bore * head * flow * flow
    return loss, slope
