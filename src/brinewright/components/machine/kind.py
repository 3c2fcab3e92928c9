"""What a machine that needs cooling declares about itself."""

from dataclasses import replace

from brinewright.components.machine.lower import lower
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
    rated_loss,
    temperature,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter
from brinewright.model.mishap import CONSUMER_BLOCKED, Countermeasure, blocked, surges

KIND = Kind(
    name="machine",
    summary="Equipment that makes heat, and that the coolant keeps from getting too hot.",
    role="consumer",
    letters=("MC",),
    laws=(
        Law(
            name="lump",
            world="both",
            text="One heat capacity, warmed by its own heat, cooled by the coolant and by its surroundings.",
        ),
    ),
    parameters=(
        Parameter(
            name="heat",
            quantity="schedule",
            schedule_of="power",
            text="Heat that it makes while it runs, steady or over time.",
            low=0.0,
            high=1e12,
        ),
        Parameter(
            name="electric_power",
            quantity="schedule",
            schedule_of="power",
            text="Electric power that it draws while it runs, steady or over time; its "
            "heat is stated by itself.",
            default=0.0,
            low=0.0,
            high=1e12,
        ),
        Parameter(
            name="heat_capacity",
            quantity="heat capacity",
            text="Heat capacity of the machine.",
            low=1.0,
            high=1e15,
        ),
        conductance(
            "conductance", "Conductance from the machine to the coolant led through it.", default=0.0
        ),
        conductance("outside_conductance", "Conductance from the machine to where it is sited.", default=0.0),
        hold_up(2.0),
        capacity(),
        *consumer("the machine"),
        *rated_loss(),
    ),
    ports=(OPTIONAL_IN, OPTIONAL_OUT),
    channels=(
        Channel(name="temperature", unit="K", text="Temperature of the machine."),
        Channel(name="heat", unit="W", text="Heat that it makes."),
        Channel(name="cooling", unit="W", text="Heat flow from the machine to the coolant.", port="in"),
        replace(FLOW, port="in"),
        replace(OUTLET, port="in"),
        replace(RUNNING, text="1 while it runs."),
        POWER_DRAWN,
        POWERED,
    ),
    positions=("run", "stop"),
    start=(temperature("temperature", "Temperature of the machine at the start."),),
    mishaps=(blocked(CONSUMER_BLOCKED), surges("heat", "heat")),
    countermeasures=(Countermeasure(name="Switch off {tag}", target="heat", sheds=True),),
    lower=lower,
)
