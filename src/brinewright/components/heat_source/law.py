"""Laws of the heat source."""

from brinewright.jit import inner
from brinewright.laws.state import move, stroke

COMMAND, RUNNING, HEAT, TARGET, ACCOUNT, SERIES = 0, 1, 2, 3, 4, 5
STORE, EDGE, FLOW = 4, 5, 6
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
def prepare_contact(X, P, I, i, p):
    """Let the source touch: Phi = s G (T_store - T), of a stream G = eps q c [W/K]."""
    touches = X[I[i + STORE]] > X[I[i + TARGET]] or P[p + GIVES_ONLY] == 0.0
    X[I[i + EDGE]] = P[p + CONDUCTANCE] * X[I[i + FLOW]] * X[I[i + RUNNING]] if touches else 0.0


@inner
def observe_contact(X, I, i):
    """Show the heat flow that it gives [W]."""
    X[I[i + HEAT]] = X[I[i + EDGE]] * (X[I[i + STORE]] - X[I[i + TARGET]])
