"""Laws of the machine."""

from brinewright.jit import inner
from brinewright.laws.state import move, put

COMMAND, RUNNING, POWERED, POWER, HEAT, POWER_SERIES, HEAT_SERIES, NODE, ACCOUNT = 0, 1, 2, 3, 4, 5, 6, 7, 8
CAPACITY, CONDUCTANCE = 9, 10
LIMIT, FULL, DEAD_END = 0, 1, 2


@inner
def actuate(X, F, P, I, i, p):
    """Run or stop; stopped, the coolant finds a dead end or goes past without taking heat."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + POWERED]])
    X[I[i + CONDUCTANCE]] = P[p + FULL] * (X[I[i + COMMAND]])
    X[I[i + CAPACITY]] = P[p + LIMIT] * (X[I[i + COMMAND]] if P[p + DEAD_END] != 0.0 else 1.0)


@inner
def act(X, E, C, I, i, dt):
    """Make heat while it runs [W]; draw its power [W]."""
    running = X[I[i + RUNNING]]
    X[I[i + POWER]] = X[I[i + POWER_SERIES]] * running
    X[I[i + HEAT]] = X[I[i + HEAT_SERIES]] * running
    move(X, E, C, I[i + ACCOUNT], I[i + NODE], X[I[i + HEAT]] * dt)
