"""Tanks of a loop under real laws: what each need asks of the buffer, and an expansion vessel."""

import math

from brinewright.laws import expansion_vessel, tank
from brinewright.plan.sizing.real.coolant import Coolant, coolant_at
from brinewright.plan.sizing.real.design import Circuit
from brinewright.plan.sizing.real.piping import rounded_up

RUN_TIME, RUN_BAND = 600.0, 3.0
"""Shortest run of a chiller [s] within this band of the tank [K], common practice."""
STARTS = 6.0 / 3600.0
"""Starts of a chiller [1/s], common practice."""
RIDE_THROUGH = 600.0
"""Time that the supply holds without a chiller where a brief says none [s]."""
ALLOWED_RISE = 4.0
"""Rise of a mixed tank that consumers bear meanwhile [K], common practice."""
MERIT = 0.9
"""Share of a stratified tank that is delivered cold, common practice 0.85 to 0.95."""
VENTED, SQUEEZED = 1.5e5, 2.5e5
"""Gauge pressures of an expansion vessel empty and full [Pa]."""
HOTTEST_REST = 40.0 + 273.15
"""Temperature that the loop reaches at rest [K]."""
DRAIN = 0.12
"""Free volume of a tank beyond what drains into it [-]; 10 % is common practice."""


def with_room(stored: float, drained: float) -> tuple[float, float]:
    """Return volume [m3] and working level [-] of a tank that works with one volume and can take another.

    >>> with_room(3.0, 2.0)
    (5.5, 0.59)
    """
    room = (1.0 + DRAIN) * drained
    volume = rounded_up(stored + room, 0.5)
    return volume, math.floor(100.0 * (1.0 - room / volume)) / 100.0


def tank_needs(layout: str, step: float, house: Circuit, load: float, ride: float) -> dict[str, float]:
    """Return the volume that each need asks of the buffer tank, [m3].

    Parameters
    ----------
    layout : its tank is layered in L3 and L5, mixed in L4
    step : least power of a chiller that runs on [W]
    house : the consumers' circuit
    load : of the loop [W]
    ride : time that the supply holds without a chiller [s]
    """
    carried = house.coolant.carried
    through = (
        tank.ride_through_mixed(load, ride, ALLOWED_RISE, carried)
        if layout == "L4"
        else tank.ride_through_stratified(house.flow / house.coolant.density, ride, MERIT)
    )
    return {
        "starts": tank.volume_for_starts(step, STARTS, RUN_BAND, carried),
        "run time": tank.volume_for_run_time(step, RUN_TIME, RUN_BAND, carried),
        "ride-through": through,
    }


def expansion_size(coolant: Coolant, volume: float, supply: float, ambient: float) -> float:
    """Return the volume of an expansion vessel, were the loop closed, [m3]; 0 where tables do not reach.

    Parameters
    ----------
    coolant : the liquid
    volume : of the whole loop [m3]
    supply : its coldest temperature [K]
    ambient : pressure of the surroundings [Pa]
    """
    hot, cold = coolant_at(coolant.liquid, HOTTEST_REST), coolant_at(coolant.liquid, supply)
    if hot is None or cold is None:
        return 0.0
    growth = expansion_vessel.expanded_volume(volume, cold.density, hot.density)
    reserve = expansion_vessel.water_reserve(volume)
    return expansion_vessel.vessel_size(growth, reserve, VENTED + ambient, SQUEEZED + ambient)
