"""Laws of the three-way valve."""

from brinewright.jit import inner
from brinewright.laws.valve_stroke import moved, opening, resist

COMMAND, POSITION, WAY_A, WAY_B, POWERED = 0, 1, 2, 3, 4
FLOW_A, FLOW_B, COMMON_A, COMMON_B, FLOW, TEMPERATURE = 5, 6, 7, 8, 9, 10
QUADRATIC_A, QUADRATIC_B, LOSS_A, LOSS_B, LOSS = 11, 12, 13, 14, 15
RATE, LIMIT, LEAK, FAIL, COEFFICIENT, CHARACTERISTIC, DENSITY = 0, 1, 2, 3, 4, 5, 6


@inner
def actuate(X, F, P, I, i, p, dt):
    """Stroke towards the commanded way; the ways' capacities [kg/s] are in shares that add up to one."""
    position = moved(X, F, I[i + COMMAND], I[i + POWERED], I[i + POSITION], P[p + RATE], P[p + FAIL], dt)
    X[I[i + WAY_A]] = P[p + LIMIT] * max(position, P[p + LEAK])
    X[I[i + WAY_B]] = P[p + LIMIT] * max(1.0 - position, P[p + LEAK])


@inner
def actuate_coefficient(X, F, P, I, i, p, dt):
    """Stroke towards the commanded way; each way resists by its own share of the stroke [Pa s2/kg2]."""
    position = moved(X, F, I[i + COMMAND], I[i + POWERED], I[i + POSITION], P[p + RATE], P[p + FAIL], dt)
    share = opening(position, int(P[p + CHARACTERISTIC]), P[p + LEAK])
    resist(X, I[i + QUADRATIC_A], I[i + WAY_A], P[p + COEFFICIENT], share, P[p + DENSITY])
    share = opening(1.0 - position, int(P[p + CHARACTERISTIC]), P[p + LEAK])
    resist(X, I[i + QUADRATIC_B], I[i + WAY_B], P[p + COEFFICIENT], share, P[p + DENSITY])


@inner
def observe(X, I, i):
    """Show what passes the common port [kg/s], and its temperature [K]."""
    a = abs(X[I[i + FLOW_A]])
    b = abs(X[I[i + FLOW_B]])
    X[I[i + FLOW]] = X[I[i + FLOW_A]] + X[I[i + FLOW_B]]
    if a + b > 0.0:
        X[I[i + TEMPERATURE]] = (a * X[I[i + COMMON_A]] + b * X[I[i + COMMON_B]]) / (a + b)


@inner
def observe_loss(X, I, i):
    """Show the pressure loss of the way that carries more [Pa]."""
    a = abs(X[I[i + FLOW_A]])
    b = abs(X[I[i + FLOW_B]])
    X[I[i + LOSS]] = X[I[i + LOSS_A]] if a >= b else X[I[i + LOSS_B]]
