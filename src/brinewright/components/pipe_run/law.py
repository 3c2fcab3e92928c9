"""Law of the layered pipe run."""

import math

from brinewright.jit import inner
from brinewright.laws.forced_convection import pipe_nusselt

FLOW, CONDUCTANCE, LAST = 0, 1, 2
OUTSIDE, BORE, LENGTH, VISCOSITY, CONDUCTIVITY, HEAT_CAPACITY = 0, 1, 2, 3, 4, 5

HOLDS = 0.01
"""Relative change of the flow up to which the film is kept: it moves the film by less than this."""


@inner
def prepare(X, P, I, i, p):
    """Take the film of the liquid anew where the flow has changed [W/K].

    UA = L / (1 / (pi D h) + R_o),  h = Nu k / D,  R_o of wall, insulation and surface by length
    """
    flow = abs(X[I[i + FLOW]])
    if abs(flow - X[I[i + LAST]]) <= HOLDS * flow:
        return
    X[I[i + LAST]] = flow
    bore = P[p + BORE]
    reynolds = 4.0 * flow / (math.pi * bore * P[p + VISCOSITY])
    prandtl = P[p + HEAT_CAPACITY] * P[p + VISCOSITY] / P[p + CONDUCTIVITY]
    nusselt = pipe_nusselt(reynolds, prandtl, bore / P[p + LENGTH])
    film = 1.0 / (math.pi * nusselt * P[p + CONDUCTIVITY])
    X[I[i + CONDUCTANCE]] = P[p + LENGTH] / (film + P[p + OUTSIDE])
