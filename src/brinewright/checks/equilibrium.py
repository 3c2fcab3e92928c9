"""Where a vessel comes to rest: roots of heat in, less what turbines take, less its loss."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from brinewright.checks.vessels import HOTTEST, Vessel

Chillers = Literal["mean", "full", "none"]
"""At the loop's mean load, all at full load, or none."""

CLOSE = 1e-6
"""[K]"""
NOTHING = 1e-6
"""A surplus this small is none [W]."""


@dataclass(frozen=True)
class Rest:
    """A vessel at rest."""

    temperature: float
    """Infinite where it never comes to rest [K]."""
    duty: float
    """Share of the time that the turbines run: 1 above their threshold [-]."""
    heat: float
    """Heat into the vessel [W]."""
    taken: float
    """Of it by turbines [W]."""


def rest(
    vessel: Vessel,
    turbines: int,
    *,
    chillers: Chillers = "mean",
    others: bool = True,
    own_loss: bool = True,
    trips: bool = False,
) -> Rest:
    """Return where a vessel comes to rest.

    Phi_ch(T) + Phi_o(T) - N Phi_t(T) - UA (T - T_amb) = 0

    Parameters
    ----------
    vessel : of a case
    turbines : how many run; below the threshold they stand, at it they cycle
    chillers : at the mean load, all at full load, or none
    others : whether anything else heats the vessel; at full chillers it stands at its peak
    own_loss : whether the vessel's own loss counts; a bound leaves it out
    trips : whether the high switches on the vessel act

    Example
    -------
    >>> import brinewright as bw
    >>> from brinewright.checks import LoopCase
    >>> from brinewright.checks.vessels import vessels
    >>> case = LoopCase(bw.read_loop(bw.scenario("kettle-ridge-hot-rock")), bw.read_rulebook("kettle"))
    >>> (vessel,) = vessels(case)
    >>> [round(rest(vessel, count).temperature - 273.15) for count in (3, 2, 1)]
    [190, 206, 228]
    """
    full = chillers == "full"

    def heat(temperature: float) -> float:
        without = vessel.stopped_at(temperature) if trips else frozenset()
        given = 0.0
        if full:
            given = vessel.chillers_full(temperature, without)
        elif chillers == "mean":
            given = vessel.chillers_mean(temperature, turbines)
        return given + (vessel.others(temperature, peak=full, without=without) if others else 0.0)

    def loss(temperature: float) -> float:
        return vessel.loss(temperature) if own_loss else 0.0

    turbines = turbines if vessel.turbines else 0
    starts = vessel.threshold if turbines > 0 else HOTTEST
    standing = heat(starts) - loss(starts)
    if turbines > 0 and standing > 0.0:
        taken = vessel.taken(starts, turbines)
        if taken >= standing:
            return Rest(starts, standing / taken, heat(starts), standing)
        found = root(lambda t: heat(t) - vessel.taken(t, turbines) - loss(t), starts)
        if found is None:
            return Rest(float("inf"), 1.0, heat(HOTTEST), vessel.taken(HOTTEST, turbines))
        return Rest(found, 1.0, heat(found), vessel.taken(found, turbines))
    if standing > 0.0:
        return Rest(float("inf"), 1.0, heat(starts), 0.0)
    low = 200.0
    found = root(lambda t: heat(t) - loss(t), low, starts)
    return Rest(low if found is None else found, 0.0, heat(found or low), 0.0)


def root(surplus: Callable[[float], float], low: float, high: float = HOTTEST) -> float | None:
    """Return the lowest temperature above `low` at which a surplus has gone, or None [K].

    Illinois' rule between bounds; steps grow until the sign changes.

    Example
    -------
    >>> round(root(lambda t: 450.0 - t, 300.0), 3)
    450.0
    """
    before, at, step = surplus(low) - NOTHING, low, 10.0
    if before <= 0.0:
        return None
    while at < high:
        beyond = min(at + step, high)
        after = surplus(beyond) - NOTHING
        if after <= 0.0:
            return _between(surplus, at, before, beyond, after)
        at, before, step = beyond, after, 1.5 * step
    return None


def _between(surplus: Callable[[float], float], low: float, above: float, high: float, below: float) -> float:
    """Return where a surplus that is positive at `low` and not at `high` goes through nothing [K]."""
    side = 0
    for _ in range(200):
        if high - low < CLOSE or below == 0.0:
            break
        middle = (low * below - high * above) / (below - above)
        if not low < middle < high:
            middle = 0.5 * (low + high)
        value = surplus(middle) - NOTHING
        if value > 0.0:
            low, above = middle, value
            below *= 0.5 if side == 1 else 1.0
            side = 1
        else:
            high, below = middle, value
            above *= 0.5 if side == -1 else 1.0
            side = -1
        if abs(value) < NOTHING:
            return middle
    return high
