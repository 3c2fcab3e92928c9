"""What a battery declares about itself."""

from brinewright.components.battery.lower import lower
from brinewright.model.common import power, ratio
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import MACHINE_LOST, Mishap

KIND = Kind(
    name="battery",
    summary="Takes what is made too much and gives it when it is short.",
    letters=("BT",),
    laws=(
        Law(name="power limits", world="stylised", text="Stores and gives power up to its limits."),
        Law(
            name="losses",
            world="real",
            text="As the stylised one, with losses as heat where it is sited and a rest "
            "that is not to be used.",
            parameters=(
                ratio("lowest_charge", "Charge below which it does not give.", default=0.2),
                power("standing_loss", "Power that it loses all the time.", default=0.0),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="energy",
            quantity="energy",
            text="Energy that it holds when full.",
            low=1.0,
            high=1e18,
        ),
        power("charge_power", "Highest power that it takes.", low=0.0),
        power("discharge_power", "Highest power that it gives.", low=0.0),
        ratio("charge_efficiency", "Share of the power taken that is stored.", low=0.01),
        ratio("discharge_efficiency", "Share of the stored energy that is given.", low=0.01),
    ),
    references=(
        Reference(
            name="bus", kinds=("bus",), text="The bus that it stands on; absent: the only bus.", optional=True
        ),
    ),
    channels=(
        Channel(name="charge", unit="1", text="Stored energy as a share of what it holds when full."),
        Channel(name="energy", unit="J", text="Stored energy."),
        Channel(name="power", unit="W", text="Power given to the bus; negative while it is charged."),
        Channel(name="loss", unit="W", text="Power lost."),
    ),
    positions=("on", "off"),
    start=(ratio("charge", "Charge at the start as a share of what it holds when full."),),
    mishaps=(
        Mishap(
            name="out of service",
            group=MACHINE_LOST,
            text="{tag} neither takes nor gives power.",
            target="command",
        ),
    ),
    lower=lower,
)
