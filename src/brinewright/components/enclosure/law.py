"""Laws of the enclosure."""

import math

from brinewright.fluids.line import line_values_at
from brinewright.jit import inner
from brinewright.laws.forced_convection import churchill_bernstein, film_coefficient
from brinewright.laws.free_convection import annulus_conductivity_ratio, annulus_rayleigh, rayleigh_number
from brinewright.laws.radiation import concentric_emissivity, radiative_coefficient
from brinewright.laws.state import put

COMMAND, RUNNING, POWERED, POWER, CASING, SHELL, EDGE, OUTER, TARGET, STREAM, MOST = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10
)  # fmt: skip
GAS, HEAT, CONDUCTANCE, SHED, TABLE = 11, 12, 13, 14, 15
SHELL_CONDUCTANCE, FAN = 0, 1
DECLARED = 2
AREA, DIAMETER, GAP, CASING_EMISSIVITY, SHELL_EMISSIVITY, SPEED, GRAVITY, FILLED = 2, 3, 4, 5, 6, 7, 8, 9

NO_LIMIT = 1e20
"""A stream above this does not get warmer [W/K]."""


@inner
def actuate(X, F, P, I, i, p):
    """Run the fan while it is told to and has power; draw its power [W]."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + POWERED]])
    X[I[i + POWER]] = P[p + FAN] * X[I[i + RUNNING]]


@inner
def shed(X, P, I, i, p):
    """Let the shell shed, at most as a sink behind it allows [W/K]."""
    full = P[p + SHELL_CONDUCTANCE]
    stream = X[I[i + STREAM]]
    if stream <= 0.0:
        full = 0.0
    elif stream <= NO_LIMIT:
        full = -stream * math.expm1(-full / stream)
    over = X[I[i + SHELL]] - X[I[i + TARGET]]
    if full * over > X[I[i + MOST]]:
        full = X[I[i + MOST]] / over
    X[I[i + OUTER]] = full


@inner
def prepare_declared(X, P, I, i, p):
    """Keep the declared conductance of the gas, its factor counted: G = f G_1 [W/K]."""
    X[I[i + EDGE]] = P[p + DECLARED]
    shed(X, P, I, i, p)


@inner
def prepare_real(X, P, I, i, p):
    """Find the conductance from casing to shell at their present temperatures [W/K].

    Free convection in the closed annulus (Raithby and Hollands) or cross-flow over the
    casing (Churchill and Bernstein), whichever is more, and radiation between both.
    """
    casing = X[I[i + CASING]]
    shell = X[I[i + SHELL]]
    area = P[p + AREA]
    inner_diameter = P[p + DIAMETER]
    outer_diameter = inner_diameter + 2.0 * P[p + GAP]
    emissivity = concentric_emissivity(
        P[p + CASING_EMISSIVITY], P[p + SHELL_EMISSIVITY], inner_diameter / outer_diameter
    )
    through = radiative_coefficient(emissivity, casing, shell) * area
    if P[p + FILLED] != 0.0:
        film = 0.5 * (casing + shell)
        density, heat_capacity, viscosity, conductivity = line_values_at(P, I[i + TABLE], film)
        kinematic = viscosity / density
        diffusivity = conductivity / (density * heat_capacity)
        over_gap = rayleigh_number(
            P[p + GRAVITY], 1.0 / film, casing - shell, P[p + GAP], kinematic, diffusivity
        )
        ratio = annulus_conductivity_ratio(
            annulus_rayleigh(over_gap, inner_diameter, outer_diameter), kinematic / diffusivity
        )
        length = area / (math.pi * inner_diameter)
        gas = 2.0 * math.pi * conductivity * ratio * length / math.log(outer_diameter / inner_diameter)
        if P[p + SPEED] > 0.0 and X[I[i + RUNNING]] > 0.0:
            reynolds = P[p + SPEED] * inner_diameter / kinematic
            nusselt = churchill_bernstein(reynolds, kinematic / diffusivity)
            gas = max(gas, film_coefficient(nusselt, conductivity, inner_diameter) * area)
        through += gas
    X[I[i + EDGE]] = through
    shed(X, P, I, i, p)


@inner
def observe(X, I, i):
    """Show what passes the gas and what the shell sheds [W]."""
    casing = X[I[i + CASING]]
    shell = X[I[i + SHELL]]
    X[I[i + GAS]] = 0.5 * (casing + shell)
    X[I[i + CONDUCTANCE]] = X[I[i + EDGE]]
    X[I[i + HEAT]] = X[I[i + EDGE]] * (casing - shell)
    X[I[i + SHED]] = X[I[i + OUTER]] * (shell - X[I[i + TARGET]])
