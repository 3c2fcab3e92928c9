"""Flow of a real island: pumps on their curves against friction, heights and tank pressures.

Along each open branch    p_tail - p_head = R q |q| + (L + l) q - G
and at each free node what enters leaves.  q is the mass flow [kg/s], R and L the quadratic
and the linear resistance, G what drives the branch at rest (pump and height), l a resistance
so small that no real branch is smoother.  The laws rise with q, so the flow is the one least
point of a convex function; Newton's method on flows and pressures together (Todini and
Pilati 1988) with a line search on that function finds it from any start.

A check valve is at first a branch that is very stiff backwards, which keeps the function
convex; then those that close are taken out and the rest is solved exactly.
"""

import math

import numpy as np
from numpy.typing import NDArray

from brinewright.jit import compiled, inner
from brinewright.laws.pipe_flow import pipe_loss

OPEN, CHECK, SHUT = 0, 1, 2
"""What a branch lets through: both ways, forward only, nothing."""

SETTLED = 0
"""Flows and pressures satisfy every law."""
UNSETTLED = 2
"""Newton's method did not arrive; the flow must not be used."""

SMOOTHEST = 0.1
"""Linear resistance that every branch has at least, 1 Pa at 10 kg/s [Pa s/kg]."""
STIFF = 1e10
"""Resistance of a check valve backwards, while it is sought which ones close [Pa s/kg]."""
AT_REST = 1e-5
"""Forward pressure that does not open a check valve [Pa]."""
MOST_STEPS = 100
MOST_ROUNDS = 200
MOST_AT_ONCE = 10

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def pressure_workspace(n_nodes: int, n_branches: int) -> tuple[int, int]:
    """Return how many floats and how many integers `solve_pressure` needs to work in."""
    return n_nodes * n_nodes + 2 * n_nodes + 2 * n_branches, 4 * n_nodes + n_branches


@compiled
def pipe_resistance(
    flow: float,
    length: float,
    bore: float,
    roughness: float,
    minor: float,
    density: float,
    viscosity: float,
) -> tuple[float, float]:
    """Quadratic and linear resistance of a pipe near a flow, [Pa s2/kg2] and [Pa s/kg].

    R q |q| + L q has the loss and, as far as R and L >= 0 allow, the slope of `pipe_loss` at q

    Parameters
    ----------
    flow : mass flow, either sign [kg/s]
    length : of the pipe [m]
    bore : inner diameter, > 0 [m]
    roughness : absolute [m]
    minor : sum of loss coefficients on the velocity in this bore [-]
    density : of the liquid [kg/m3]
    viscosity : dynamic, > 0 [Pa s]

    Notes
    -----
    Exact at `flow` only: solve, ask again, until the flow stays. Each turn is a step of
    Newton's method, so three or four suffice; where the friction factor jumps up between
    laminar and turbulent L stays 0 and more are needed.

    Example
    -------
    >>> quadratic, linear = pipe_resistance(2.0, 100.0, 0.05248, 4.5e-5, 0.0, 998.2, 0.001002)
    >>> round(quadratic * 4.0 + linear * 2.0, -2)
    19500.0

    References
    ----------
    `laws.pipe_flow.pipe_loss`, with Churchill 1977.
    """
    crawling = 0.25 * math.pi * bore * viscosity  # Re 1
    mass = max(abs(flow), crawling)
    loss, slope = pipe_loss(mass / density, length, bore, roughness, minor, density, viscosity)
    slope /= density
    linear = min(max(2.0 * loss / mass - slope, 0.0), loss / mass)
    return (loss / mass - linear) / mass, linear


@inner
def _law(
    flow: float, quadratic: float, linear: float, gain: float, state: int, push: float
) -> tuple[float, float]:
    """Pressure that a branch takes at a flow, and its slope; `push` tells the side of a valve at rest."""
    if state == CHECK and (flow < 0.0 or (flow == 0.0 and push < 0.0)):
        return STIFF * flow - gain, STIFF
    smooth = linear + SMOOTHEST
    return quadratic * flow * abs(flow) + smooth * flow - gain, 2.0 * quadratic * abs(flow) + smooth


@inner
def _anchor(tail: Ints, head: Ints, state: Ints, fixed: Ints, place: Ints, queue: Ints) -> int:
    """Number the free nodes into `place`; -1 for nodes that hold their pressure.

    A piece that no open branch ties to a fixed node has no pressure of its own: its first
    node then keeps what it has, and -2 marks it.
    """
    n_nodes = fixed.size
    for node in range(n_nodes):
        place[node] = -1 if fixed[node] != 0 else -3
    free = 0
    for turn in range(2 * n_nodes):
        seed = turn % n_nodes
        if turn < n_nodes:
            if fixed[seed] == 0:
                continue
        elif place[seed] == -3:
            place[seed] = -2
        else:
            continue
        queue[0] = seed
        first, last = 0, 1
        while first < last:
            node = queue[first]
            first += 1
            for branch in range(tail.size):
                if state[branch] == SHUT:
                    continue
                other = -1
                if tail[branch] == node:
                    other = head[branch]
                elif head[branch] == node:
                    other = tail[branch]
                if other >= 0 and place[other] == -3:
                    place[other] = free
                    free += 1
                    queue[last] = other
                    last += 1
    return free


@inner
def _solve_symmetric(matrix: Floats, right: Floats, n: int) -> None:
    """Solve a positive definite system in place: L D L', row by row; the answer is in `right`."""
    for i in range(n):
        for j in range(i):
            entry = matrix[i * n + j]
            for k in range(j):
                entry -= matrix[i * n + k] * matrix[j * n + k]
            matrix[i * n + j] = entry
        pivot = matrix[i * n + i]
        for j in range(i):
            scaled = matrix[i * n + j] / matrix[j * n + j]
            pivot -= scaled * matrix[i * n + j]
            matrix[i * n + j] = scaled
        matrix[i * n + i] = pivot
    for i in range(n):
        for k in range(i):
            right[i] -= matrix[i * n + k] * right[k]
    for i in range(n - 1, -1, -1):
        right[i] /= matrix[i * n + i]
        for k in range(i + 1, n):
            right[i] -= matrix[k * n + i] * right[k]


@inner
def _newton(
    tail: Ints,
    head: Ints,
    quadratic: Floats,
    linear: Floats,
    gain: Floats,
    state: Ints,
    place: Ints,
    n_free: int,
    pressure: Floats,
    flow: Floats,
    is_cold: bool,
    is_balanced: bool,
    matrix: Floats,
    right: Floats,
    way: Floats,
    slope: Floats,
) -> float:
    """Bring flows and pressures to rest; the largest pressure left over [Pa], negative if not there."""
    scale = 0.0
    lowest, highest = np.inf, -np.inf
    for node in range(place.size):
        if place[node] < 0:
            lowest, highest = min(lowest, pressure[node]), max(highest, pressure[node])
    for branch in range(tail.size):
        if state[branch] != SHUT:
            scale = max(scale, abs(gain[branch]))
    scale = max(scale, highest - lowest)
    best = np.inf
    for step in range(MOST_STEPS):
        # linearise each branch, and balance every free node
        matrix[: n_free * n_free] = 0.0
        right[:] = 0.0
        left_over = 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            push = pressure[tail[branch]] - pressure[head[branch]]
            if is_cold and step == 0:
                slope[branch] = linear[branch] + SMOOTHEST + math.sqrt(scale * quadratic[branch])
                way[branch] = push + gain[branch]
            else:
                taken, slope[branch] = _law(
                    flow[branch], quadratic[branch], linear[branch], gain[branch], state[branch],
                    push + gain[branch],
                )  # fmt: skip
                way[branch] = push - taken
                left_over = max(left_over, abs(way[branch]))
            ease = 1.0 / slope[branch]
            new = flow[branch] + way[branch] * ease
            i, j = place[tail[branch]], place[head[branch]]
            if i >= 0:
                matrix[i * n_free + i] += ease
                right[i] -= new
            if j >= 0:
                matrix[j * n_free + j] += ease
                right[j] += new
            if i >= 0 and j >= 0:
                matrix[i * n_free + j] -= ease
                matrix[j * n_free + i] -= ease
        _solve_symmetric(matrix, right, n_free)
        change, largest, fall = 0.0, 0.0, 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            i, j = place[tail[branch]], place[head[branch]]
            rise = (right[i] if i >= 0 else 0.0) - (right[j] if j >= 0 else 0.0)
            way[branch] = (way[branch] + rise) / slope[branch]
            fall += way[branch] * way[branch] * slope[branch]
            change = max(change, abs(way[branch]))
            largest = max(largest, abs(flow[branch]))
        for node in range(place.size):
            if place[node] >= 0:
                pressure[node] += right[place[node]]
        share = 1.0
        if step > 0 or is_balanced:
            share = _share_of_step(tail, head, quadratic, linear, gain, state, pressure, flow, way, fall)
        for branch in range(tail.size):
            if state[branch] != SHUT:
                flow[branch] += share * way[branch]
        # at the bottom the steps are roundings and stop to shrink
        is_small = change <= 1e-9 * largest + 1e-10
        is_still = share == 1.0 and change <= 1e-6 * largest and change >= 0.5 * best
        if (is_small or is_still) and left_over <= 1e-6 * scale + 1e-9 and step > 0:
            return left_over
        best = min(best, change)
    return -1.0


@inner
def _share_of_step(
    tail: Ints,
    head: Ints,
    quadratic: Floats,
    linear: Floats,
    gain: Floats,
    state: Ints,
    pressure: Floats,
    flow: Floats,
    way: Floats,
    fall: float,
) -> float:
    """Share of a Newton step to take: all of it, or where the convex function stops falling.

    Along the step its slope is sum of (taken - given) times the step, and only rises.
    """
    low, high = 0.0, 1.0
    share = 1.0
    for _ in range(40):
        rise = 0.0
        for branch in range(tail.size):
            if state[branch] == SHUT:
                continue
            push = pressure[tail[branch]] - pressure[head[branch]]
            taken, _slope = _law(
                flow[branch] + share * way[branch], quadratic[branch], linear[branch], gain[branch],
                state[branch], push + gain[branch],
            )  # fmt: skip
            rise += way[branch] * (taken - push)
        if rise <= 0.5 * fall and (share == 1.0 or rise >= -0.5 * fall):
            break
        if rise > 0.0:
            high = share
        else:
            low = share
        share = 0.5 * (low + high)
    return share


@inner
def _close_balance(
    tail: Ints,
    head: Ints,
    state: Ints,
    place: Ints,
    flow: Floats,
    slope: Floats,
    left: Floats,
    order: Ints,
    parent: Ints,
) -> None:
    """Balance every free node to the last digit along a tree of the smoothest branches."""
    left[:] = 0.0
    for branch in range(tail.size):
        left[tail[branch]] -= flow[branch]
        left[head[branch]] += flow[branch]
    n_seen = 0
    for node in range(place.size):
        parent[node] = -2
        if place[node] < 0:
            parent[node] = -1
            order[n_seen] = node
            n_seen += 1
    n_roots = n_seen
    while n_seen < place.size:
        chosen = -1
        for branch in range(tail.size):
            if state[branch] == SHUT or (parent[tail[branch]] == -2) == (parent[head[branch]] == -2):
                continue
            if chosen < 0 or slope[branch] < slope[chosen]:
                chosen = branch
        node = tail[chosen] if parent[tail[chosen]] == -2 else head[chosen]
        parent[node] = chosen
        order[n_seen] = node
        n_seen += 1
    for turn in range(n_seen - 1, n_roots - 1, -1):
        node = order[turn]
        branch = parent[node]
        if head[branch] == node:
            flow[branch] -= left[node]
            left[tail[branch]] += left[node]
        else:
            flow[branch] += left[node]
            left[head[branch]] += left[node]


@inner
def _turn_checks(
    tail: Ints,
    head: Ints,
    gain: Floats,
    gate: Ints,
    state: Ints,
    pressure: Floats,
    flow: Floats,
    one_only: bool,
) -> bool:
    """Shut the check valves that flow backwards, open those pushed forward; whether all were right.

    All at once at first; later one at a time by number, which can't go round in circles
    (Murty, Linear Algebra Appl. 7 (1974) 75).
    """
    all_right = True
    for branch in range(tail.size):
        if gate[branch] != CHECK:
            continue
        push = pressure[tail[branch]] - pressure[head[branch]] + gain[branch]
        if state[branch] == CHECK and flow[branch] < 0.0:
            state[branch] = SHUT
            flow[branch] = 0.0
        elif state[branch] == SHUT and push > AT_REST:
            state[branch] = CHECK
        else:
            continue
        all_right = False
        if one_only:
            break
    return all_right


@compiled
def solve_pressure(
    tail: Ints,
    head: Ints,
    quadratic: Floats,
    linear: Floats,
    gain: Floats,
    gate: Ints,
    fixed: Ints,
    pressure: Floats,
    flow: Floats,
    report: Floats,
    work_f: Floats,
    work_i: Ints,
) -> int:
    """Flow of every branch [kg/s] and pressure of every node [Pa] of a real island; returns a code.

    p_tail - p_head = R q |q| + L q - G

    Parameters
    ----------
    tail, head : node that each branch leaves and enters at positive flow
    quadratic : R >= 0, the droop of a pump's curve included [Pa s2/kg2]
    linear : L >= 0 [Pa s/kg]
    gain : G, pressure of the pump at rest and of the fall from tail to head [Pa]
    gate : `OPEN`, `CHECK` or `SHUT`
    fixed : 1 where the node holds its pressure: the surface of a tank, the reference of a ring
    pressure : of each node; that of fixed nodes is read, the rest is a first guess and is set [Pa]
    flow : of each branch; the last flow as a first guess, and is set [kg/s]
    report : gets the largest pressure that a branch leaves unexplained [Pa], and the rounds
    work_f, work_i : room to work in, of the lengths that `pressure_workspace` tells

    Returns
    -------
    `SETTLED` or `UNSETTLED`.

    Notes
    -----
    Pressures all on one footing, gauge or absolute. A piece that open branches tie to no fixed
    node keeps the pressure of its first node: its flows are right, its pressures float. Every
    free node balances to rounding. Through a pump that runs backwards R and G go on.

    Example
    -------
    A pump of 40 kPa at rest lifts 10 kPa against friction: 30 kPa are left for 3 q^2 + 0.1 q.

    >>> import numpy as np
    >>> floats, ints = pressure_workspace(2, 1)
    >>> flow, pressure, report = np.zeros(1), np.array([0.0, 10e3]), np.zeros(2)
    >>> one, zero = np.ones(1), np.zeros(1)
    >>> solve_pressure(
    ...     np.array([0]),
    ...     np.array([1]),
    ...     3.0 * one,
    ...     zero,
    ...     40e3 * one,
    ...     np.array([OPEN]),
    ...     np.array([1, 1]),
    ...     pressure,
    ...     flow,
    ...     report,
    ...     np.zeros(floats),
    ...     np.zeros(ints, dtype=np.int64),
    ... )
    0
    >>> round(float(flow[0]), 2)
    99.98

    References
    ----------
    Todini and Pilati, in Computer Applications in Water Supply 1 (1988) 1; Collins et al.,
    Oper. Res. 26 (1978) 1104 for the convex function.
    """
    n_nodes, n_branches = fixed.size, tail.size
    matrix = work_f[0 : n_nodes * n_nodes]
    right = work_f[n_nodes * n_nodes : n_nodes * n_nodes + n_nodes]
    left = work_f[n_nodes * n_nodes + n_nodes : n_nodes * n_nodes + 2 * n_nodes]
    way = work_f[n_nodes * n_nodes + 2 * n_nodes : n_nodes * n_nodes + 2 * n_nodes + n_branches]
    slope = work_f[
        n_nodes * n_nodes + 2 * n_nodes + n_branches : n_nodes * n_nodes + 2 * n_nodes + 2 * n_branches
    ]
    place = work_i[0:n_nodes]
    queue = work_i[n_nodes : 2 * n_nodes]
    parent = work_i[2 * n_nodes : 3 * n_nodes]
    state = work_i[4 * n_nodes : 4 * n_nodes + n_branches]

    for branch in range(n_branches):
        state[branch] = gate[branch]
        if gate[branch] == SHUT:
            flow[branch] = 0.0
    left_over = 0.0
    rounds = 0
    is_settled = False
    while not is_settled:
        rounds += 1
        if rounds > MOST_ROUNDS:
            return UNSETTLED
        n_free = _anchor(tail, head, state, fixed, place, queue)
        is_balanced = _is_balanced(tail, head, state, place, flow, left)
        is_cold = rounds == 1 and not is_balanced
        if is_cold:
            for branch in range(n_branches):
                flow[branch] = 0.0
        left_over = _newton(
            tail, head, quadratic, linear, gain, state, place, n_free, pressure, flow, is_cold, is_balanced,
            matrix, right, way, slope,
        )  # fmt: skip
        if left_over < 0.0:
            return UNSETTLED
        is_settled = _turn_checks(tail, head, gain, gate, state, pressure, flow, rounds > MOST_AT_ONCE)
    _close_balance(tail, head, state, place, flow, slope, left, queue, parent)
    report[0] = left_over
    report[1] = rounds
    return SETTLED


@inner
def _is_balanced(tail: Ints, head: Ints, state: Ints, place: Ints, flow: Floats, left: Floats) -> bool:
    """Tell whether the flows at hand can be a start: some flow, and as much in as out of each free node."""
    left[:] = 0.0
    largest = 0.0
    for branch in range(tail.size):
        if state[branch] == SHUT:
            continue
        left[tail[branch]] -= flow[branch]
        left[head[branch]] += flow[branch]
        largest = max(largest, abs(flow[branch]))
    worst = 0.0
    for node in range(place.size):
        if place[node] >= 0:
            worst = max(worst, abs(left[node]))
    return largest > 0.0 and worst <= 1e-9 * largest
