"""Switches: they follow their readings through a filter, and change where these pass a threshold."""

import math

from brinewright.jit import inner
from brinewright.kernel.layout import (
    H_RECORDED,
    SW_BEFORE,
    SW_BEND,
    SW_COUNT,
    SW_DECAYS,
    SW_DIFFERENTIAL,
    SW_FILTERED,
    SW_I,
    SW_INCLUSIVE,
    SW_JUMPS,
    SW_LAG,
    SW_LASTED,
    SW_NODE,
    SW_OUT,
    SW_P,
    SW_READING,
    SW_SENSE,
    SW_SET,
    SW_SHOWN,
    SW_SLOPE,
    SWITCHES,
)
from brinewright.laws.state import BUSY

GENTLE = 0.5
"""Change of a slope, as a share of it, up to which a reading is taken to bend and not to jump."""


@inner
def lasted(X, SUM, H, place, before, dt):
    """Note in the time integrals that a signal was as before until the last tick of a step of `dt` [s]."""
    if place < H[H_RECORDED]:
        SUM[place] += (before - X[place]) * (dt - 1.0)


@inner
def _filter(X, P, I, i, before, now, ticks):
    """Let the filter of a switch follow its reading from `before` to `now`, tick by tick in one step.

    f += (r - f) (1 - d), d = exp(-1 / lag), where r bends as much as since the step before, if
    that is little: r = r0 + s k + q k^2.  Then f = r - a - b k but for what d^k leaves of the start,
    with b = 2 q d / (1 - d) and a = (s - q - b) d / (1 - d).
    """
    filtered = I[i + SW_FILTERED]
    decays = I[i + SW_DECAYS]
    share = P[decays + 1] / (1.0 - P[decays + 1])
    slope = (now - before) / ticks
    change = slope - X[I[i + SW_SLOPE]]
    bends = change / (ticks + X[I[i + SW_LASTED]]) if abs(change) < GENTLE * abs(slope) else 0.0
    grows = 2.0 * bends * share
    lags = (slope - bends * ticks - bends - grows) * share
    X[filtered] = now - lags - grows * ticks + (X[filtered] - before + lags) * P[decays + ticks]


@inner
def switch_some(X, F, P, I, H, SUM, begin, end, dt, stirred):
    """Let switches from `begin` to before `end` follow their filtered readings; count their changes.

    Where what was decided is seen first (`stirred`), rates jump once, and do not bend.
    """
    i = H[3 * SWITCHES + 1] + begin * SW_I
    p = H[3 * SWITCHES + 2] + begin * SW_P
    for _ in range(begin, end):
        raw = X[I[i + SW_READING]]
        filtered = I[i + SW_FILTERED]
        lag = P[p + SW_LAG]
        before = X[I[i + SW_BEFORE]]
        X[I[i + SW_BEFORE]] = raw
        slope = (raw - before) / dt
        bend = abs(slope - X[I[i + SW_SLOPE]]) / dt
        if X[filtered] != X[filtered]:  # nothing was read before: begin with what is there
            X[filtered] = raw
            slope = 0.0
            bend = math.inf
        elif lag > 0.0:
            ticks = int(dt)
            smooth = raw
            if ticks > 1 and X[I[i + SW_JUMPS]] == dt:
                ticks -= 1
                smooth = X[I[i + SW_SHOWN]]
            _filter(X, P, I, i, before, smooth, ticks)
            if ticks < dt:
                X[filtered] = raw + (X[filtered] - raw) * P[I[i + SW_DECAYS] + 1]
        else:
            X[filtered] = raw
        X[I[i + SW_BEND]] = 0.0 if stirred and I[i + SW_NODE] >= 0 else bend
        X[I[i + SW_SLOPE]] = slope
        X[I[i + SW_JUMPS]] = 0.0
        X[I[i + SW_LASTED]] = dt
        out = I[i + SW_OUT]
        made = X[out] != 0.0
        if F[out] == 0:
            sense = float(I[i + SW_SENSE])
            above = sense * (X[filtered] - X[I[i + SW_SET]])
            if made:
                if above < 0.0 or (
                    above <= 0.0 and (I[i + SW_INCLUSIVE] == 0 or P[p + SW_DIFFERENTIAL] > 0.0)
                ):
                    X[out] = 0.0
                    X[I[i + SW_COUNT]] += 1.0
                    X[BUSY] = 1.0
                    lasted(X, SUM, H, out, 1.0, dt)
            else:
                over = above - P[p + SW_DIFFERENTIAL]
                if over > 0.0 or (over >= 0.0 and I[i + SW_INCLUSIVE] == 1):
                    X[out] = 1.0
                    X[I[i + SW_COUNT]] += 1.0
                    X[BUSY] = 1.0
                    lasted(X, SUM, H, out, 0.0, dt)
        i += SW_I
        p += SW_P
