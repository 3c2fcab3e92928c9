"""A store of electric energy and what it must bridge."""

import numpy as np
from numpy.typing import NDArray

from brinewright.jit import compiled


@compiled
def battery_step(
    energy: float,
    surplus: float,
    step: float,
    capacity: float,
    reserve: float,
    charge_limit: float,
    discharge_limit: float,
    charge_efficiency: float,
    discharge_efficiency: float,
) -> tuple[float, float]:
    """Energy in a battery after a step of time and the power it took, [J] and [W].

    dE/dt = eta_c P_charge - P_discharge / eta_d,  reserve <= E <= capacity

    Parameters
    ----------
    energy : E before the step [J]
    surplus : power of the bus, negative when short [W]
    step : of time, > 0 [s]
    capacity : largest E [J]
    reserve : least E that may be used, 20 % of the capacity as a rule [J]
    charge_limit : largest power taken [W]
    discharge_limit : largest power given [W]
    charge_efficiency : eta_c, 0.95 [-]
    discharge_efficiency : eta_d, 0.95 [-]

    Notes
    -----
    Power is positive when the battery charges; what it can't take or give stays on the bus.

    Example
    -------
    >>> battery_step(3.6e6, -2000.0, 60.0, 36e6, 3.5e6, 5e3, 5e3, 0.95, 1.0)
    (3500000.0, -1666.6666666666667)

    References
    ----------
    Energy balance; efficiencies from memory.
    """
    if surplus >= 0.0:
        power = min(surplus, charge_limit, max(0.0, capacity - energy) / (charge_efficiency * step))
        return energy + charge_efficiency * power * step, power
    power = min(-surplus, discharge_limit, max(0.0, energy - reserve) * discharge_efficiency / step)
    return energy - power / discharge_efficiency * step, -power


@compiled
def largest_drawdown(power: NDArray[np.float64], step: float) -> float:
    """Energy that a battery must hold to bridge a course of net power, [J].

    largest peak to later trough of sum(P dt)

    Parameters
    ----------
    power : net of the bus at equal steps, positive when in surplus [W]
    step : of time [s]

    Notes
    -----
    Without losses. Divide by the discharge efficiency and the usable share for a size.

    Example
    -------
    >>> float(largest_drawdown(np.array([5.0, -3.0, -4.0, 6.0, -2.0]), 10.0))
    70.0

    References
    ----------
    Definition.
    """
    total = 0.0
    peak = 0.0
    worst = 0.0
    for value in power:
        total += value * step
        peak = max(peak, total)
        worst = max(worst, peak - total)
    return worst
