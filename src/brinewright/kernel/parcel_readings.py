"""What parcels show: the temperature at a place of a run, and what each run holds."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    RUN_HEAT,
    RUN_I,
    RUN_J,
    RUN_LOSS,
    RUN_MEAN,
    RUN_QUEUE,
    RUN_ROOM,
    RUN_STATE,
    RUNS,
    S_MASS,
    S_SCALE,
    S_SHIFT,
    S_SUM,
)

ALIKE = 2e-3
"""Neighbouring parcels closer than this [K] become one."""
SMALLEST_SCALE = 1e-3
"""Below this the frame is laid anew, before digits are lost."""
WEAK = 1e-4
"""Below this share of a difference in one step, when in the step a parcel came or went makes no matter."""
STEEPEST = 1.0
"""Above this change over one parcel its inside is not known well enough to be told apart."""
FINEST = 0.5
"""Greatest share of a run that one parcel may fill where the run exchanges strongly."""


@inner
def temperature_at(X, I, J, Q, i, from_outlet):
    """Return the temperature of the parcel `from_outlet` [kg] upstream of the outlet end [K]."""
    x = I[i + RUN_STATE]
    j = I[i + RUN_J]
    base = I[i + RUN_QUEUE]
    room = I[i + RUN_ROOM]
    place = J[j]
    passed = Q[3 * (base + place)]
    for _ in range(J[j + 1] - 1):
        if passed > from_outlet:
            break
        place += 1
        if place == room:
            place = 0
        passed += Q[3 * (base + place)]
    return X[x + S_SCALE] * Q[3 * (base + place) + 1] + X[x + S_SHIFT]


@inner
def show_runs(X, P, I, H):
    """Show the mean temperature of each run that is asked for it, and the heat that it loses [W]."""
    i = H[3 * RUNS + 1]
    for _ in range(H[3 * RUNS]):
        if I[i + RUN_MEAN] >= 0:
            x = I[i + RUN_STATE]
            X[I[i + RUN_MEAN]] = X[x + S_SUM] / X[x + S_MASS]
            X[I[i + RUN_LOSS]] = -X[I[i + RUN_HEAT]]
        i += RUN_I
