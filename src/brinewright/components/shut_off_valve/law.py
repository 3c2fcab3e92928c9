"""Law of the shut-off valve."""

from brinewright.jit import inner
from brinewright.laws.state import stroke

COMMAND, POSITION, CAPACITY, POWERED = 0, 1, 2, 3
RATE, LIMIT, LEAK, FAIL = 0, 1, 2, 3


@inner
def actuate(X, F, P, I, i, p, dt):
    """Stroke towards the command, or to the fail position without power; the capacity follows [kg/s]."""
    target = X[I[i + COMMAND]]
    if X[I[i + POWERED]] == 0.0:
        target = P[p + FAIL] if P[p + FAIL] >= 0.0 else X[I[i + POSITION]]
    position = stroke(X, F, I[i + POSITION], target, P[p + RATE] * dt)
    X[I[i + CAPACITY]] = P[p + LIMIT] * max(position, P[p + LEAK])
