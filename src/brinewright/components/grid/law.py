"""Law of the grid."""

from brinewright.jit import inner

CLOSED, IMPORT, EXPORT, POWER, IMPORTED = 0, 1, 2, 3, 4
MOST, MOST_OUT = 0, 1


@inner
def actuate(X, P, I, i, p):
    """Offer what the grid gives and takes while it is closed [W]."""
    X[I[i + IMPORT]] = P[p + MOST] * X[I[i + CLOSED]]
    X[I[i + EXPORT]] = P[p + MOST_OUT] * X[I[i + CLOSED]]


@inner
def observe(X, I, i):
    """Show what the bus took from the grid [W]; negative while the grid takes."""
    X[I[i + POWER]] = X[I[i + IMPORTED]]
