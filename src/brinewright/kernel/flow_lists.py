"""Which branches flow, in which order their junctions are met, and which stand: found once for each plan."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    BR_COUNT,
    BR_EARLY,
    BR_FLOW,
    BR_HEAD,
    BR_I,
    BR_ITEMS,
    BR_TAIL,
    BRANCHES,
    IT_I_WIDTH,
    IT_P,
    JU_I,
    JU_IN,
    JU_NIN,
    JU_NOUT,
    JU_OUT,
    JUNCTIONS,
    QU_MASS,
)


@inner
def downstream(X, I, r):
    """Return the junction that a branch flows into."""
    return I[r + BR_HEAD] if X[I[r + BR_FLOW]] >= 0.0 else I[r + BR_TAIL]


@inner
def upstream(X, I, r):
    """Return the junction that a branch flows out of."""
    return I[r + BR_TAIL] if X[I[r + BR_FLOW]] >= 0.0 else I[r + BR_HEAD]


@inner
def last_item(X, I, r):
    """Return the item from which the branch gives: its last in the direction of flow."""
    if X[I[r + BR_FLOW]] >= 0.0:
        return I[r + BR_ITEMS] + (I[r + BR_COUNT] - 1) * IT_I_WIDTH
    return I[r + BR_ITEMS]


@inner
def plan(X, P, I, J, H, order, longest):
    """Order the junctions for steps of up to `longest` ticks; return the ticks allowed, 0 if none.

    `order` holds the order and, behind it, what each junction still waits for, and then what
    `transport` does one after another (see `_list`).  J is marked for the branches that give first.
    """
    n_branches = H[3 * BRANCHES]
    n_junctions = H[3 * JUNCTIONS]
    branches = H[3 * BRANCHES + 1]
    junctions = H[3 * JUNCTIONS + 1]
    ticks = longest
    while ticks >= 1:
        for k in range(n_junctions):
            order[n_junctions + k] = 0
        for b in range(n_branches):
            r = branches + b * BR_I
            held = P[I[last_item(X, I, r) + IT_P] + QU_MASS]
            early = 0 if abs(X[I[r + BR_FLOW]]) * ticks > held * (1.0 - 1e-9) else 1
            J[I[r + BR_EARLY]] = early
            if early == 0:
                order[n_junctions + downstream(X, I, r)] += 1
        done = 0
        for k in range(n_junctions):
            if order[n_junctions + k] == 0:
                order[done] = k
                done += 1
        seen = 0
        while seen < done:
            k = order[seen]
            seen += 1
            r = junctions + k * JU_I
            for side in range(2):
                first = I[r + JU_OUT] if side == 0 else I[r + JU_IN]
                number = I[r + JU_NOUT] if side == 0 else I[r + JU_NIN]
                for m in range(number):
                    b = branches + I[first + m] * BR_I
                    if J[I[b + BR_EARLY]] == 0 and upstream(X, I, b) == k:
                        to = downstream(X, I, b)
                        order[n_junctions + to] -= 1
                        if order[n_junctions + to] == 0:
                            order[done] = to
                            done += 1
        if done == n_junctions:
            _list(X, I, J, H, order)
            return ticks
        ticks -= 1 + ticks // 8
    return 0


@inner
def _list(X, I, J, H, order):
    """Write down which branches stand, which give first, and what meets at each junction in turn.

    Each list is its length and its branches; at a junction what comes in and what goes out,
    each as twice the branch, and one more where it flows against its sense.
    """
    branches = H[3 * BRANCHES + 1]
    n_junctions = H[3 * JUNCTIONS]
    at = 2 * n_junctions
    for turn in range(2):
        length = at
        at += 1
        for b in range(H[3 * BRANCHES]):
            r = branches + b * BR_I
            stands = X[I[r + BR_FLOW]] == 0.0
            if stands if turn == 0 else not stands and J[I[r + BR_EARLY]] == 1:
                order[at] = b
                at += 1
        order[length] = at - length - 1
    for k in range(n_junctions):
        r = H[3 * JUNCTIONS + 1] + order[k] * JU_I
        for turn in range(2):
            length = at
            at += 1
            for side in range(2):
                into = side == turn
                first = I[r + JU_IN] if into else I[r + JU_OUT]
                for m in range(I[r + JU_NIN] if into else I[r + JU_NOUT]):
                    b = I[first + m]
                    flow = X[I[branches + b * BR_I + BR_FLOW]]
                    if (flow > 0.0 and side == 0) or (flow < 0.0 and side == 1):
                        order[at] = 2 * b + side
                        at += 1
            order[length] = at - length - 1
