"""What a feeder declares about itself."""

from brinewright.components.feeder.lower import lower
from brinewright.model.common import duration, power, ratio
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import lost_for_a_while

KIND = Kind(
    name="feeder",
    summary="The cable and its switchgear that bring power from a bus to the loads that name it.",
    letters=("FD",),
    laws=(
        Law(name="power limits", world="stylised", text="Carries power without loss, up to its limit."),
        Law(
            name="losses",
            world="real",
            text="Loses power in its resistance and voltage in its impedance.",
            parameters=(
                Parameter(
                    name="route_length",
                    quantity="length",
                    text="Length of the cable.",
                    low=0.1,
                    high=1e6,
                ),
                Parameter(
                    name="conductor_area",
                    quantity="area",
                    text="Cross-section of one conductor.",
                    low=1e-7,
                    high=0.01,
                ),
                Parameter(
                    name="cables",
                    quantity="count",
                    text="Number of cables side by side.",
                    default=1.0,
                    low=1.0,
                    high=100.0,
                ),
                Parameter(
                    name="conductor",
                    quantity="word",
                    text="Metal of the conductors.",
                    default="copper",
                    choices=("copper", "aluminium"),
                ),
                Parameter(
                    name="reactance",
                    quantity="resistance per metre",
                    text="Reactance of one cable by length.",
                    default=8e-5,
                    low=0.0,
                    high=0.1,
                ),
                ratio("power_factor", "Power factor of its loads together.", default=0.9, low=0.1),
                ratio("highest_drop", "Highest voltage drop as a share of the voltage.", default=0.04),
            ),
        ),
    ),
    parameters=(
        power("limit", "Highest power that it may carry.", low=1.0),
        Parameter(
            name="when_over",
            quantity="word",
            text="What it does above its limit: opens, or carries on and is reported.",
            choices=("opens", "carries"),
        ),
        duration("opens_after", "Time above the limit before it opens.", default=0.0),
        duration(
            "recloses_after",
            "Time after which it closes by itself; absent: it stays open until someone closes it.",
            optional=True,
        ),
    ),
    references=(
        Reference(
            name="bus",
            kinds=("bus",),
            text="The bus that it draws from; absent: the only bus.",
            optional=True,
        ),
    ),
    channels=(
        Channel(name="power", unit="W", text="Power that leaves the bus through it."),
        Channel(name="asked", unit="W", text="Power that its loads ask for."),
        Channel(
            name="loss", unit="W", text="Power lost in it, as heat to where it is sited.", laws=("losses",)
        ),
        Channel(
            name="voltage drop",
            unit="1",
            text="Voltage drop as a share of the voltage.",
            laws=("losses",),
        ),
        Channel(name="closed", unit="1", text="1 while it is closed."),
    ),
    positions=("on", "off"),
    mishaps=(lost_for_a_while("closed"),),
    lower=lower,
)
