"""Laws of the heat exchanger: what both sides do to each other is found once, then each takes its part."""

from brinewright.jit import inner
from brinewright.laws.exchange import COUNTERFLOW, PARALLEL, exchanged_heat
from brinewright.laws.state import give
from brinewright.laws.two_contents import two_contents

HOT_FLOW, COLD_FLOW, HOT_IN, HOT_OUT, COLD_IN, COLD_OUT, HEAT, SHARE = 0, 1, 2, 3, 4, 5, 6, 7
HOT, COLD, HOT_STORED, COLD_STORED = 8, 9, 10, 11
CONDUCTANCE, HOT_CP, COLD_CP, HOT_CONTENT, COLD_CONTENT = 0, 1, 2, 3, 4
ARRANGEMENT = 3

PASSED, NODE, STORED, OUT = 0, 1, 2, 3
SIGN = 0


@inner
def _entering(X, flow, inlet, outlet):
    """Return the temperature at the port where liquid comes in [K]."""
    return X[inlet] if X[flow] >= 0.0 else X[outlet]


@inner
def _share(heat, hot_flow, cold_flow, hot, cold):
    """Return a heat flow as a share of the highest possible; 0 where nothing could pass."""
    most = min(hot_flow, cold_flow) * abs(hot - cold)
    return abs(heat) / most if most > 0.0 else 0.0


@inner
def meet_contents(X, P, I, i, p, dt):
    """Two stirred contents even out: find the heat that passes in this step [W] and what each keeps [J]."""
    hot_flow = abs(X[I[i + HOT_FLOW]]) * P[p + HOT_CP]
    cold_flow = abs(X[I[i + COLD_FLOW]]) * P[p + COLD_CP]
    hot_in = _entering(X, I[i + HOT_FLOW], I[i + HOT_IN], I[i + HOT_OUT])
    cold_in = _entering(X, I[i + COLD_FLOW], I[i + COLD_IN], I[i + COLD_OUT])
    hot = X[I[i + HOT]]
    cold = X[I[i + COLD]]
    hot_end, cold_end, heat = two_contents(
        hot, cold, hot_in, cold_in, hot_flow, cold_flow, P[p + HOT_CONTENT], P[p + COLD_CONTENT],
        P[p + CONDUCTANCE], dt,
    )  # fmt: skip
    X[I[i + HOT_STORED]] = P[p + HOT_CONTENT] * (hot_end - hot)
    X[I[i + COLD_STORED]] = P[p + COLD_CONTENT] * (cold_end - cold)
    X[I[i + HEAT]] = heat / dt
    X[I[i + SHARE]] = _share(heat / dt, hot_flow, cold_flow, hot_in, cold_in)


@inner
def cross_contents(X, E, C, P, I, i, p, mass, dt):
    """Let one side's content keep its part; return the heat that its liquid takes [J].

    While it stands, what passed is what the content keeps, and its outlet shows the content.
    """
    stored = X[I[i + STORED]]
    give(X, E, C, I[i + NODE], stored)
    if mass <= 0.0:
        X[I[i + OUT]] = X[I[i + NODE]] + stored * C[I[i + NODE]]
        return 0.0
    return P[p + SIGN] * X[I[i + PASSED]] * dt - stored


@inner
def meet_effectiveness(X, P, I, i, p, dt):
    """Two streams pass each other: find the heat that passes in this step [W].

    Phi = eps C_min (T_hi - T_ci); a stream that is turned round turns counterflow into parallel flow.
    """
    hot_flow = abs(X[I[i + HOT_FLOW]]) * P[p + HOT_CP]
    cold_flow = abs(X[I[i + COLD_FLOW]]) * P[p + COLD_CP]
    hot_in = _entering(X, I[i + HOT_FLOW], I[i + HOT_IN], I[i + HOT_OUT])
    cold_in = _entering(X, I[i + COLD_FLOW], I[i + COLD_IN], I[i + COLD_OUT])
    arrangement = int(P[p + ARRANGEMENT])
    if X[I[i + HOT_FLOW]] * X[I[i + COLD_FLOW]] < 0.0:
        if arrangement == COUNTERFLOW:
            arrangement = PARALLEL
        elif arrangement == PARALLEL:
            arrangement = COUNTERFLOW
    heat = exchanged_heat(arrangement, P[p + CONDUCTANCE], hot_flow, cold_flow, hot_in, cold_in)
    X[I[i + HEAT]] = heat
    X[I[i + SHARE]] = _share(heat, hot_flow, cold_flow, hot_in, cold_in)


@inner
def cross_effectiveness(X, P, I, i, p, mass, dt):
    """Return the heat that one side's liquid takes [J]; with one side standing none passes."""
    return P[p + SIGN] * X[I[i + PASSED]] * dt if mass > 0.0 else 0.0
