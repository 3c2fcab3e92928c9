"""Force other values at other times in a plant that is compiled already."""

from collections.abc import Iterable
from dataclasses import replace

from brinewright.compile import Plant
from brinewright.kernel import layout as at
from brinewright.model.loop import Force

NEVER = 1e18
"""A time that no run comes to [s]."""


def forced(plant: Plant, forces: Iterable[Force]) -> Plant:
    """Return a plant in which just these forces act; nothing is compiled anew.

    Parameters
    ----------
    plant : compiled with one force for every target that may be forced, without tables
    forces : those that act; each target once
    """
    acting = {force.target: force for force in forces}
    header, ints = plant.arrays["H"], plant.arrays["I"]
    numbers = plant.arrays["P"].copy()
    for k, known in enumerate(plant.loop.forces):
        points = int(ints[int(header[3 * at.FORCES + 1]) + k * at.FO_I + at.FO_POINTS])
        end = int(header[3 * at.FORCES + 2]) + k * at.FO_P + at.FO_END
        force = acting.pop(known.target, None)
        numbers[points] = NEVER if force is None else force.start
        numbers[points + 1] = 0.0 if force is None else force.value
        numbers[end] = NEVER if force is None else min(force.end, NEVER)
    if acting:
        raise ValueError(f"{', '.join(sorted(acting))}: nothing was compiled to force it")
    return replace(plant, arrays={**plant.arrays, "P": numbers})
