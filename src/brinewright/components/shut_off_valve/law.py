"""Laws of the shut-off valve."""

from brinewright.jit import inner
from brinewright.laws.valve_stroke import moved, opening, resist

COMMAND, POSITION, CAPACITY, POWERED, QUADRATIC = 0, 1, 2, 3, 4
RATE, LIMIT, LEAK, FAIL, COEFFICIENT, CHARACTERISTIC, DENSITY = 0, 1, 2, 3, 4, 5, 6


@inner
def actuate(X, F, P, I, i, p, dt):
    """Stroke towards the command; the capacity follows [kg/s]."""
    position = moved(X, F, I[i + COMMAND], I[i + POWERED], I[i + POSITION], P[p + RATE], P[p + FAIL], dt)
    X[I[i + CAPACITY]] = P[p + LIMIT] * max(position, P[p + LEAK])


@inner
def actuate_coefficient(X, F, P, I, i, p, dt):
    """Stroke towards the command; the resistance follows by the flow coefficient [Pa s2/kg2]."""
    position = moved(X, F, I[i + COMMAND], I[i + POWERED], I[i + POSITION], P[p + RATE], P[p + FAIL], dt)
    share = opening(position, int(P[p + CHARACTERISTIC]), P[p + LEAK])
    resist(X, I[i + QUADRATIC], I[i + CAPACITY], P[p + COEFFICIENT], share, P[p + DENSITY])
