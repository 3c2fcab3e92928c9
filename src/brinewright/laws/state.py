"""How a law reads and changes the plant's state.

X holds every value that changes, E the energy of each thermal node at the index of its
temperature in X, C the inverse of its heat capacity (0 for a boundary or an account), and
F marks what a forced signal holds.
"""

from brinewright.jit import inner

TIME, STEP, BUSY, STIRRED = 0, 1, 2, 3
"""Fixed places in X: time [s], length of the step [s], whether something is on its way to a decision,
and whether something is so among the machines that may tick by themselves."""


@inner
def give(X, E, C, node, heat):
    """Put `heat` [J] into a node; its temperature follows at the end of the step, with all other heats.

    So every law of a step sees the same temperatures, whatever the order of the laws.
    """
    E[node] += heat


@inner
def move(X, E, C, source, target, heat):
    """Take `heat` [J] from one node and put it into another: it is computed once."""
    E[source] -= heat
    E[target] += heat


@inner
def put(X, F, place, value):
    """Write a value unless a forced signal holds it."""
    if F[place] == 0:
        X[place] = value


@inner
def decide(X, F, place, value):
    """Write a signal unless a forced one holds it; where that changes it, the plant is busy."""
    if F[place] == 0 and X[place] != value:
        X[place] = value
        X[BUSY] = 1.0


@inner
def stroke(X, F, place, target, step):
    """Move a position towards its target by at most `step`; while it moves, the plant is busy."""
    position = X[place]
    if F[place] != 0:
        return position
    if position < target:
        position = min(position + step, target)
        X[BUSY] = 1.0
    elif position > target:
        position = max(position - step, target)
        X[BUSY] = 1.0
    X[place] = position
    return position
