"""Test loop S as two mixed tanks, a vessel and two decisions, marched by hand: an oracle in thirty lines.

It shares no code and no number with the package. Everything flows in no time: what the first
decision sends on is in the cold tank in the same second, and what the consumers warm is in the hot one.
`late` puts dead time between decision and valve, which is what pipes, ticks and casings come to.
"""

import math
from collections import deque

import numpy as np

FLOW, CP, HOT, COLD = 12.0, 4.0, 7200.0, 6000.0
SET, DROP, LOAD = 22.0, 14.0, 1120.0
ONE_PASS_DRAWS, ONE_PASS_REJECTS, AUXILIARIES = 360.0, 708.0, 26.0
THRESHOLD, RETURNED, TURBINE, LEAK, AROUND = 125.0, 95.0, 1.5 * 4.2, 0.06, 20.0


def march(turbines, differential, seconds, *, hot=36.0, cold=10.3, vessel=146.35, water=1500.0, late=0):
    """Return one row a second: time, hot tank, cold tank, vessel [degC], net power [kW], passes."""
    capacity = water * 4.2 + 4 * 588.0 + 2940.0
    rows, second = np.empty((seconds, 6)), True
    waiting = deque([True] * late)
    for k in range(seconds):
        passes = 1 if hot > SET else 0
        after_first = hot - DROP * passes
        second = after_first > (SET if second else SET + differential)
        waiting.append(second)
        passes += waiting.popleft()
        taken = turbines * TURBINE * (vessel - RETURNED) if vessel >= THRESHOLD else 0.0
        casings = 0.08 * taken + 3.0 * turbines if vessel >= THRESHOLD else 0.0
        power = min(260.0 * turbines, 0.55 * taken)
        rows[k] = k, hot, cold, vessel, power - passes * ONE_PASS_DRAWS - AUXILIARIES, passes
        back = cold + (LOAD + casings) / (FLOW * CP)
        supplied = hot - DROP * passes
        hot += FLOW / HOT * (back - hot)
        cold += FLOW / COLD * (supplied - cold)
        vessel += (passes * ONE_PASS_REJECTS - taken - LEAK * (vessel - AROUND)) / capacity
    return rows


def climb(chillers, seconds, *, hot=38.0, cold=10.0, vessel=146.35, turbines=4):
    """Return the hot tank [degC] second by second where a ring of chillers of 6 kg/s gives what it can.

    Both contents stay as they are: the consumers get N q_max / n of liquid that has made n passes.
    """
    capacity = 1500.0 * 4.2 + 4 * 588.0 + 2940.0
    rows = np.empty(seconds)
    for k in range(seconds):
        rows[k] = hot
        passes = max(1, math.ceil((hot - SET) / DROP))
        flow = min(FLOW, chillers * 6.0 / passes)
        taken = turbines * TURBINE * (vessel - RETURNED)
        rejected = flow * passes * CP * DROP * ONE_PASS_REJECTS / 672.0
        back = cold + (LOAD + 0.08 * taken + 3.0 * turbines) / (flow * CP)
        supplied = hot - DROP * passes
        hot += flow / HOT * (back - hot)
        cold += flow / COLD * (supplied - cold)
        vessel += (rejected - taken - LEAK * (vessel - AROUND)) / capacity
    return rows
