"""Laws of the final sink.

Whatever touches a sink gives its heat to the sink's node.  What limits it stands in two
values that the touching parts read: the heat capacity flow behind the node (as good as
endless but for water), and the most heat that one of them may give.
"""

import math

from brinewright.jit import inner
from brinewright.laws.effectiveness import counterflow
from brinewright.laws.powers import fourth
from brinewright.laws.state import put

COMMAND, RUNNING, POWERED, POWER, HEAT, NODE, STREAM, MOST, USERS, LAST = 0, 1, 2, 3, 4, 5, 6, 7, 8, 9
SERIES, LEAVING, SKY, AIR, ATTACHED, REMOVED = 10, 11, 12, 13, 14, 15
TYPE, WATTS, RADIATION, AIR_CONDUCTANCE, FAR_CONDUCTANCE, FAR = 0, 1, 2, 3, 4, 5
CONTACT, RADIATOR, GROUND, WATER, DECLARED = 0.0, 1.0, 2.0, 3.0, 4.0

EDGE, TARGET, SINK, SINK_STREAM, SINK_MOST, FLOW, INLET = 0, 1, 2, 3, 4, 5, 6
CONDUCTANCE, HEAT_CAPACITY, BY_DECLARATION = 0, 1, 2

ENDLESS = 1e30
NO_LIMIT = 1e20
"""A stream above this does not get warmer [W/K]."""
NEARLY_ALL = 1.0 - 1e-12


@inner
def actuate(X, F, P, I, i, p):
    """Run while it is told to and has power; draw its power [W]."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + POWERED]])
    X[I[i + POWER]] = P[p + WATTS] * X[I[i + RUNNING]]


@inner
def surface(load, guess, attached, radiation, air_conductance, sky, air):
    """Return the temperature at which a surface that stores nothing sheds a load [K].

    R (T^4 - T_sky^4) + H (T - T_air) = Phi - G (T - T_0), where G says how the load falls
    as the surface gets warmer than it was.
    """
    T = max(guess, sky, 1.0)
    for _ in range(60):
        radiated = radiation * (fourth(T) - fourth(sky))
        over = radiated + air_conductance * (T - air) - load + attached * (T - guess)
        change = over / (4.0 * radiation * T * T * T + air_conductance + attached)
        T = max(T - change, 0.5 * T)
        if abs(change) < 1e-9:
            break
    return T


@inner
def prepare(X, P, I, i, p):
    """Say what may be given to it in this step."""
    running = X[I[i + RUNNING]]
    users = max(X[I[i + USERS]], 1.0)
    kind = P[p + TYPE]
    X[I[i + STREAM]] = ENDLESS * running
    X[I[i + MOST]] = ENDLESS
    if kind == WATER:
        X[I[i + STREAM]] = X[I[i + SERIES]] * P[p + RADIATION] * running / users
    elif kind == DECLARED:
        X[I[i + MOST]] = X[I[i + SERIES]] * running / users


@inner
def prepare_touch(X, C, P, I, i, p, dt):
    """Find the conductance that gives the heat of this step, from what is cooled to the sink's node [W/K].

    A lump against a stream: C (1 - exp(-G / C)).  Liquid against a stream: counterflow,
    written as the conductance to a constant temperature that cools the liquid as far.
    """
    stream = X[I[i + SINK_STREAM]]
    given = 0.0
    carried = abs(X[I[i + FLOW]]) * P[p + HEAT_CAPACITY]
    full = P[p + CONDUCTANCE]
    if stream <= 0.0:
        given = 0.0
    elif P[p + BY_DECLARATION] != 0.0:
        if P[p + HEAT_CAPACITY] == 0.0:
            over = X[I[i + TARGET]] - X[I[i + SINK]]
            if over > 0.0:
                given = X[I[i + SINK_MOST]] / over
                if C[I[i + TARGET]] > 0.0:
                    given = min(given, 0.5 / (dt * C[I[i + TARGET]]))
        elif carried > 0.0 and X[I[i + INLET]] > X[I[i + SINK]]:
            share = X[I[i + SINK_MOST]] / (carried * (X[I[i + INLET]] - X[I[i + SINK]]))
            given = -carried * math.log1p(-min(share, NEARLY_ALL))
    elif stream > NO_LIMIT:
        given = full
    elif carried <= 0.0:
        given = -stream * math.expm1(-full / stream)
    else:
        least = min(carried, stream)
        share = counterflow(full / least, least / max(carried, stream)) * least / carried
        given = -carried * math.log1p(-min(share, NEARLY_ALL))
    X[I[i + EDGE]] = given


@inner
def observe(X, E, P, I, i, p, dt):
    """Show the heat that left [W]; find the surface, or the leaving water, that goes with it [K]."""
    node = I[i + NODE]
    kind = P[p + TYPE]
    heat = (E[node] - X[I[i + LAST]]) / dt
    if kind == GROUND:
        heat += P[p + FAR_CONDUCTANCE] * (X[node] - P[p + FAR])
    elif kind == DECLARED:
        E[I[i + REMOVED]] += E[node]
        E[node] = 0.0
    elif kind == RADIATOR:
        X[node] = surface(
            heat, X[node], X[I[i + ATTACHED]], P[p + RADIATION], P[p + AIR_CONDUCTANCE], X[I[i + SKY]],
            X[I[i + AIR]],
        )  # fmt: skip
    elif kind == WATER:
        carried = X[I[i + SERIES]] * P[p + RADIATION]
        X[I[i + LEAVING]] = X[node] + (heat / carried if carried > 0.0 else 0.0)
    X[I[i + LAST]] = E[node]
    X[I[i + HEAT]] = heat
