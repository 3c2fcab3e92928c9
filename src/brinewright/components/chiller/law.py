"""Laws of the chiller."""

import math

from brinewright.jit import inner
from brinewright.laws.chilling import capacity, cooling_performance, part_load_performance
from brinewright.laws.state import BUSY, STEP, give, put

COMMAND, RUNNING, COOLING, POWER, REJECT, PERFORMANCE, METAL, POWERED, ELECTRICITY, DECLARED = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9
)  # fmt: skip
DROP, CAPACITY, UNIT_POWER, PROPORTIONAL, POWER_SHARE, SELF_HEAT, FLOW_PROOF, COUNT = 0, 1, 2, 3, 4, 5, 6, 7

FLOW, LEAVES, ON, SINCE, FROST, HOT, OUTSIDE, LEAVINGS, CONDENSATIONS, CAPACITIES, POWERS = (
    9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19
)  # fmt: skip
UNITS, LEAVING, LOWEST_STEP, CYCLING, SHORTEST_RUN, SHORTEST_REST, PROOF, DIFFERENTIAL = (
    0,
    1,
    2,
    3,
    4,
    5,
    6,
    7,
)
LOWEST_EVAPORATION, HIGHEST_CONDENSATION, COLD_APPROACH, HOT_APPROACH = 8, 9, 10, 11
REFERENCE, REFERENCE_COLD, REFERENCE_HOT, EFFICIENCY, MOTOR, MOTOR_SHARE, CAP, COLD_DRIFT, HOT_DRIFT = (
    12, 13, 14, 15, 16, 17, 18, 19, 20
)  # fmt: skip
ROWS, COLUMNS, CAPACITY_FACTOR, POWER_FACTOR = 12, 13, 14, 15

EDGE, LEVEL, WARM, AROUND, GIVEN = 0, 1, 2, 3, 4
COVERED, BARE, COVER_LEVEL = 0, 1, 2


@inner
def cover(X, P, I, i, p):
    """Let the metal give its heat to liquid that covers it, or only to what is left without [W/K]."""
    covered = X[I[i + LEVEL]] > 0.0 and X[I[i + LEVEL]] >= P[p + COVER_LEVEL]
    X[I[i + EDGE]] = P[p + COVERED] if covered else P[p + BARE]


@inner
def observe(X, I, i):
    """Show the heat flow from the metal to what the chiller stands in [W]."""
    X[I[i + GIVEN]] = X[I[i + EDGE]] * (X[I[i + WARM]] - X[I[i + AROUND]])


@inner
def rest(X, I, i):
    """Show a machine that does nothing."""
    X[I[i + COOLING]] = 0.0
    X[I[i + POWER]] = 0.0
    X[I[i + REJECT]] = 0.0
    X[I[i + PERFORMANCE]] = 0.0


@inner
def work(X, E, C, I, i, cooling, power, reject, dt):
    """Give the metal what is rejected; return the heat that the liquid takes [J]."""
    give(X, E, C, I[i + METAL], reject * dt)
    give(X, E, C, I[i + ELECTRICITY], (cooling - reject) * dt)
    X[I[i + COOLING]] = cooling
    X[I[i + POWER]] = power
    X[I[i + REJECT]] = reject
    X[I[i + PERFORMANCE]] = cooling / power if power > 1e-9 * cooling else 0.0
    return -cooling * dt


@inner
def cross_fixed_drop(X, E, C, F, P, I, i, p, mass, cp, dt):
    """Take a fixed drop off every kilogram that passes; return the heat that the liquid takes [J].

    T_out = T_in - drop; the metal gets the heat, a share of the power and the self-heat.
    Units run as many as the flow needs.
    """
    flow = mass / dt
    running = X[I[i + COMMAND]] * X[I[i + POWERED]]
    if flow < P[p + FLOW_PROOF] or mass <= 0.0:
        running = 0.0
    units = min(math.ceil(flow / P[p + CAPACITY] - 1e-9), P[p + COUNT])
    put(X, F, I[i + RUNNING], running * units / P[p + COUNT])
    if X[I[i + RUNNING]] <= 0.0 or mass <= 0.0:
        rest(X, I, i)
        return 0.0
    drawn = P[p + UNIT_POWER] * (flow / P[p + CAPACITY] if P[p + PROPORTIONAL] != 0.0 else units)
    own = P[p + SELF_HEAT] * units
    cooling = flow * cp * P[p + DROP]
    give(X, E, C, I[i + METAL], own * dt)
    give(X, E, C, I[i + DECLARED], -own * dt)
    taken = work(X, E, C, I, i, cooling, drawn, cooling + P[p + POWER_SHARE] * drawn, dt)
    X[I[i + REJECT]] += own
    return taken


@inner
def actuate(X, F, P, I, i, p):
    """Start and stop a machine that has guards, a flow proof, a shortest run and a shortest rest.

    The guards read the evaporation and condensation temperature; at rest these are the
    temperatures of the liquid and of the metal.
    """
    on = X[I[i + ON]] != 0.0
    evaporation = X[I[i + LEAVES]] - (P[p + COLD_APPROACH] if on else 0.0)
    condensation = X[I[i + METAL]] + (P[p + HOT_APPROACH] if on else 0.0)
    lowest = P[p + LOWEST_EVAPORATION]
    highest = P[p + HIGHEST_CONDENSATION]
    if lowest > 0.0:
        if on and evaporation < lowest:
            X[I[i + FROST]] = 1.0
        elif evaporation >= lowest + P[p + DIFFERENTIAL]:
            X[I[i + FROST]] = 0.0
    if highest > 0.0:
        if on and condensation > highest:
            X[I[i + HOT]] = 1.0
        elif condensation <= highest - P[p + DIFFERENTIAL]:
            X[I[i + HOT]] = 0.0
    safe = (
        X[I[i + POWERED]] != 0.0
        and abs(X[I[i + FLOW]]) >= P[p + PROOF] * P[p + UNITS]
        and X[I[i + FROST]] == 0.0
        and X[I[i + HOT]] == 0.0
    )
    wanted = X[I[i + COMMAND]] != 0.0
    lasted = X[I[i + SINCE]] + X[STEP]
    X[I[i + SINCE]] = lasted
    run = on
    if on and not safe:
        run = False
    elif on and not wanted:
        run = lasted < P[p + SHORTEST_RUN]
        X[BUSY] = 1.0
    elif not on and wanted and safe:
        run = lasted >= P[p + SHORTEST_REST]
        X[BUSY] = 1.0
    if run != on:
        X[I[i + ON]] = 1.0 if run else 0.0
        X[I[i + SINCE]] = 0.0
        X[BUSY] = 1.0
    if not run:
        put(X, F, I[i + RUNNING], 0.0)


@inner
def loaded(X, F, P, I, i, p, load, full):
    """Show how many units share a load [W]; return the share of its capacity at which each runs."""
    each = full / P[p + UNITS]
    units = min(math.ceil(load / each - 1e-9), P[p + UNITS])
    put(X, F, I[i + RUNNING], units / P[p + UNITS])
    return load / (units * each)


@inner
def cycling(P, p, performance, share):
    """Return the performance of a unit that cycles because its load is below its lowest step."""
    step = P[p + LOWEST_STEP]
    if share >= step:
        return performance
    return part_load_performance(performance, share / step, P[p + CYCLING])


@inner
def wanted_load(P, p, carried, temperature):
    """Return the cooling that brings the liquid to the leaving temperature, endless without one [W]."""
    if P[p + LEAVING] <= 0.0:
        return math.inf
    return carried * (temperature - P[p + LEAVING])


@inner
def cross_second_law(X, E, C, F, P, I, i, p, mass, temperature, cp, dt):
    """Cool by a share of Carnot, up to a capacity that drifts with both temperatures; return the heat [J].

    At full load T_out = T_in - Phi_cap(T_out) / (q c_p), found by Newton's rule.
    """
    X[I[i + LEAVES]] = temperature
    if X[I[i + ON]] == 0.0 or mass <= 0.0:
        rest(X, I, i)
        return 0.0
    carried = mass * cp / dt
    condensation = X[I[i + METAL]] + P[p + HOT_APPROACH]
    load = wanted_load(P, p, carried, temperature)
    full = load
    if load > 0.0:
        cooling = 0.0
        for _ in range(40):
            full = P[p + UNITS] * capacity(
                P[p + REFERENCE], temperature - cooling / carried - P[p + COLD_APPROACH], condensation,
                P[p + REFERENCE_COLD], P[p + REFERENCE_HOT], P[p + COLD_DRIFT], P[p + HOT_DRIFT],
            )  # fmt: skip
            change = (full - cooling) / (1.0 + full * P[p + COLD_DRIFT] / carried)
            cooling += change
            if abs(change) < 1e-9 * P[p + REFERENCE]:
                break
        full = cooling
    if load < full:
        full = P[p + UNITS] * capacity(
            P[p + REFERENCE], P[p + LEAVING] - P[p + COLD_APPROACH], condensation, P[p + REFERENCE_COLD],
            P[p + REFERENCE_HOT], P[p + COLD_DRIFT], P[p + HOT_DRIFT],
        )  # fmt: skip
    load = min(load, full)
    if load <= 0.0:
        put(X, F, I[i + RUNNING], 0.0)
        rest(X, I, i)
        return 0.0
    share = loaded(X, F, P, I, i, p, load, full)
    if X[I[i + RUNNING]] <= 0.0:
        rest(X, I, i)
        return 0.0
    X[I[i + LEAVES]] = temperature - load / carried
    performance = cooling_performance(
        X[I[i + LEAVES]], X[I[i + METAL]], P[p + COLD_APPROACH], P[p + HOT_APPROACH],
        P[p + EFFICIENCY], P[p + CAP],
    )  # fmt: skip
    compressor = load / cycling(P, p, performance, share)
    power = compressor / P[p + MOTOR]
    reject = load + compressor + P[p + MOTOR_SHARE] * (power - compressor)
    return work(X, E, C, I, i, load, power, reject, dt)


@inner
def bracket_at(numbers, start, count, value):
    """Return the interval that holds a value, of an axis that begins at `start` in a row of numbers."""
    low, high = 0, count - 1
    while high - low > 1:
        middle = (low + high) // 2
        if numbers[start + middle] <= value:
            low = middle
        else:
            high = middle
    return low


@inner
def bilinear_at(numbers, rows, row_count, columns, column_count, table, row, column):
    """Return what `grid_table.bilinear` does, of axes and a table that lie in a longer row of numbers."""
    y = min(max(row, numbers[rows]), numbers[rows + row_count - 1])
    x = min(max(column, numbers[columns]), numbers[columns + column_count - 1])
    i = bracket_at(numbers, rows, row_count, y)
    j = bracket_at(numbers, columns, column_count, x)
    v = (y - numbers[rows + i]) / (numbers[rows + i + 1] - numbers[rows + i])
    u = (x - numbers[columns + j]) / (numbers[columns + j + 1] - numbers[columns + j])
    at = table + i * column_count + j
    below = numbers[at] * (1.0 - u) + numbers[at + 1] * u
    above = numbers[at + column_count] * (1.0 - u) + numbers[at + column_count + 1] * u
    return below * (1.0 - v) + above * v, max(abs(row - y), abs(column - x))


@inner
def looked_up(P, I, i, p, table, leaving, condensation):
    """Return a value of one unit from the catalogue, and how far the point lies outside it [K]."""
    return bilinear_at(
        P, I[i + LEAVINGS], int(P[p + ROWS]), I[i + CONDENSATIONS], int(P[p + COLUMNS]), table, leaving,
        condensation,
    )  # fmt: skip


@inner
def cross_catalogue(X, E, C, F, P, I, i, p, mass, temperature, cp, dt):
    """Cool by capacity and power of a catalogue, at its edge where it would lie outside [J].

    At full load T_out = T_in - Phi_tab(T_out) / (q c_p), found between bounds.
    """
    X[I[i + LEAVES]] = temperature
    X[I[i + OUTSIDE]] = 0.0
    if X[I[i + ON]] == 0.0 or mass <= 0.0:
        rest(X, I, i)
        return 0.0
    carried = mass * cp / dt
    condensation = X[I[i + METAL]] + P[p + HOT_APPROACH]
    factor = P[p + UNITS] * P[p + CAPACITY_FACTOR]
    load = wanted_load(P, p, carried, temperature)
    if load <= 0.0:
        put(X, F, I[i + RUNNING], 0.0)
        rest(X, I, i)
        return 0.0
    high = temperature
    full = factor * looked_up(P, I, i, p, I[i + CAPACITIES], high, condensation)[0]
    low = temperature - full / carried
    leaving = low
    for _ in range(100):
        full = factor * looked_up(P, I, i, p, I[i + CAPACITIES], leaving, condensation)[0]
        next_leaving = temperature - full / carried
        if next_leaving > leaving:
            low = leaving
        else:
            high = leaving
        if abs(next_leaving - leaving) < 1e-9:
            break
        if not low < next_leaving < high:
            next_leaving = 0.5 * (low + high)
        leaving = next_leaving
    if P[p + LEAVING] > leaving:
        leaving = P[p + LEAVING]
        full = factor * looked_up(P, I, i, p, I[i + CAPACITIES], leaving, condensation)[0]
    load = min(load, full)
    share = loaded(X, F, P, I, i, p, load, full)
    if X[I[i + RUNNING]] <= 0.0:
        rest(X, I, i)
        return 0.0
    X[I[i + LEAVES]] = leaving
    drawn, X[I[i + OUTSIDE]] = looked_up(P, I, i, p, I[i + POWERS], leaving, condensation)
    performance = full / (P[p + UNITS] * P[p + POWER_FACTOR] * drawn)
    power = load / cycling(P, p, performance, share)
    return work(X, E, C, I, i, load, power, load + power, dt)
