"""Laws of the room."""

from brinewright.jit import inner
from brinewright.laws.state import put

COMMAND, RUNNING, CAPACITY, CONDUCTANCE, COOLING, FLOW, INLET, OUTLET = 0, 1, 2, 3, 4, 5, 6, 7
LIMIT, COIL, DEAD_END, HEAT_CAPACITY = 0, 1, 2, 3


@inner
def actuate(X, F, P, I, i, p):
    """Stop the coil or let it work: stopped, the coolant finds a dead end or goes past without taking heat."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]])
    running = X[I[i + RUNNING]]
    X[I[i + CONDUCTANCE]] = P[p + COIL] * running
    X[I[i + CAPACITY]] = P[p + LIMIT] * (running if P[p + DEAD_END] != 0.0 else 1.0)


@inner
def observe(X, P, I, i, p):
    """Show the heat flow that the coolant carries away [W]."""
    X[I[i + COOLING]] = X[I[i + FLOW]] * P[p + HEAT_CAPACITY] * (X[I[i + OUTLET]] - X[I[i + INLET]])
