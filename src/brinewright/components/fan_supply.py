"""Whether what drives a fan, or moves water, has power."""

from brinewright.model.lowering import Builder, PartView, Place


def fan_supply(part: PartView, builder: Builder, power: Place, watts: float) -> Place:
    """Return whether a part has power: always, where it draws none and names no feeder.

    Parameters
    ----------
    part : that may name a feeder
    builder : that makes the load
    power : channel of what it draws
    watts : most that it draws [W]
    """
    if watts > 0.0 or part.feeder:
        return builder.load(power, watts)
    return builder.position("powered", 1.0)
