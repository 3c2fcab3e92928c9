"""Law of the buffer tank: what it shows; its mixing belongs to the movement of liquid."""

from brinewright.jit import inner

NODE, AROUND, LOSS = 0, 1, 2
CONDUCTANCE = 0


@inner
def observe_loss(X, P, I, i, p):
    """Show the heat flow to where the tank is sited [W]: UA (T - T_a)."""
    X[I[i + LOSS]] = P[p + CONDUCTANCE] * (X[I[i + NODE]] - X[I[i + AROUND]])
