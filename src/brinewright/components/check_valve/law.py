"""Law of the check valve; what it stops is found with the flows."""

from brinewright.jit import inner

FLOW, OPEN = 0, 1


@inner
def observe(X, I, i):
    """Show whether it is open."""
    X[I[i + OPEN]] = 1.0 if X[I[i + FLOW]] > 0.0 else 0.0
