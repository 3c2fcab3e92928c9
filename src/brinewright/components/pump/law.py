"""Laws of the pump."""

from brinewright.jit import inner
from brinewright.laws.state import give, stroke

COMMAND, RUNNING, CAPACITY, POWERED, POWER, ACCOUNT = 0, 1, 2, 3, 4, 5
RATE, FULL, STOPPED, WATTS, HEAT_SHARE = 0, 1, 2, 3, 4


@inner
def actuate(X, F, P, I, i, p, dt):
    """Run up or stop; the capacity follows [kg/s], the power is drawn while it runs [W]."""
    target = X[I[i + COMMAND]] * X[I[i + POWERED]]
    running = stroke(X, F, I[i + RUNNING], target, P[p + RATE] * dt)
    if running > 0.0:
        X[I[i + CAPACITY]] = P[p + FULL] * running
        X[I[i + POWER]] = P[p + WATTS]
    else:
        X[I[i + CAPACITY]] = P[p + STOPPED]
        X[I[i + POWER]] = 0.0


@inner
def cross(X, E, C, P, I, i, p, mass, dt):
    """Return the heat that the liquid takes from the pump in this step [J]; none passes, none is taken."""
    if mass <= 0.0:
        return 0.0
    heat = X[I[i + POWER]] * P[p + HEAT_SHARE] * dt
    give(X, E, C, I[i + ACCOUNT], -heat)
    return heat
