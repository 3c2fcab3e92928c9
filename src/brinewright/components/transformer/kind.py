"""What a transformer declares about itself."""

from brinewright.components.transformer.lower import lower
from brinewright.model.common import conductance, power
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import lost_for_a_while

KIND = Kind(
    name="transformer",
    summary="Passes power from one bus, or from the grid, to another bus.",
    letters=("TX",),
    laws=(
        Law(name="power limits", world="stylised", text="Passes power without loss, up to its rating."),
        Law(
            name="losses",
            world="real",
            text="Loses power in its core always, and in its windings with the square of the load.",
            parameters=(
                power("core_loss", "Power lost whenever it is on."),
                power("winding_loss", "Power lost in the windings at its rating."),
                conductance(
                    "casing_conductance", "Conductance from its tank to where it is sited.", default=200.0
                ),
            ),
        ),
    ),
    parameters=(
        power("rating", "Highest power that it may pass.", low=1.0),
        Parameter(
            name="when_over",
            quantity="word",
            text="What it does above its rating: opens, or carries on and is reported.",
            choices=("opens", "carries"),
        ),
    ),
    references=(
        Reference(name="supply", kinds=("bus", "grid"), text="The bus or grid that feeds it."),
        Reference(name="bus", kinds=("bus",), text="The bus that it feeds."),
    ),
    channels=(
        Channel(
            name="power",
            unit="W",
            text="Power given to the bus that it feeds; negative while it takes it back.",
        ),
        Channel(name="loss", unit="W", text="Power lost, as heat to where it is sited.", laws=("losses",)),
        Channel(name="temperature", unit="K", text="Temperature of its tank.", laws=("losses",)),
        Channel(name="closed", unit="1", text="1 while it is closed."),
    ),
    positions=("on", "off"),
    mishaps=(lost_for_a_while("closed"),),
    lower=lower,
)
