"""Laws of the steam vessel."""

from brinewright.jit import inner

NODE, MASS, LEVEL, METAL = 0, 1, 2, 3
WATER_HEAT, METAL_CAPACITY, FULL = 0, 1, 2


@inner
def settle_lump(X, E, C, P, I, i, p):
    """Bring the lump's temperature in step with its energy: T = U / (M c_w + C_m) [K]."""
    node = I[i + NODE]
    mass = X[I[i + MASS]]
    C[node] = 1.0 / (mass * P[p + WATER_HEAT] + P[p + METAL_CAPACITY])
    X[node] = E[node] * C[node]
    X[I[i + METAL]] = X[node]
    X[I[i + LEVEL]] = min(mass / P[p + FULL], 1.0)
