"""How the tests of layout L6 run it, and what they read from it.

`two-tanks-s` has nothing behind the delivery junction but the consumers' pump of 12 kg/s;
`three-tanks-s` has a supply tank there.  The 14 K is common practice, no source; the rest is invented.
"""

import math

import numpy as np
import pytest

from tests.reference.declared_runs import run, samples

DROP, CP, FLOW, BANK = 14.0, 4e3, 12.0, 24.0
"""Drop of a pass [K], heat capacity [J/(kg K)], consumers' flow and that of the four chillers [kg/s]."""
RING = ("L-105", "L-106", "L-107", "L-108", "L-109")
BOTH = pytest.mark.parametrize("name", ["two-tanks-s", "three-tanks-s"])


def warm(degrees, **changes):
    """Return changes that begin with both tanks and the ring at one temperature [degC]."""
    begin = {f"start.{tag}.temperature": f"{degrees} degC" for tag in ("TK-101", "TK-102", *RING)}
    return begin | {key.replace("__", ".").replace("_", "-"): text for key, text in changes.items()}


def hunting(name, load, first=22, second=22, *, begin=None, hours=6.0, interval=5.0, **changes):
    """Run with a load [kW] and the two set points [degC]."""
    sets = {
        "MC-601.heat": f"{load} kW",
        "TSH-110.set": f"{first} degC",
        "TSH-120.set": f"{second} degC",
    }
    begin = max(first, second) + 2 if begin is None else begin
    return run(name, warm(begin) | sets | changes, hours=hours, interval=interval)


def passes(temperature, set_point=22.0):
    """Return the passes that liquid needs in a ring which it enters in any case."""
    return max(1, math.ceil((temperature - set_point) / DROP))


def delivered(result, begin=0.0):
    """Return flow [kg/s] and temperature [degC] of what enters the delivery junction, line by line."""
    pairs = []
    for tag in ("L-104", "L-110"):
        flow = samples(result, tag, "flow", begin)
        pairs.append((flow[flow > 0.0], samples(result, tag, "outlet temperature", begin)[flow > 0.0]))
    flow, temperature = (np.concatenate(column) for column in zip(*pairs, strict=True))
    return flow, temperature
