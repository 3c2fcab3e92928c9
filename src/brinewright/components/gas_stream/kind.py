"""What a process gas that needs cooling declares about itself."""

from brinewright.components.process_stream import lower
from brinewright.model.common import (
    FLOW,
    IN,
    INLET,
    OUT,
    OUTLET,
    RUNNING,
    capacity,
    conductance,
    consumer,
    hold_up,
    rated_loss,
    specific_heat,
    temperature,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter
from brinewright.model.mishap import CONSUMER_BLOCKED, Countermeasure, blocked, surges

KIND = Kind(
    name="gas stream",
    summary="A gas of a process that the coolant brings down to a wanted temperature.",
    role="consumer",
    letters=("GQ",),
    laws=(
        Law(
            name="lump",
            world="stylised",
            text="One content of gas at one temperature, which gives its heat at a declared conductance.",
        ),
        Law(
            name="stream",
            world="real",
            text="The gas passes a heat exchanger; effectiveness by number of transfer units.",
            parameters=(
                Parameter(
                    name="arrangement",
                    quantity="word",
                    text="How the two flows pass each other.",
                    default="counterflow",
                    choices=("counterflow", "parallel flow", "crossflow"),
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="flow",
            quantity="schedule",
            schedule_of="mass flow",
            text="Mass flow of the gas, steady or over time.",
            low=0.0,
            high=1e6,
        ),
        specific_heat("stream_heat_capacity", "Specific heat capacity of the gas."),
        Parameter(
            name="inlet_temperature",
            quantity="schedule",
            schedule_of="temperature",
            text="Temperature at which the gas comes, steady or over time.",
            low=1.0,
            high=3000.0,
        ),
        temperature("wanted_temperature", "Temperature to which the gas has to be brought down."),
        conductance("conductance", "Conductance from the gas to the coolant."),
        Parameter(
            name="content",
            quantity="mass",
            text="Mass of the gas that is under cooling at a time, with its metal.",
            default=10.0,
            low=0.01,
            high=1e7,
        ),
        hold_up(5.0),
        capacity(),
        *consumer("the gas, where it leaves,"),
        *rated_loss(),
    ),
    ports=(IN, OUT),
    channels=(
        Channel(name="temperature", unit="K", text="Temperature at which the gas leaves."),
        Channel(name="stream flow", unit="kg/s", text="Mass flow of the gas."),
        Channel(name="cooling", unit="W", text="Heat flow from the gas to the coolant."),
        RUNNING,
        FLOW,
        INLET,
        OUTLET,
    ),
    positions=("run", "stop"),
    start=(
        temperature(
            "temperature",
            "Temperature of the gas under cooling at the start; absent: as it comes.",
            optional=True,
        ),
    ),
    mishaps=(blocked(CONSUMER_BLOCKED), surges("flow", "stream")),
    countermeasures=(Countermeasure(name="Halve the stream of {tag}", target="flow", times=0.5, sheds=True),),
    lower=lower,
)
