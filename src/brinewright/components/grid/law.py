"""Law of the grid."""

from brinewright.jit import inner

CLOSED, IMPORT, EXPORT = 0, 1, 2
MOST, MOST_OUT = 0, 1


@inner
def actuate(X, P, I, i, p):
    """Offer what the grid gives and takes while it is closed [W]."""
    X[I[i + IMPORT]] = P[p + MOST] * X[I[i + CLOSED]]
    X[I[i + EXPORT]] = P[p + MOST_OUT] * X[I[i + CLOSED]]
