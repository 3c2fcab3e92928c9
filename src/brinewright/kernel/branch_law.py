"""What a branch of a real island does: its resistance, its drive, and which way it lets flow."""

import math

from brinewright.jit import compiled, inner
from brinewright.laws.pipe_flow import pipe_loss

OPEN, CHECK, SHUT = 0, 1, 2
"""What a branch lets through: both ways, forward only, nothing."""

SMOOTHEST = 0.1
"""Linear resistance that every branch has at least, 1 Pa at 10 kg/s [Pa s/kg]."""
STIFF = 1e10
"""Resistance of a check valve backwards, while it is sought which ones close [Pa s/kg]."""


@compiled
def pipe_resistance(
    flow: float,
    length: float,
    bore: float,
    roughness: float,
    minor: float,
    density: float,
    viscosity: float,
) -> tuple[float, float]:
    """Quadratic and linear resistance of a pipe near a flow, [Pa s2/kg2] and [Pa s/kg].

    R q |q| + L q has the loss and, as far as R and L >= 0 allow, the slope of `pipe_loss` at q

    Parameters
    ----------
    flow : mass flow, either sign [kg/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    roughness : absolute [m]
    minor : sum of loss coefficients on the velocity in this bore [-]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Exact at `flow` only: solve, ask again, until the flow stays. Each turn is a step of
    Newton's method, so three or four suffice. Where the loss rises faster than the square of
    the flow, between laminar and turbulent, L is 0; there ask at the mean of the last two flows,
    or the turns may go to and fro.

    Example
    -------
    >>> quadratic, linear = pipe_resistance(2.0, 100.0, 0.05248, 4.5e-5, 0.0, 998.2, 0.001002)
    >>> round(quadratic * 4.0 + linear * 2.0, -2)
    19500.0

    References
    ----------
    `laws.pipe_flow.pipe_loss`, with Churchill 1977.
    """
    crawling = 0.25 * math.pi * bore * viscosity  # Re 1
    mass = max(abs(flow), crawling)
    loss, slope = pipe_loss(mass / density, length, bore, roughness, minor, density, viscosity)
    slope /= density
    linear = min(max(2.0 * loss / mass - slope, 0.0), loss / mass)
    return (loss / mass - linear) / mass, linear


@inner
def branch_law(
    flow: float, quadratic: float, linear: float, gain: float, state: int, push: float
) -> tuple[float, float]:
    """Pressure that a branch takes at a flow, and its slope; `push` tells the side of a valve at rest."""
    if state == CHECK and (flow < 0.0 or (flow == 0.0 and push < 0.0)):
        return STIFF * flow - gain, STIFF
    smooth = linear + SMOOTHEST
    return quadratic * flow * abs(flow) + smooth * flow - gain, 2.0 * quadratic * abs(flow) + smooth
