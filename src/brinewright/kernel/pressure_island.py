"""Flows of a real circuit, from the pressures of pumps, friction, heights and tanks."""

from brinewright.jit import inner


@inner
def solve_pressure_island(X, P, I, H, k, HF, HI, counters):
    """Bring one pressure circuit up to date; return 1 if solved, -1 if not."""
    return -1
