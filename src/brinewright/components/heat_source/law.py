"""Laws of the heat source."""

import math

from brinewright.jit import inner
from brinewright.laws.state import move, stroke

COMMAND, RUNNING, HEAT, TARGET, ACCOUNT, SERIES = 0, 1, 2, 3, 4, 5
RATE, CONDUCTANCE, GIVES_ONLY = 0, 1, 2


@inner
def actuate(X, F, P, I, i, p, dt):
    """Open or shut the source."""
    stroke(X, F, I[i + RUNNING], X[I[i + COMMAND]], P[p + RATE] * dt)


@inner
def act_power(X, E, C, I, i, dt):
    """Give the scheduled power, whatever the temperature of what takes it [W]."""
    heat = X[I[i + SERIES]] * X[I[i + RUNNING]]
    X[I[i + HEAT]] = heat
    move(X, E, C, I[i + ACCOUNT], I[i + TARGET], heat * dt)


@inner
def act_contact(X, E, C, P, I, i, p, dt):
    """Exchange with a contact whose temperature nothing changes: Phi = G (T_contact - T) [W].

    Exact over the step for a plain heat capacity.
    """
    target = I[i + TARGET]
    contact = I[i + ACCOUNT]
    difference = X[contact] - X[target]
    conductance = P[p + CONDUCTANCE] * X[I[i + RUNNING]]
    heat = 0.0
    if difference > 0.0 or P[p + GIVES_ONLY] == 0.0:
        rate = conductance * C[target]
        heat = conductance * difference * dt
        if rate > 0.0:
            heat = difference / C[target] * (1.0 - math.exp(-rate * dt))
    X[I[i + HEAT]] = heat / dt
    move(X, E, C, contact, target, heat)
