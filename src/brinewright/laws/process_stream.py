"""A liquid or a gas of a process that the coolant cools on its way: laws on the plant's state."""

from brinewright.jit import inner
from brinewright.laws.exchange import exchanged_heat
from brinewright.laws.state import give, put
from brinewright.laws.two_contents import two_contents

COMMAND, RUNNING, CAPACITY, FLOW, FLOW_SERIES, INLET_SERIES, TEMPERATURE = 0, 1, 2, 3, 4, 5, 6
COOLING, ACCOUNT, COOLANT, OUT = 7, 8, 9, 10
LIMIT, DEAD_END, HEAT_CAPACITY, CONDUCTANCE = 0, 1, 2, 3
CONTENT, COOLANT_CONTENT = 4, 5
ARRANGEMENT = 4


@inner
def actuate(X, F, P, I, i, p):
    """Run or stop; stopped, the stream stops too, and the coolant finds a dead end or goes past."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]])
    running = X[I[i + RUNNING]]
    X[I[i + FLOW]] = X[I[i + FLOW_SERIES]] * running
    X[I[i + CAPACITY]] = P[p + LIMIT] * (running if P[p + DEAD_END] != 0.0 else 1.0)


@inner
def cross_contents(X, E, C, P, I, i, p, mass, temperature, cp, dt):
    """Let the contents of stream and coolant even out; return the heat that the coolant takes [J].

    Both are stirred; what the stream brings comes from its account, and goes there with what leaves.
    """
    node = I[i + TEMPERATURE]
    coolant = I[i + COOLANT]
    stream = X[I[i + FLOW]] * P[p + HEAT_CAPACITY]
    end, coolant_end, heat = two_contents(
        X[node], X[coolant], X[I[i + INLET_SERIES]], temperature, stream, mass * cp / dt,
        P[p + CONTENT], P[p + COOLANT_CONTENT], P[p + CONDUCTANCE] * X[I[i + RUNNING]], dt,
    )  # fmt: skip
    kept = P[p + CONTENT] * (end - X[node])
    stored = P[p + COOLANT_CONTENT] * (coolant_end - X[coolant])
    if mass <= 0.0:
        stored = heat
        X[I[i + OUT]] = X[coolant] + stored * C[coolant]
    give(X, E, C, node, kept)
    give(X, E, C, I[i + ACCOUNT], -kept - heat)
    give(X, E, C, coolant, stored)
    X[I[i + COOLING]] = heat / dt
    return heat - stored


@inner
def cross_passing(X, E, C, P, I, i, p, mass, temperature, cp, dt):
    """Let the stream pass the coolant in an exchanger; return the heat that the coolant takes [J].

    Phi = eps C_min (T_in - T_k),  T = T_in - Phi / (q c)
    """
    stream = X[I[i + FLOW]] * P[p + HEAT_CAPACITY]
    inlet = X[I[i + INLET_SERIES]]
    conductance = P[p + CONDUCTANCE] * X[I[i + RUNNING]]
    heat = 0.0
    if mass > 0.0 and stream > 0.0:
        heat = exchanged_heat(
            int(P[p + ARRANGEMENT]), conductance, stream, mass * cp / dt, inlet, temperature
        )
        give(X, E, C, I[i + ACCOUNT], -heat * dt)
    X[I[i + COOLING]] = heat
    X[I[i + TEMPERATURE]] = inlet - heat / stream if stream > 0.0 else inlet
    return heat * dt
