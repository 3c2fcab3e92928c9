"""How much liquid gains or loses in volume as it comes to the temperature of the surroundings."""

from brinewright.plan.pipework import Pipework


def swelling(pipes: Pipework, tag: str, temperature: float, around: float) -> float:
    """Return the growth of volume of the liquid at a part or line, as a share of it [1].

    V_2 / V_1 - 1 = rho(T_1) / rho(T_2) - 1

    Parameters
    ----------
    pipes : the loop as pipes
    tag : a part or line in which the liquid stands
    temperature : of the liquid [K]
    around : temperature that it comes to [K]

    Notes
    -----
    Nothing where the density is declared: such a liquid does not swell.
    """
    liquid = pipes.views[tag].liquid
    if not liquid.properties:
        return 0.0
    from brinewright.errors import PropertyRangeError
    from brinewright.fluids import property_value

    try:
        warm, still = (
            float(property_value(liquid.properties, "density", temperature=kelvin, pressure=3e5).value)
            for kelvin in (temperature, around)
        )
    except PropertyRangeError:
        return 0.0
    return warm / still - 1.0
