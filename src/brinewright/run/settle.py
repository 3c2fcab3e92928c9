"""Run a plant until its day repeats."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant
from brinewright.errors import RunError
from brinewright.kernel import layout as at
from brinewright.laws.state import TIME
from brinewright.run.simulation import Simulation
from brinewright.run.state import State

DAY = 86400.0
SETTLE_DAYS = 30
SETTLED_WITHIN = 0.05
"""Greatest change from day to day of any daily mean temperature that counts as repeating [K]."""
STORED_WITHIN = 0.005
"""The same of what tanks, vessels and batteries hold, as a share of it."""
Means = tuple[NDArray[np.float64], NDArray[np.float64]]
LOOKS = 24
"""How often a day it is asked whether to go on."""

ADVICE = {
    "liquid-stands-in-a-ring": "A closed way holds less liquid than flows round it in one second. "
    "Lengthen one of its lines or lower its capacity.",
    "flow-not-found": "The flows of a circuit could not be found. Check its pumps and valves with `check`.",
    "not-a-number": "A temperature ran away beyond all numbers. Look at the last events before it.",
}


def settled(
    plant: Plant,
    should_stop: Callable[[], bool] | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> State:
    """Repeat the first day until it no longer changes; return the state at its end, as of time 0.

    Daily means are compared, so that a plant that hunts may repeat its day too.  Nothing is
    forced meanwhile, and what was told is told again afterwards.

    Parameters
    ----------
    plant : the compiled loop
    should_stop : asked now and then; the state at that moment is returned when it says yes
    progress : called now and then with simulated and total time, so far nothing of it [s]

    Raises
    ------
    RunError
        If the day does not repeat within thirty days, or the run could not go on.
    """
    simulation = Simulation(plant, forced=False)
    nodes = [n for n in plant.nodes if plant.arrays["C"][n] > 0.0 and n < simulation.recorded]
    stores = [n for n in (*plant.masses, *plant.powers["stored"]) if n < simulation.recorded]
    before = None
    last = means = np.zeros(simulation.recorded)
    for _ in range(SETTLE_DAYS):
        begin = simulation.integral.copy()
        for look in range(1, LOOKS + 1):
            while simulation.time < look * DAY / LOOKS - 0.5:
                code = simulation.advance(look * DAY / LOOKS)
                if code not in ("done", "stopped"):
                    raise RunError(f"The loop could not be settled. {ADVICE[code]}")
            if progress:
                progress(0.0, DAY)
            if should_stop and should_stop():
                return _as_of_midnight(simulation)
        last, means = means, (simulation.integral - begin) / DAY
        now = means[nodes], means[stores]
        if before is not None and _alike(before, now):
            return _as_of_midnight(simulation)
        before = now
        simulation.arrays["X"][TIME] = 0.0
    raise RunError(
        f"The loop does not repeat its day within {SETTLE_DAYS} days: "
        f"{_drift(plant, means - last, [*nodes, *stores])}. Start it from a stated state instead."
    )


def _drift(plant: Plant, change: NDArray[np.float64], places: list[int]) -> str:
    """Return in words what still changes most from day to day, temperatures first."""
    names = {place: key for key, place in plant.places.items()}
    units = {place: unit for _, _, unit, place in plant.channels}
    known = [place for place in places if place in units]
    place = max(known, key=lambda place: (units[place] == "K", abs(change[place])))
    tag, name = names[place]
    return f"the {name} of {tag} still changes by {change[place]:.3g} {units[place]} a day"


def _alike(before: Means, now: Means) -> bool:
    warmer = np.abs(now[0] - before[0]).max(initial=0.0)
    fuller = (np.abs(now[1] - before[1]) / np.maximum(np.abs(before[1]), 1.0)).max(initial=0.0)
    return bool(warmer < SETTLED_WITHIN and fuller < STORED_WITHIN)


def _as_of_midnight(simulation: Simulation) -> State:
    """Return the present state with its clock at 0 and nothing told yet."""
    x, ints, header = simulation.arrays["X"], simulation.fixed["I"], simulation.fixed["H"]
    x[TIME] = 0.0
    for k in range(int(header[3 * at.WATCHES])):
        x[ints[int(header[3 * at.WATCHES + 1]) + k * at.WA_I + at.WA_STATE]] = 0.0
    return simulation.state()
