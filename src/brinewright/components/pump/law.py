"""Laws of the pump."""

import math

from brinewright.jit import inner
from brinewright.laws.state import give, stroke

COMMAND, RUNNING, CAPACITY, POWERED, POWER, ACCOUNT = 0, 1, 2, 3, 4, 5
RATE, FULL, STOPPED, WATTS, HEAT_SHARE = 0, 1, 2, 3, 4

HEAD, FLOW, LOSS, RISE, PRESSURE, INLET, MARGIN, LACKS, BLOCKED = 6, 7, 8, 9, 10, 11, 12, 13, 14
NO_FLOW, DUTY, WEIGHT, MOST_EFFICIENT, MOTOR, MOTOR_SHARE = 3, 4, 5, 6, 7, 8
REQUIRED, VAPOUR_A, VAPOUR_B, VAPOUR_C, DUTY_VOLUME = 9, 10, 11, 12, 13

FASTEST = 1.8
"""Flow over duty flow beyond which the efficiency is held: the parabola ends at two."""


@inner
def actuate(X, F, P, I, i, p, dt):
    """Run up or stop; the capacity follows [kg/s], the power is drawn while it runs [W]."""
    target = X[I[i + COMMAND]] * X[I[i + POWERED]]
    running = stroke(X, F, I[i + RUNNING], target, P[p + RATE] * dt)
    if running > 0.0:
        X[I[i + CAPACITY]] = P[p + FULL] * running
        X[I[i + POWER]] = P[p + WATTS]
    else:
        X[I[i + CAPACITY]] = P[p + STOPPED]
        X[I[i + POWER]] = 0.0


@inner
def cross(X, E, C, P, I, i, p, mass, dt):
    """Return the heat that the liquid takes from the pump in this step [J]; none passes, none is taken."""
    if mass <= 0.0:
        return 0.0
    heat = X[I[i + POWER]] * P[p + HEAT_SHARE] * dt
    give(X, E, C, I[i + ACCOUNT], -heat)
    return heat


@inner
def actuate_curve(X, F, P, I, i, p, dt):
    """Run up or stop; the pressure at no flow follows the square of the speed [Pa]."""
    target = X[I[i + COMMAND]] * X[I[i + POWERED]]
    running = stroke(X, F, I[i + RUNNING], target, P[p + RATE] * dt)
    X[I[i + HEAD]] = P[p + NO_FLOW] * running * running
    X[I[i + CAPACITY]] = P[p + FULL] if running > 0.0 else P[p + STOPPED]


@inner
def cross_curve(X, E, C, P, I, i, p, mass, dt):
    """Draw power for the pressure made, and return the heat that the liquid takes [J].

    P = q dp / (eta eta_m),  eta = eta_d (1 - (1 - q / (n q_d))^2): at no flow the ratio of
    flow and efficiency stays, so a pump that runs against a shut way still draws power.
    All of the shaft's work ends as heat; friction gives it along the way, here it is counted
    at the pump.
    """
    running = X[I[i + RUNNING]]
    rise = -X[I[i + LOSS]]
    X[I[i + RISE]] = rise
    vapour = math.exp(P[p + VAPOUR_A] - P[p + VAPOUR_B] / (X[I[i + INLET]] + P[p + VAPOUR_C]))
    X[I[i + MARGIN]] = (X[I[i + PRESSURE]] - vapour) / P[p + WEIGHT] - P[p + REQUIRED]
    shaft = 0.0
    if running > 0.0:
        share = min(max(X[I[i + FLOW]] / (running * P[p + DUTY]), 0.0), FASTEST)
        shaft = max(rise, 0.0) * running * P[p + DUTY_VOLUME] / (P[p + MOST_EFFICIENT] * (2.0 - share))
    X[I[i + POWER]] = shaft / P[p + MOTOR]
    X[I[i + BLOCKED]] = 1.0 if running > 0.0 and mass <= 0.0 else 0.0
    X[I[i + LACKS]] = -X[I[i + MARGIN]] if running > 0.0 and mass > 0.0 else 0.0
    if mass <= 0.0:
        return 0.0
    heat = (shaft + P[p + MOTOR_SHARE] * (X[I[i + POWER]] - shaft)) * dt
    give(X, E, C, I[i + ACCOUNT], -heat)
    return heat
