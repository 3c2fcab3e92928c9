"""Laws of the condensate pump.

Each turbine that it serves has a place in a list: its hotwell, how much may leave it, whether
anything may, what left it, whether it is blocked, and the temperature of its condensate.
"""

from brinewright.fluids.saturation import saturation_line
from brinewright.jit import inner
from brinewright.laws.state import put
from brinewright.laws.steam_cycle import feed_pump_work

COMMAND, RUNNING, POWERED, POWER, FLOW, HOTWELL, PRESSURE, SERVED, COUNT = 0, 1, 2, 3, 4, 5, 6, 7, 8
CAPACITY, WATTS, EFFICIENCY, LINE_LOSS, HIGHEST_RISE, ROOM = 0, 1, 2, 3, 4, 5
WELL, LIMIT, RETURN, RETURNED, BLOCKED, CONDENSATE = 0, 1, 2, 3, 4, 5
WIDTH = 6

ROOM_AGAIN = 0.9
"""Share of the hotwell's room below which a turbine may run again [-]."""


@inner
def rise(X, P, I, W, i, p):
    """Return the pressure to be overcome [Pa] and v [m3/kg]: dp = p_v - p_c + dp_l (q / q_max)^2."""
    coldest = 1e9
    for k in range(I[i + COUNT]):
        coldest = min(coldest, X[I[I[i + SERVED] + k * WIDTH + CONDENSATE]])
    low, volume, _, _, _, _, _, _, _ = saturation_line(W, coldest)
    share = X[I[i + FLOW]] / P[p + CAPACITY]
    return X[I[i + PRESSURE]] - low + P[p + LINE_LOSS] * share * share, volume


@inner
def actuate(X, F, P, I, W, i, p):
    """Run or stop; say how much each turbine's hotwell may give, in proportion to what it holds [kg/s]."""
    put(X, F, I[i + RUNNING], X[I[i + COMMAND]] * X[I[i + POWERED]])
    able = P[p + CAPACITY] * X[I[i + RUNNING]]
    if P[p + EFFICIENCY] > 0.0 and rise(X, P, I, W, i, p)[0] > P[p + HIGHEST_RISE]:
        able = 0.0
    held = 0.0
    for k in range(I[i + COUNT]):
        held += X[I[I[i + SERVED] + k * WIDTH + WELL]]
    for k in range(I[i + COUNT]):
        row = I[i + SERVED] + k * WIDTH
        share = X[I[row + WELL]] / held if held > 0.0 else 1.0 / I[i + COUNT]
        X[I[row + LIMIT]] = able * share
        put(X, F, I[row + RETURN], 1.0 if able > 0.0 else 0.0)


@inner
def act(X, P, I, W, i, p):
    """Sum up flow [kg/s] and hotwell [kg], draw the power [W]; a full hotwell blocks its turbines."""
    flow = 0.0
    held = 0.0
    for k in range(I[i + COUNT]):
        row = I[i + SERVED] + k * WIDTH
        flow += X[I[row + RETURNED]]
        held += X[I[row + WELL]]
    X[I[i + FLOW]] = flow
    X[I[i + HOTWELL]] = held
    for k in range(I[i + COUNT]):
        place = I[I[i + SERVED] + k * WIDTH + BLOCKED]
        if held >= P[p + ROOM]:
            X[place] = 1.0
        elif held < ROOM_AGAIN * P[p + ROOM]:
            X[place] = 0.0
    if P[p + EFFICIENCY] > 0.0:
        needed, volume = rise(X, P, I, W, i, p)
        X[I[i + POWER]] = flow * feed_pump_work(volume, 0.0, max(needed, 0.0), P[p + EFFICIENCY])
    else:
        X[I[i + POWER]] = P[p + WATTS] * X[I[i + RUNNING]]
