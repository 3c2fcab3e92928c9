"""Law of the transformer's tank; what it passes and loses is the business of the power balance."""

from brinewright.jit import inner

TANK, SITE, LOSS = 0, 1, 2
CONDUCTANCE = 0


@inner
def observe(X, P, I, i, p):
    """Show how warm its tank is: T = T_site + P_loss / G [K]."""
    X[I[i + TANK]] = X[I[i + SITE]]
    if P[p + CONDUCTANCE] > 0.0:
        X[I[i + TANK]] += X[I[i + LOSS]] / P[p + CONDUCTANCE]
