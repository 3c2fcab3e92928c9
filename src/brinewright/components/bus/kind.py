"""What a bus declares about itself."""

from brinewright.components.bus.lower import lower
from brinewright.model.common import power, ratio
from brinewright.model.kind import Channel, Kind, Law, Parameter
from brinewright.model.mishap import lost_for_a_while

KIND = Kind(
    name="bus",
    summary="Where the power that is made, stored and drawn meets.",
    letters=("SB",),
    laws=(
        Law(
            name="power limits",
            world="stylised",
            text="Power adds up; its rating is the only limit.",
        ),
        Law(
            name="losses",
            world="real",
            text="Power adds up at a voltage; starting currents pull the voltage down.",
            parameters=(
                Parameter(
                    name="voltage",
                    quantity="voltage",
                    text="Voltage between phases.",
                    low=1.0,
                    high=1e6,
                ),
                ratio(
                    "lowest_voltage",
                    "Share of the voltage below which contactors drop out.",
                    default=0.7,
                    low=0.05,
                ),
                power("short_circuit_power", "Short-circuit power of what feeds it.", low=1.0),
            ),
        ),
    ),
    parameters=(
        power("rating", "Highest power that may pass it; absent: no limit.", low=1.0, optional=True),
        Parameter(
            name="when_short",
            quantity="word",
            text="What happens when less power is made than is drawn: loads are shed in their order, "
            "or all of them stop.",
            choices=("sheds in order", "all stop"),
        ),
        Parameter(
            name="restores_after",
            quantity="time",
            text="Time with enough power before shed loads come back, one order at a time.",
            default=60.0,
            low=0.0,
            high=1e6,
        ),
    ),
    channels=(
        Channel(name="generated", unit="W", text="Power made by turbines."),
        Channel(name="drawn", unit="W", text="Power drawn by loads and lost on the way to them."),
        Channel(name="balance", unit="W", text="Power made less power drawn, before battery and grid."),
        Channel(
            name="imported",
            unit="W",
            text="Power that grids and transformers give; negative while they take.",
        ),
        Channel(name="live", unit="1", text="1 while the bus gives power."),
        Channel(name="short", unit="W", text="Power asked for and not given."),
        Channel(
            name="spilled",
            unit="W",
            text="Power made that nothing draws, stores or takes: a load bank's duty.",
        ),
        Channel(name="voltage", unit="V", text="Voltage between phases.", laws=("losses",)),
    ),
    mishaps=(lost_for_a_while("live", "dead", "{tag} is dead for a quarter of an hour."),),
    lower=lower,
)
