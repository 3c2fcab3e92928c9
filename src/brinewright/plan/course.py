"""What one hypothesis says would have been seen: the sound plant before the onset, the faulty one after."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.signature import Trace

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Course:
    """A plant as a hypothesis has it; `trouble` is None for the sound plant."""

    sound: Trace
    trouble: Trace | None
    now: float
    """The moment at which somebody looks [s]."""

    def at(self, key: str, times: Floats) -> Floats:
        """Return a channel at these times [s], each the nearest sample."""
        values = _nearest(self.sound, key, times)
        if self.trouble is not None and len(self.trouble.times):
            late = times >= self.trouble.times[0]
            if late.any():
                values[late] = _nearest(self.trouble, key, times[late])
        return values


def _nearest(trace: Trace, key: str, times: Floats) -> Floats:
    begin, step = trace.times[0], trace.times[1] - trace.times[0] if len(trace.times) > 1 else 1.0
    rows = np.clip(np.rint((times - begin) / step).astype(int), 0, len(trace.times) - 1)
    return np.asarray(trace.values[rows, trace.columns[key]], dtype=np.float64)
