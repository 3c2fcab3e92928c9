"""What a room declares about itself."""

from dataclasses import replace

from brinewright.components.room.lower import lower
from brinewright.model.common import (
    FLOW,
    OPTIONAL_IN,
    OPTIONAL_OUT,
    OUTLET,
    POWER_DRAWN,
    POWERED,
    RUNNING,
    capacity,
    conductance,
    consumer,
    hold_up,
    power,
    rated_loss,
    ratio,
    temperature,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter
from brinewright.model.mishap import CONSUMER_BLOCKED, Countermeasure, blocked, surges

OUTSIDE = conductance(
    "outside_conductance", "Conductance from the inside to where the room is sited, through everything."
)

KIND = Kind(
    name="room",
    summary="A space that people, plants or machines need between two temperatures.",
    role="consumer",
    letters=("ZN",),
    laws=(
        Law(
            name="lump",
            world="stylised",
            text="Air, walls and contents as one heat capacity.",
            parameters=(
                Parameter(
                    name="heat_capacity",
                    quantity="heat capacity",
                    text="Heat capacity of air, walls and contents together.",
                    low=1.0,
                    high=1e15,
                ),
                OUTSIDE,
            ),
        ),
        Law(
            name="two-node",
            world="real",
            text="Air and wall, each with its heat capacity; ventilation, moisture and weather.",
            parameters=(
                Parameter(
                    name="air_heat_capacity",
                    quantity="heat capacity",
                    text="Heat capacity of the air and what follows it quickly.",
                    low=1.0,
                    high=1e15,
                ),
                Parameter(
                    name="wall_heat_capacity",
                    quantity="heat capacity",
                    text="Heat capacity of the walls and what follows them slowly.",
                    low=1.0,
                    high=1e15,
                ),
                conductance("air_wall_conductance", "Conductance from the air to the wall."),
                conductance(
                    "wall_outside_conductance", "Conductance from the wall to where the room is sited."
                ),
                conductance(
                    "air_outside_conductance",
                    "Conductance from the air straight to where the room is sited.",
                    default=0.0,
                ),
                Parameter(
                    name="ventilation",
                    quantity="schedule",
                    schedule_of="mass flow",
                    text="Mass flow of outside air that is led in, steady or over time.",
                    default=0.0,
                    low=0.0,
                    high=1e5,
                ),
                Parameter(
                    name="moisture_gain",
                    quantity="schedule",
                    schedule_of="mass flow",
                    text="Water vapour that people, plants and processes give, steady or over time.",
                    default=0.0,
                    low=0.0,
                    high=1e4,
                ),
                Parameter(
                    name="air_mass",
                    quantity="mass",
                    text="Mass of the dry air in the room, which holds the moisture.",
                    low=0.01,
                    high=1e9,
                ),
                ratio(
                    "highest_humidity",
                    "Relative humidity that must not be exceeded; absent: no limit.",
                    optional=True,
                ),
                power("fan_power", "Electric power of the coil's fan, which heats the room.", default=0.0),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="gains",
            quantity="schedule",
            schedule_of="power",
            text="Heat that people, lamps, machines and sun give inside, steady or over time.",
            low=-1e12,
            high=1e12,
        ),
        conductance(
            "coil_conductance", "Conductance from the inside to the coolant in its coil.", default=0.0
        ),
        hold_up(2.0, where="its coil"),
        capacity(where="its coil"),
        *consumer("the room"),
        *rated_loss(where="its coil"),
    ),
    ports=(OPTIONAL_IN, OPTIONAL_OUT),
    channels=(
        Channel(name="temperature", unit="K", text="Temperature of the air inside."),
        Channel(name="wall temperature", unit="K", text="Temperature of the wall.", laws=("two-node",)),
        Channel(name="humidity", unit="1", text="Relative humidity.", laws=("two-node",)),
        Channel(
            name="cooling",
            unit="W",
            text="Heat flow from the room to the coolant, with that of the water that condenses.",
            port="in",
        ),
        Channel(
            name="gains",
            unit="W",
            text="Heat that people, lamps, machines and sun give inside, as scheduled.",
        ),
        replace(FLOW, port="in"),
        replace(OUTLET, port="in"),
        replace(RUNNING, text="1 while its coil works.", port="in"),
        replace(POWER_DRAWN, text="Electric power of the coil's fan.", laws=("two-node",), port="in"),
        replace(POWERED, laws=("two-node",), port="in"),
    ),
    positions=("run", "stop"),
    start=(
        temperature("temperature", "Temperature of the air at the start."),
        temperature(
            "wall_temperature",
            "Temperature of the wall at the start; absent: that of the air.",
            optional=True,
        ),
        ratio("humidity", "Relative humidity at the start.", default=0.5),
    ),
    mishaps=(blocked(CONSUMER_BLOCKED), surges("gains", "heat")),
    countermeasures=(Countermeasure(name="Halve the heat in {tag}", target="gains", times=0.5, sheds=True),),
    lower=lower,
)
