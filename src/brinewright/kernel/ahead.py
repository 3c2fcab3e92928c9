"""What is about to meet a law: how warm the liquid is that will pass it in the step to come."""

from brinewright.jit import inner
from brinewright.kernel.layout import (
    AH_BRANCH,
    AH_I,
    AH_ITEM,
    AHEADS,
    BR_COUNT,
    BR_FLOW,
    BR_I,
    BR_ITEMS,
    BRANCHES,
    IT_BLOCK,
    IT_I,
    IT_I_WIDTH,
    IT_IN,
    IT_OUT,
    QU_FIRST,
    QU_J,
    QU_ROOM,
    QUEUES,
)


@inner
def _next_out(I, J, Q, v, wanted, back):
    """Return mass [kg] and mass times temperature of the next liquid to leave a queue, up to `wanted`."""
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    mass = 0.0
    heat = 0.0
    for k in range(J[j + 1]):
        place = J[j] + (J[j + 1] - 1 - k if back else k)
        if place >= room:
            place -= room
        q = 3 * (I[v + QU_FIRST] + place)
        piece = min(Q[q], wanted - mass)
        mass += piece
        heat += piece * Q[q + 1]
        if mass >= wanted:
            break
    return mass, heat


@inner
def look_ahead(X, I, J, Q, H, dt):
    """Set the temperature at which liquid will enter each law that must know it beforehand [K].

    It is the mean of what the lines before it hold, as far as they hold enough; beyond a
    junction or another law nothing is foreseen, and what is missing counts as what is there.
    """
    for n in range(H[3 * AHEADS]):
        r = H[3 * AHEADS + 1] + n * AH_I
        b = H[3 * BRANCHES + 1] + I[r + AH_BRANCH] * BR_I
        flow = X[I[b + BR_FLOW]]
        if flow == 0.0:
            continue
        back = flow < 0.0
        step = 1 if back else -1
        k = I[r + AH_ITEM]
        item = I[b + BR_ITEMS] + k * IT_I_WIDTH
        enters = I[item + IT_OUT] if back else I[item + IT_IN]
        wanted = abs(flow) * dt
        mass = 0.0
        heat = 0.0
        k += step
        while mass < wanted and k >= 0 and k < I[b + BR_COUNT]:
            item = I[b + BR_ITEMS] + k * IT_I_WIDTH
            if I[item + IT_BLOCK] != QUEUES:
                break
            more, warm = _next_out(I, J, Q, I[item + IT_I], wanted - mass, back)
            mass += more
            heat += warm
            k += step
        if mass > 0.0:
            X[enters] = heat / mass
