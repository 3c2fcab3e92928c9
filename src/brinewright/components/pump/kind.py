"""What a pump declares about itself."""

from brinewright.components.pump.criteria import CRITERIA
from brinewright.components.pump.lower import lower
from brinewright.model.common import (
    FLOW,
    IN,
    OUT,
    POWER_DRAWN,
    POWERED,
    RUNNING,
    TEMPERATURE,
    by_law,
    capacity,
    duration,
    hold_up,
    power,
    ratio,
)
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter
from brinewright.model.mishap import PUMP_OFF, Countermeasure, lost

KIND = Kind(
    name="pump",
    summary="Moves the coolant.",
    role="mover",
    letters=("P",),
    laws=(
        Law(
            name="fixed capacity",
            world="stylised",
            text="Moves up to its capacity at a fixed power, against anything.",
            parameters=(
                capacity(required=True),
                power("power", "Electric power of each running unit."),
                ratio("heat_share", "Share of its electric power that warms the coolant."),
            ),
        ),
        Law(
            name="curve",
            world="real",
            text="Pressure rise falling with the square of the flow, scaled by speed; "
            "efficiency; suction limit.",
            parameters=(
                Parameter(
                    name="shut_off_pressure",
                    quantity="pressure difference",
                    text="Pressure rise at no flow, at rated speed and rated density.",
                    low=1.0,
                    high=1e9,
                ),
                Parameter(
                    name="duty_flow",
                    quantity="volume flow",
                    text="Volume flow at its best efficiency, at rated speed.",
                    low=1e-8,
                    high=1e3,
                ),
                Parameter(
                    name="duty_pressure",
                    quantity="pressure difference",
                    text="Pressure rise at the duty flow, at rated speed and rated density.",
                    low=1.0,
                    high=1e9,
                ),
                Parameter(
                    name="rated_density",
                    quantity="density",
                    text="Density of the liquid for which its curve is stated.",
                    default=1000.0,
                    low=1.0,
                    high=20000.0,
                ),
                ratio("speed", "Speed as a share of the rated speed.", default=1.0, low=0.05, high=1.5),
                ratio("efficiency", "Hydraulic efficiency at the duty flow.", default=0.65, low=0.05),
                ratio("motor_efficiency", "Efficiency of the motor and its drive.", default=0.9, low=0.05),
                ratio(
                    "motor_heat_share",
                    "Share of the motor's loss that warms the coolant: none for a dry "
                    "motor, all for a wet rotor.",
                    default=0.0,
                ),
                Parameter(
                    name="suction_head_required",
                    quantity="length",
                    text="Net positive suction head required at the duty flow, at standard gravity.",
                    default=3.0,
                    low=0.0,
                    high=100.0,
                ),
                Parameter(
                    name="starting_multiple",
                    quantity="number",
                    text="Starting current as a multiple of the running current.",
                    default=6.0,
                    low=1.0,
                    high=12.0,
                ),
            ),
        ),
    ),
    parameters=(
        hold_up(2.0),
        duration("start_delay", "Time from the command to its full flow.", default=0.0),
        Parameter(
            name="when_off",
            quantity="word",
            text="What a stopped pump does to the flow through it: stops it, or lets it pass.",
            default=REQUIRED,
            choices=("stops", "passes"),
        ),
    ),
    ports=(IN, OUT),
    channels=(
        FLOW,
        TEMPERATURE,
        POWER_DRAWN,
        POWERED,
        RUNNING,
        *by_law(
            "curve",
            Channel(name="pressure rise", unit="Pa", text="Pressure rise from in to out."),
            Channel(
                name="suction head margin",
                unit="m",
                text="Net positive suction head available less required, in metres at the site's gravity.",
            ),
        ),
    ),
    positions=("run", "stop"),
    counted=True,
    mishaps=(lost(group=PUMP_OFF, often="common"),),
    countermeasures=(Countermeasure(name="Stop {tag}", target="command"),),
    criteria=CRITERIA,
    lower=lower,
)
