"""Two stirred contents that exchange heat while liquid flows through each."""

import math

from brinewright.jit import compiled


@compiled
def two_contents(
    first: float,
    second: float,
    first_inlet: float,
    second_inlet: float,
    first_flow: float,
    second_flow: float,
    first_capacity: float,
    second_capacity: float,
    conductance: float,
    time: float,
) -> tuple[float, float, float]:
    """Temperatures of two contents after a time, and the heat that passed from the first, [K], [K] and [J].

    C_1 dT_1/dt = W_1 (T_in1 - T_1) - UA (T_1 - T_2), and the same for the second

    Parameters
    ----------
    first, second : temperatures at the start [K]
    first_inlet, second_inlet : of what flows in [K]
    first_flow, second_flow : W, heat capacity flows, 0 for one that stands [W/K]
    first_capacity, second_capacity : C, heat capacities of the contents, > 0 [J/K]
    conductance : UA between the contents [W/K]
    time : of the exchange [s]

    Notes
    -----
    Exact for any time at steady inlets and flows, so neither content can pass the other. What
    leaves with the flow is the balance.

    Example
    -------
    Two contents that stand even out; a third of the way is ln(3/2) of their common time.

    >>> t = math.log(1.5) * 1e5 / 2.0
    >>> [round(value, 6) for value in two_contents(360.0, 300.0, 0.0, 0.0, 0.0, 0.0, 1e5, 1e5, 1.0, t)]
    [350.0, 310.0, 1000000.0]

    References
    ----------
    Closed form: two linear differential equations.
    """
    a, b = first_flow / first_capacity, second_flow / second_capacity
    k, h = conductance / first_capacity, conductance / second_capacity
    # rates of the two ways in which both come to rest: the roots of a positive definite form
    middle = -0.5 * (a + k + b + h)
    apart = 0.5 * math.sqrt((a + k - b - h) * (a + k - b - h) + 4.0 * k * h)
    determinant = a * b + a * h + b * k
    if determinant > 0.0:
        rest_1 = (a * (b + h) * first_inlet + k * b * second_inlet) / determinant
        rest_2 = (b * (a + k) * second_inlet + h * a * first_inlet) / determinant
    elif conductance > 0.0:
        rest_1 = (first_capacity * first + second_capacity * second) / (first_capacity + second_capacity)
        rest_2 = rest_1
    else:  # nothing passes, and at least one stands
        rest_1 = first_inlet if a > 0.0 else first
        rest_2 = second_inlet if b > 0.0 else second
    x, y = first - rest_1, second - rest_2
    slow = middle + apart
    grown = math.exp(slow * time)
    ratio = grown * time
    if apart * time > 1e-6:
        ratio = grown * -math.expm1(-2.0 * apart * time) / (2.0 * apart)
    # exp(M t) = exp(slow t) + ratio (M - slow)
    end_1 = rest_1 + grown * x + ratio * (-(a + k + slow) * x + k * y)
    end_2 = rest_2 + grown * y + ratio * (h * x - (b + h + slow) * y)
    if conductance <= 0.0:
        return end_1, end_2, 0.0
    if b <= 0.0:
        heat = second_capacity * (end_2 - second)
    elif a <= 0.0:
        heat = first_capacity * (first - end_1)
    else:
        # what is missing from the rest, summed over time: M^-1 of the change
        u, v = end_1 - first, end_2 - second
        sum_1 = (-(b + h) * u - k * v) / determinant
        sum_2 = (-h * u - (a + k) * v) / determinant
        heat = conductance * ((rest_1 - rest_2) * time + sum_1 - sum_2)
    if a <= 0.0:
        end_1 = first - heat / first_capacity
    if b <= 0.0:
        end_2 = second + heat / second_capacity
    return end_1, end_2, heat
