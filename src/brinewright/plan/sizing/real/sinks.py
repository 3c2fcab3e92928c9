"""Where every joule may go in the end: four ways, worked out side by side before one is taken."""

import math
from dataclasses import dataclass

from brinewright.laws import radiation, steam_cycle
from brinewright.plan.sizing.real.steam import Expansion, Lift, saturated

SKY = 0.0
"""Sky that the areas are compared under, as cold as can be [K]."""
PLAIN = 45.0 + 273.15
"""Temperature at which a plain chiller gives its heat to a sink [K], common practice."""
BELOW_VESSEL = 5.0
"""Radiators fed by the vessel itself stay this far below it [K], common practice."""


@dataclass(frozen=True)
class Way:
    """One way of getting rid of the heat."""

    letter: str
    name: str
    chillers: float
    """Electric power of the chillers [W]."""
    turbines: float
    """Electric power of the turbines [W]."""
    other_heat: float
    """Heat that must come from elsewhere to feed the chillers [W]."""
    steam: float
    """[kg/s]"""
    to_sink: float
    """Heat that the final sink takes [W]."""
    sink_temperature: float
    """[K]"""
    imported: float
    """Electric power from outside [W]."""

    def area(self, emissivity: float) -> float:
        """Return the radiator area under a sky of 0 K, [m2]."""
        return radiation.radiator_area(self.to_sink, emissivity, self.sink_temperature, SKY)


def ways(
    lift: Lift, turbine: Expansion, load: float, vessel: float, leak: float, auxiliaries: float
) -> tuple[Way, ...]:
    """Return the ways, each of A, B self-powered by other heat where it has turbines.

    Parameters
    ----------
    lift : the chillers
    turbine : the turbines
    load : heat of the loop [W]
    vessel : working temperature of the vessel [K]
    leak : heat that the vessel loses [W]
    auxiliaries : electric power of pumps and controls [W]
    """
    heat = turbine.heat(vessel)
    share = turbine.electric(1.0, vessel) / heat
    condensate = saturated("h", turbine.condensing, 0.0)

    def condensed(steam: float) -> float:
        return steam_cycle.condenser_heat(
            steam, saturated("h", vessel, 1.0), turbine.work(vessel), condensate
        )

    plain_hot = PLAIN - lift.item.number("condenser_approach")
    high, low = lift.electric(load, vessel), lift.electric(load, plain_hot)
    rejected_high, rejected_low = lift.rejected(load, vessel), lift.rejected(load, plain_hot)
    alone = max(rejected_high - leak, 0.0) / heat
    need_high, need_low = (high + auxiliaries) / share, (low + auxiliaries) / share
    return (
        Way(
            "A0",
            "chillers into the vessel, turbines on that heat alone",
            high,
            alone * heat * share,
            0.0,
            alone,
            condensed(alone),
            turbine.condensing,
            high + auxiliaries - alone * heat * share,
        ),
        Way(
            "A",
            "chillers into the vessel, turbines fed by other heat as well",
            high,
            need_high * share,
            need_high + leak - rejected_high,
            need_high / heat,
            condensed(need_high / heat),
            turbine.condensing,
            0.0,
        ),
        Way(
            "B",
            "plain chillers to the sink, turbines on other heat only",
            low,
            need_low * share,
            need_low,
            need_low / heat,
            condensed(need_low / heat) + rejected_low,
            turbine.condensing,
            0.0,
        ),
        Way(
            "C",
            "lift into the vessel and radiate from it",
            high,
            0.0,
            0.0,
            0.0,
            rejected_high,
            vessel - BELOW_VESSEL,
            high + auxiliaries,
        ),
        Way(
            "D",
            "plain chillers on imported power",
            low,
            0.0,
            0.0,
            0.0,
            rejected_low,
            PLAIN,
            low + auxiliaries,
        ),
    )


def radiators(
    heat: float,
    area: float,
    emissivity: float,
    conductance: float,
    warm: float,
    cool: float,
    sky: float,
    flow: float,
) -> int:
    """Return how many radiators in a row of parallel units take a heat [W].

    Each is as warm as the liquid that leaves it less what its own conductance needs:
    Phi = eps sigma A (T^4 - T_sky^4),  T_liquid - T = Phi / G

    Parameters
    ----------
    heat : to be given away [W]
    area, emissivity, conductance : of one unit [m2], [-] and [W/K]
    warm, cool : liquid before and after [K]
    sky : warmest radiation temperature of the sky [K]
    flow : heat capacity flow of all the liquid [W/K]; it must carry the heat
    """
    if flow * (warm - cool) < 0.99 * heat:
        return 0
    mean = 0.5 * (warm + cool)
    low, high = sky, mean
    for _ in range(60):  # what a unit radiates rises with its surface, what reaches it falls
        surface = 0.5 * (low + high)
        if radiation.radiated_heat(emissivity, area, surface, sky) < conductance * (mean - surface):
            low = surface
        else:
            high = surface
    each = conductance * (mean - 0.5 * (low + high))
    return math.ceil(heat / each) if each > 0.0 else 0
