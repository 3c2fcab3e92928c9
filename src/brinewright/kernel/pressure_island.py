"""Flows of a real circuit, from the pressures of pumps, friction, heights and tanks.

Nodes carry the pressure that the liquid would have at the datum of the site, p + rho g z,
so a circuit of one density needs no heights of lines to find its flow; they only tell the
pressure at a place.  The friction of a pipe is taken anew where its flow has moved by more
than a hundredth, until it holds.  A tank that has run empty gives nothing, a full one takes
nothing, and what nothing has moved is not solved again.
"""

import math

from brinewright.jit import inner
from brinewright.kernel.branch_law import CHECK, OPEN, SHUT, pipe_resistance
from brinewright.kernel.layout import (
    BR_FLOW,
    BR_HYDRAULIC,
    BR_I,
    BR_NHYDRAULIC,
    BRANCHES,
    HN_BORE,
    HN_FITTINGS,
    HN_LENGTH,
    HN_LEVEL,
    HN_ROUGHNESS,
    HY_CAPACITY,
    HY_CHECK,
    HY_DROOP,
    HY_HEAD,
    HY_HOLDS_AT,
    HY_LINEAR,
    HY_LOSS,
    HY_NUMBERS,
    HY_PRESSURE,
    HY_QUADRATIC,
    HY_WIDTH,
    IS_BRANCHES,
    IS_DENSITY,
    IS_GRAVITY,
    IS_HF,
    IS_HI,
    IS_I,
    IS_NBRANCHES,
    IS_NF,
    IS_NI,
    IS_NPLAN,
    IS_NTANKS,
    IS_P,
    IS_PLAN,
    IS_REFERENCE,
    IS_TANKS,
    IS_VISCOSITY,
    ISLANDS,
    TANKS,
    TK_BASE,
    TK_GAS,
    TK_HEIGHT,
    TK_I,
    TK_LEVEL,
    TK_MASS,
    TK_MAX,
    TK_MIN,
    TK_P,
)
from brinewright.kernel.pressure import SETTLED, pressure_workspace, solve_pressure

SAME = 1e-9
"""Relative change of an input below which nothing has changed, and of a flow likewise."""
HOLDS = 0.01
"""Relative change of a pipe's flow up to which its friction is kept; the error is of its square."""
LAMINAR = 200.0
"""Reynolds number up to which loss and flow are in proportion, so friction need not be taken anew."""
STILL = 1e-6
"""Flows that are all below this are none [kg/s]: what is left of two tanks that have levelled."""
MOST_TURNS = 24

BOTH, GIVES_ONLY, TAKES_ONLY = 0, 1, 2
"""What a tank may do: both, give only (it is full), take only (it is empty)."""
FIRST_TIME, SOLVED = 0, 1


def room_of_island(n_nodes: int, n_branches: int, n_tanks: int) -> tuple[int, int]:
    """Return how many floats and how many integers an island needs to work in."""
    floats, ints = pressure_workspace(n_nodes, n_branches)
    return n_nodes + 6 * n_branches + 2 + floats, 1 + 4 * n_branches + n_nodes + n_tanks + ints


@inner
def _differs(old, new):
    return abs(old - new) > SAME * max(abs(old), abs(new))


@inner
def _gather(X, P, I, H, r, HF, f, n_nodes, HI, h):
    """Collect what stands in each branch and each tank; tell whether anything has changed."""
    n_branches = I[r + IS_NBRANCHES]
    branches = H[3 * BRANCHES + 1]
    numbers = H[3 * ISLANDS + 2] + (r - H[3 * ISLANDS + 1]) // IS_I * IS_P
    weight = P[numbers + IS_DENSITY] * P[numbers + IS_GRAVITY]
    changed = False
    for node in range(n_nodes):
        tank = I[I[r + IS_PLAN] + 2 * n_branches + node]
        if tank >= 0:
            t = H[3 * TANKS + 1] + tank * TK_I
            p = H[3 * TANKS + 2] + tank * TK_P
            surface = P[p + TK_BASE] + X[I[t + TK_LEVEL]] * P[p + TK_HEIGHT]
            pressure = P[p + TK_GAS] + weight * surface
            if _differs(HF[f + node], pressure):
                HF[f + node] = pressure
                changed = True
    for k in range(n_branches):
        e = branches + I[I[r + IS_BRANCHES] + k] * BR_I
        quadratic = 0.0
        linear = 0.0
        gain = 0.0
        gate = OPEN
        element = I[e + BR_HYDRAULIC]
        for _ in range(I[e + BR_NHYDRAULIC]):
            quadratic += X[I[element + HY_QUADRATIC]] + X[I[element + HY_DROOP]]
            linear += X[I[element + HY_LINEAR]]
            gain += X[I[element + HY_HEAD]]
            if X[I[element + HY_CAPACITY]] <= 0.0:
                gate = SHUT
            elif I[element + HY_CHECK] == 1 and gate == OPEN:
                gate = CHECK
            element += HY_WIDTH
        at = f + n_nodes + k
        if (
            _differs(HF[at], quadratic)
            or _differs(HF[at + n_branches], linear)
            or _differs(HF[at + 2 * n_branches], gain)
            or HI[h + 1 + k] != gate
        ):
            HF[at] = quadratic
            HF[at + n_branches] = linear
            HF[at + 2 * n_branches] = gain
            HI[h + 1 + k] = gate
            changed = True
    return changed


@inner
def _mark_tanks(X, P, I, H, r, HI, marks):
    """Note which tanks are empty and which are full; tell whether that has changed."""
    changed = False
    for k in range(I[r + IS_NTANKS]):
        tank = I[I[r + IS_TANKS] + k]
        t = H[3 * TANKS + 1] + tank * TK_I
        p = H[3 * TANKS + 2] + tank * TK_P
        mass = X[I[t + TK_MASS]]
        mark = BOTH
        if mass - P[p + TK_MIN] <= SAME * mass:
            mark = TAKES_ONLY
        elif P[p + TK_MAX] - mass <= SAME * mass:
            mark = GIVES_ONLY
        if HI[marks + k] != mark:
            HI[marks + k] = mark
            changed = True
    return changed


@inner
def _mark_of(I, r, HI, marks, node):
    """Return what the tank at a node of the island may do."""
    tank = I[I[r + IS_PLAN] + 2 * I[r + IS_NBRANCHES] + node]
    if tank >= 0:
        for k in range(I[r + IS_NTANKS]):
            if I[I[r + IS_TANKS] + k] == tank:
                return HI[marks + k]
    return BOTH


@inner
def _solve(X, I, r, HF, f, HI, h, n_nodes):
    """Solve the island as gathered; return the code.

    Where a tank may only give or only take, its branches are checks in that direction.
    """
    nb = I[r + IS_NBRANCHES]
    quadratic = HF[f + n_nodes : f + n_nodes + nb]
    linear = HF[f + n_nodes + nb : f + n_nodes + 2 * nb]
    gains = f + n_nodes + 2 * nb
    flows = gains + nb
    gain = HF[flows + nb : flows + 2 * nb]
    flow = HF[flows + 2 * nb : flows + 3 * nb]
    report = HF[flows + 3 * nb : flows + 3 * nb + 2]
    work_f = HF[flows + 3 * nb + 2 : f + I[r + IS_NF]]
    gate = HI[h + 1 + nb : h + 1 + 2 * nb]
    tail = HI[h + 1 + 2 * nb : h + 1 + 3 * nb]
    head = HI[h + 1 + 3 * nb : h + 1 + 4 * nb]
    fixed = HI[h + 1 + 4 * nb : h + 1 + 4 * nb + n_nodes]
    marks = h + 1 + 4 * nb + n_nodes
    work_i = HI[marks + I[r + IS_NTANKS] : h + I[r + IS_NI]]
    plan = I[r + IS_PLAN]
    for node in range(n_nodes):
        fixed[node] = 1 if I[plan + 2 * nb + node] >= 0 else 0
    for k in range(nb):
        a = I[plan + k]
        b = I[plan + nb + k]
        state = HI[h + 1 + k]
        at_a = _mark_of(I, r, HI, marks, a)
        at_b = _mark_of(I, r, HI, marks, b)
        forward = state != SHUT and at_a != TAKES_ONLY and at_b != GIVES_ONLY
        backward = state == OPEN and at_a != GIVES_ONLY and at_b != TAKES_ONLY
        turned = backward and not forward
        tail[k] = b if turned else a
        head[k] = a if turned else b
        sign = -1.0 if turned else 1.0
        gain[k] = sign * HF[gains + k]
        flow[k] = sign * HF[flows + k]
        gate[k] = OPEN if forward and backward else (CHECK if forward or backward else SHUT)
    code = solve_pressure(
        tail, head, quadratic, linear, gain, gate, fixed, HF[f : f + n_nodes], flow, report, work_f, work_i
    )
    largest = 0.0
    for k in range(nb):
        largest = max(largest, abs(flow[k]))
    for k in range(nb):
        sign = 1.0 if tail[k] == I[plan + k] else -1.0
        HF[flows + k] = sign * flow[k] if largest > STILL else 0.0
    return code


@inner
def _friction(X, P, I, H, r, HF, flows, turn):
    """Take the friction of pipes anew where the flow has moved; tell whether any has."""
    numbers = H[3 * ISLANDS + 2] + (r - H[3 * ISLANDS + 1]) // IS_I * IS_P
    density = P[numbers + IS_DENSITY]
    viscosity = P[numbers + IS_VISCOSITY]
    moved = False
    for k in range(I[r + IS_NBRANCHES]):
        e = H[3 * BRANCHES + 1] + I[I[r + IS_BRANCHES] + k] * BR_I
        flow = abs(HF[flows + k])
        element = I[e + BR_HYDRAULIC]
        for _ in range(I[e + BR_NHYDRAULIC]):
            p = I[element + HY_NUMBERS]
            if P[p + HN_LENGTH] > 0.0 or P[p + HN_FITTINGS] > 0.0:
                place = I[element + HY_HOLDS_AT]
                last = X[place]
                laminar = LAMINAR * 0.25 * math.pi * P[p + HN_BORE] * viscosity
                first = X[I[element + HY_QUADRATIC]] == 0.0 and X[I[element + HY_LINEAR]] == 0.0
                if first or (flow > 0.0 and abs(flow - last) > HOLDS * flow and max(flow, last) > laminar):
                    # between laminar and turbulent the turns may go to and fro; their mean does not
                    at = last if first else (flow if turn < 4 else 0.5 * (flow + last))
                    X[I[element + HY_QUADRATIC]], X[I[element + HY_LINEAR]] = pipe_resistance(
                        at, P[p + HN_LENGTH], P[p + HN_BORE], P[p + HN_ROUGHNESS], P[p + HN_FITTINGS],
                        density, viscosity,
                    )  # fmt: skip
                    X[place] = at
                    moved = True
            element += HY_WIDTH
    return moved


@inner
def _runs_dry(X, P, I, H, r, HF, flows, HI, marks, n_nodes):
    """Mark tanks that would give more in one tick than they hold; tell whether there are any."""
    nb = I[r + IS_NBRANCHES]
    plan = I[r + IS_PLAN]
    found = False
    for k in range(I[r + IS_NTANKS]):
        tank = I[I[r + IS_TANKS] + k]
        if HI[marks + k] == TAKES_ONLY:
            continue
        rate = 0.0
        for b in range(nb):
            if I[plan + 2 * nb + I[plan + b]] == tank:
                rate -= HF[flows + b]
            if I[plan + 2 * nb + I[plan + nb + b]] == tank:
                rate += HF[flows + b]
        t = H[3 * TANKS + 1] + tank * TK_I
        p = H[3 * TANKS + 2] + tank * TK_P
        if X[I[t + TK_MASS]] + rate < 0.5 * P[p + TK_MIN]:
            HI[marks + k] = TAKES_ONLY
            found = True
    return found


@inner
def _show(X, P, I, H, r, HF, f, n_nodes, HI, h):
    """Write flows, pressures and losses of all elements; tell whether a flow has changed."""
    nb = I[r + IS_NBRANCHES]
    plan = I[r + IS_PLAN]
    flows = f + n_nodes + 3 * nb
    numbers = H[3 * ISLANDS + 2] + (r - H[3 * ISLANDS + 1]) // IS_I * IS_P
    weight = P[numbers + IS_DENSITY] * P[numbers + IS_GRAVITY]
    largest = 0.0
    change = 0.0
    for k in range(nb):
        e = H[3 * BRANCHES + 1] + I[I[r + IS_BRANCHES] + k] * BR_I
        flow = HF[flows + k]
        change = max(change, abs(flow - X[I[e + BR_FLOW]]))
        largest = max(largest, abs(flow))
        X[I[e + BR_FLOW]] = flow
        total = HF[f + I[plan + k]] - HF[f + I[plan + nb + k]]
        taken = 0.0
        element = I[e + BR_HYDRAULIC]
        for _ in range(I[e + BR_NHYDRAULIC]):
            loss = (
                (X[I[element + HY_QUADRATIC]] + X[I[element + HY_DROOP]]) * abs(flow)
                + X[I[element + HY_LINEAR]]
            ) * flow - X[I[element + HY_HEAD]]
            X[I[element + HY_LOSS]] = loss
            taken += loss
            element += HY_WIDTH
        # what stops the flow holds back the rest
        held = total - taken if flow == 0.0 else 0.0
        pressure = HF[f + I[plan + k]]
        element = I[e + BR_HYDRAULIC]
        for _ in range(I[e + BR_NHYDRAULIC]):
            X[I[element + HY_PRESSURE]] = pressure - weight * P[I[element + HY_NUMBERS] + HN_LEVEL]
            stops = X[I[element + HY_CAPACITY]] <= 0.0 or I[element + HY_CHECK] == 1
            if stops and held != 0.0:
                X[I[element + HY_LOSS]] += held
                held = 0.0
            pressure -= X[I[element + HY_LOSS]]
            element += HY_WIDTH
    return change > SAME * largest


@inner
def solve_pressure_island(X, P, I, H, k, HF, HI, counters):
    """Bring one pressure circuit up to date; return 1 if its flows changed, 0 if not, -1 if unsolved."""
    r = H[3 * ISLANDS + 1] + k * IS_I
    f = I[r + IS_HF]
    h = I[r + IS_HI]
    n_nodes = I[r + IS_NPLAN]
    nb = I[r + IS_NBRANCHES]
    flows = f + n_nodes + 3 * nb
    marks = h + 1 + 4 * nb + n_nodes
    changed = _mark_tanks(X, P, I, H, r, HI, marks)
    if HI[h] == FIRST_TIME:
        # a ring without a tank keeps this at its first node
        for node in range(n_nodes):
            HF[f + node] = P[H[3 * ISLANDS + 2] + k * IS_P + IS_REFERENCE]
        _friction(X, P, I, H, r, HF, flows, 0)
    changed = _gather(X, P, I, H, r, HF, f, n_nodes, HI, h) or changed or HI[h] == FIRST_TIME
    if not changed:
        return 0
    turn = 0
    while changed and turn < MOST_TURNS:
        if _solve(X, I, r, HF, f, HI, h, n_nodes) != SETTLED:
            return -1
        counters[3] += 1
        changed = _friction(X, P, I, H, r, HF, flows, turn)
        if changed:
            changed = _gather(X, P, I, H, r, HF, f, n_nodes, HI, h)
        if not changed:
            changed = _runs_dry(X, P, I, H, r, HF, flows, HI, marks, n_nodes)
        turn += 1
    moved = _show(X, P, I, H, r, HF, f, n_nodes, HI, h)
    first = HI[h] == FIRST_TIME
    HI[h] = SOLVED
    return 1 if moved or first else 0
