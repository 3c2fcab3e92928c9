"""Laws of the room."""

from brinewright.jit import inner
from brinewright.laws.state import put

COMMAND, RUNNING, CAPACITY, CONDUCTANCE = 0, 1, 2, 3
LIMIT, COIL, DEAD_END = 0, 1, 2


@inner
def actuate(X, F, P, I, i, p):
    """Stop the coil or let it work: stopped, the coolant finds a dead end or goes past without taking heat."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]])
    running = X[I[i + RUNNING]]
    X[I[i + CONDUCTANCE]] = P[p + COIL] * running
    X[I[i + CAPACITY]] = P[p + LIMIT] * (running if P[p + DEAD_END] != 0.0 else 1.0)

