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

from brinewright.jit import compiled, inner
from brinewright.kernel.balance import anchor, close_balance, is_balanced_start
from brinewright.kernel.branch_law import CHECK, SHUT
from brinewright.kernel.newton import newton
from brinewright.kernel.residual import Floats, Ints

SETTLED = 0
"""Flows and pressures satisfy every law."""
UNSETTLED = 2
"""Newton's method did not arrive; the flow must not be used."""

AT_REST = 1e-5
"""Forward pressure that does not open a check valve [Pa]."""
MOST_ROUNDS = 200
MOST_AT_ONCE = 10


def pressure_workspace(n_nodes: int, n_branches: int) -> tuple[int, int]:
    """Return how many floats and how many integers `solve_pressure` needs to work in."""
    return n_nodes * n_nodes + 2 * n_nodes + 2 * n_branches, 3 * n_nodes + n_branches


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
    >>> from brinewright.kernel.branch_law import OPEN
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
    state = work_i[3 * n_nodes : 3 * n_nodes + n_branches]

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
        n_free = anchor(tail, head, state, fixed, place, queue)
        is_balanced = is_balanced_start(tail, head, state, place, flow, left)
        is_cold = rounds == 1 and not is_balanced
        if is_cold:
            for branch in range(n_branches):
                flow[branch] = 0.0
        left_over = newton(
            tail, head, quadratic, linear, gain, state, place, n_free, pressure, flow, is_cold, is_balanced,
            matrix, right, way, slope,
        )  # fmt: skip
        if left_over < 0.0:
            return UNSETTLED
        is_settled = _turn_checks(tail, head, gain, gate, state, pressure, flow, rounds > MOST_AT_ONCE)
    close_balance(tail, head, state, place, flow, slope, left, queue, parent)
    report[0] = left_over
    report[1] = rounds
    return SETTLED
