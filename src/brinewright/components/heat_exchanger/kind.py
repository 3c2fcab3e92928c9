"""What a heat exchanger declares about itself."""

from brinewright.components.heat_exchanger.lower import lower
from brinewright.model.common import capacity, conductance, hold_up, rated_loss, ratio
from brinewright.model.kind import Channel, Kind, Law, Parameter, Port
from brinewright.model.mishap import blocked

KIND = Kind(
    name="heat exchanger",
    summary="Passes heat from one liquid to another without mixing them.",
    letters=("HX",),
    laws=(
        Law(
            name="conductance",
            world="stylised",
            text="The two contents even out their temperatures at a declared conductance.",
        ),
        Law(
            name="effectiveness",
            world="real",
            text="Effectiveness by number of transfer units and arrangement of the flows.",
            parameters=(
                Parameter(
                    name="arrangement",
                    quantity="word",
                    text="How the two flows pass each other.",
                    default="counterflow",
                    choices=("counterflow", "parallel flow", "crossflow"),
                ),
                ratio(
                    "fouling", "Share of the clean conductance that dirt has taken.", default=0.0, high=0.99
                ),
                *rated_loss("hot_", "the hot side"),
                *rated_loss("cold_", "the cold side"),
            ),
        ),
    ),
    parameters=(
        conductance("conductance", "Conductance from the hot to the cold side, clean."),
        hold_up(5.0, name="hot_hold_up", where="its hot side"),
        hold_up(5.0, name="cold_hold_up", where="its cold side"),
        capacity(name="hot_capacity", where="its hot side"),
        capacity(name="cold_capacity", where="its cold side"),
    ),
    ports=(
        Port(name="hot-in", flow="in", text="The warmer liquid comes in."),
        Port(name="hot-out", flow="out", text="The warmer liquid goes out."),
        Port(name="cold-in", flow="in", text="The colder liquid comes in."),
        Port(name="cold-out", flow="out", text="The colder liquid goes out."),
    ),
    channels=(
        Channel(name="heat", unit="W", text="Heat flow from the hot to the cold side."),
        Channel(name="hot flow", unit="kg/s", text="Mass flow through the hot side."),
        Channel(name="cold flow", unit="kg/s", text="Mass flow through the cold side."),
        Channel(name="hot outlet temperature", unit="K", text="Temperature at which the hot side leaves."),
        Channel(name="cold outlet temperature", unit="K", text="Temperature at which the cold side leaves."),
        Channel(name="effectiveness", unit="1", text="Heat flow as a share of the highest possible."),
    ),
    counted=True,
    mishaps=(blocked(),),
    lower=lower,
)
