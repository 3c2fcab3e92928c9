"""Laws of the dump valve."""

from brinewright.jit import inner
from brinewright.laws.state import give, stroke
from brinewright.laws.steam_flow import critical_flow

COMMAND, POSITION, POWERED, FLOW, HEAT, LOST, VESSEL, VESSEL_MASS, STEAM_OUT, FLUX, ENTHALPY, PRESSURE = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11
)  # fmt: skip
SINK, AWAY = 12, 13
RATE, FAIL, DECLARED_FLOW, AREA, RETURN_ENTHALPY, RETURNS = 0, 1, 2, 3, 4, 5

MOST_OF_THE_WATER = 0.5
"""Share of the vessel's content that one step may draw at most [-]."""


@inner
def actuate(X, F, P, I, i, p, dt):
    """Stroke towards the command, or to the fail position without power."""
    target = X[I[i + COMMAND]]
    if X[I[i + POWERED]] == 0.0:
        target = P[p + FAIL] if P[p + FAIL] >= 0.0 else X[I[i + POSITION]]
    stroke(X, F, I[i + POSITION], target, P[p + RATE] * dt)


@inner
def act(X, E, C, P, I, i, p, dt):
    """Let steam past the turbines [kg/s]; its heat leaves, its water comes back or is lost."""
    position = X[I[i + POSITION]]
    flow = position * P[p + DECLARED_FLOW]
    if P[p + AREA] > 0.0:
        flow = position * critical_flow(P[p + AREA], X[I[i + PRESSURE]], 0.0)
    flow = min(flow, MOST_OF_THE_WATER * X[I[i + VESSEL_MASS]] / dt)
    X[I[i + FLOW]] = flow
    X[I[i + HEAT]] = 0.0
    if flow <= 0.0:
        return
    enthalpy = X[I[i + ENTHALPY]]
    heat = flow * enthalpy
    if P[p + RETURNS] != 0.0:
        heat = flow * max(enthalpy - P[p + RETURN_ENTHALPY], 0.0)
        give(X, E, C, I[i + SINK], heat * dt)
    else:
        X[I[i + VESSEL_MASS]] -= flow * dt
        X[I[i + LOST]] += flow * dt
        give(X, E, C, I[i + AWAY], heat * dt)
    give(X, E, C, I[i + VESSEL], -heat * dt)
    X[I[i + FLUX]] -= heat
    X[I[i + STEAM_OUT]] += flow
    X[I[i + HEAT]] = heat
