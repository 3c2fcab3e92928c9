"""Law of the three-way valve."""

from brinewright.jit import inner
from brinewright.laws.state import stroke

COMMAND, POSITION, WAY_A, WAY_B, POWERED = 0, 1, 2, 3, 4
RATE, LIMIT, LEAK, FAIL = 0, 1, 2, 3


@inner
def actuate(X, F, P, I, i, p, dt):
    """Stroke towards the commanded way; the ways' capacities [kg/s] are in shares that add up to one."""
    target = X[I[i + COMMAND]]
    if X[I[i + POWERED]] == 0.0:
        target = P[p + FAIL] if P[p + FAIL] >= 0.0 else X[I[i + POSITION]]
    position = stroke(X, F, I[i + POSITION], target, P[p + RATE] * dt)
    X[I[i + WAY_A]] = P[p + LIMIT] * max(position, P[p + LEAK])
    X[I[i + WAY_B]] = P[p + LIMIT] * max(1.0 - position, P[p + LEAK])
