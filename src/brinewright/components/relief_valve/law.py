"""Laws of the relief valve."""

from brinewright.jit import inner
from brinewright.laws.state import BUSY, give, put
from brinewright.laws.steam_flow import critical_flow, liquid_flow

SIGNAL, OPEN, FLOW, RELIEVED, VESSEL, VESSEL_MASS, ENTHALPY, FLUX, VESSEL_RELIEVED, PRESSURE, DENSITY = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10
)  # fmt: skip
AWAY, TANK, TANK_MASS, SCALE = 11, 12, 13, 14
DECLARED_FLOW, SHUTS, RANGE, AREA, BACK, TANK_HEAT, SCALE_HEAT = 0, 1, 2, 3, 4, 5, 6

LEAST_LIFT = 0.1
"""Share of its lift at which a spring valve still stands open before it snaps shut [-]."""
LIQUID = 100.0
"""What is drawn is liquid above this density [kg/m3]."""
MOST_OF_THE_WATER = 0.5
"""Share of the vessel's content that one step may draw at most [-]."""


@inner
def actuate(X, I, i):
    """While it blows, the plant is busy: pressures move fast."""
    if X[I[i + OPEN]] > 0.0:
        X[BUSY] = 1.0


@inner
def act(X, E, C, F, P, I, i, p, dt):
    """Let mass and its enthalpy out of the vessel [kg/s].

    Once it has opened at its set pressure, a spring lifts in proportion to the pressure above
    that at which it shuts, by a tenth at least and as far as it goes; there it snaps shut.
    """
    lift = 0.0
    if X[I[i + SIGNAL]] != 0.0:
        lift = 1.0
        if P[p + RANGE] > 0.0:
            lift = min(max((X[I[i + PRESSURE]] - P[p + SHUTS]) / P[p + RANGE], LEAST_LIFT), 1.0)
    put(X, F, I[i + OPEN], lift)
    lift = X[I[i + OPEN]]
    flow = lift * P[p + DECLARED_FLOW]
    if P[p + AREA] > 0.0 and lift > 0.0:
        if X[I[i + DENSITY]] > LIQUID:
            flow = lift * liquid_flow(P[p + AREA], X[I[i + PRESSURE]], P[p + BACK], X[I[i + DENSITY]])
        else:
            flow = lift * critical_flow(P[p + AREA], X[I[i + PRESSURE]], P[p + BACK])
    flow = min(flow, MOST_OF_THE_WATER * X[I[i + VESSEL_MASS]] / dt)
    X[I[i + FLOW]] = flow
    if flow <= 0.0:
        return
    mass = flow * dt
    heat = mass * X[I[i + ENTHALPY]]
    give(X, E, C, I[i + VESSEL], -heat)
    X[I[i + FLUX]] -= heat / dt
    X[I[i + VESSEL_MASS]] -= mass
    X[I[i + VESSEL_RELIEVED]] += mass
    X[I[i + RELIEVED]] += mass
    if P[p + TANK_HEAT] > 0.0:
        # a tank counts its energy from absolute zero, tables of water from the freezing point
        X[I[i + TANK_MASS]] += mass
        give(X, E, C, I[i + TANK], heat + mass * P[p + SCALE_HEAT])
        give(X, E, C, I[i + SCALE], -mass * P[p + SCALE_HEAT])
        C[I[i + TANK]] = 1.0 / (P[p + TANK_HEAT] * X[I[i + TANK_MASS]])
    else:
        give(X, E, C, I[i + AWAY], heat)
