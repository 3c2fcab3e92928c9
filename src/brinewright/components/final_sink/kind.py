"""What a final sink declares about itself."""

from brinewright.components.final_sink.lower import lower
from brinewright.model.common import (
    FLOW,
    INLET,
    OPTIONAL_IN,
    OPTIONAL_OUT,
    OUTLET,
    POWER_DRAWN,
    POWERED,
    RUNNING,
    capacity,
    conductance,
    hold_up,
    power,
    rated_loss,
    ratio,
    specific_heat,
    temperature,
    through,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import lost

TO_SINK = conductance("conductance", "Conductance from what is cooled to the sink, each unit.")

KIND = Kind(
    name="final sink",
    summary="Where heat leaves the plant for good: a radiator, the ground, water, or a declaration.",
    letters=("RD", "SK"),
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="Takes up to a declared heat flow, down to a declared temperature, and it is gone.",
            parameters=(
                Parameter(
                    name="heat",
                    quantity="schedule",
                    schedule_of="power",
                    text="Heat flow that it takes, steady or over time.",
                    low=0.0,
                    high=1e12,
                ),
                temperature(
                    "lowest_temperature", "Temperature below which it takes nothing.", optional=False
                ),
            ),
        ),
        Law(
            name="fixed temperature contact",
            world="stylised",
            text="Touches at a temperature that nothing changes.",
            parameters=(
                Parameter(
                    name="contact_temperature",
                    quantity="schedule",
                    schedule_of="temperature",
                    text="Temperature of the contact, steady or over time.",
                    low=1.0,
                    high=3000.0,
                ),
                TO_SINK,
            ),
        ),
        Law(
            name="radiator",
            world="real",
            text="A surface radiates to the sky and gives to the air.",
            parameters=(
                Parameter(
                    name="area",
                    quantity="area",
                    text="Radiating area of each unit.",
                    low=1e-4,
                    high=1e9,
                ),
                ratio("emissivity", "Emissivity of the surface.", low=0.001),
                TO_SINK,
                Parameter(
                    name="sky_temperature",
                    quantity="temperature",
                    text="Temperature that it radiates to; absent: the sky temperature of the site.",
                    optional=True,
                    low=0.0,
                    high=3000.0,
                ),
                Parameter(
                    name="air_coefficient",
                    quantity="heat transfer coefficient",
                    text="Heat transfer coefficient from the surface to the ambient air; none without air.",
                    default=0.0,
                    low=0.0,
                    high=1e4,
                ),
            ),
        ),
        Law(
            name="ground",
            world="real",
            text="A buried field warms the ground around it.",
            parameters=(
                TO_SINK,
                temperature(
                    "ground_temperature",
                    "Temperature of the undisturbed ground; absent: that of the site.",
                    optional=True,
                ),
                Parameter(
                    name="ground_heat_capacity",
                    quantity="heat capacity",
                    text="Heat capacity of the ground that the field warms; absent: it never warms.",
                    optional=True,
                    low=1.0,
                    high=1e20,
                ),
                conductance(
                    "far_conductance", "Conductance from the warmed to the undisturbed ground.", default=0.0
                ),
            ),
        ),
        Law(
            name="water",
            world="real",
            text="A stream of water passes and takes the heat along.",
            parameters=(
                Parameter(
                    name="water_flow",
                    quantity="schedule",
                    schedule_of="mass flow",
                    text="Mass flow of the water, steady or over time.",
                    low=0.0,
                    high=1e6,
                ),
                specific_heat("water_heat_capacity", "Specific heat capacity of the water.", 4186.0),
                Parameter(
                    name="water_temperature",
                    quantity="schedule",
                    schedule_of="temperature",
                    text="Temperature at which the water comes, steady or over time.",
                    low=200.0,
                    high=650.0,
                ),
                temperature(
                    "highest_water_temperature",
                    "Temperature above which the water may not be given back; absent: no limit.",
                    optional=True,
                ),
                TO_SINK,
            ),
        ),
    ),
    parameters=(
        power("power", "Electric power of each running unit, for fans or for moving water.", default=0.0),
        hold_up(10.0),
        capacity(),
        *rated_loss(),
    ),
    ports=(OPTIONAL_IN, OPTIONAL_OUT),
    references=(
        Reference(
            name="cools",
            kinds=("steam vessel", "buffer tank", "room", "machine", "enclosure"),
            text="The parts that it touches directly, where no liquid is led through.",
            optional=True,
            many=True,
        ),
    ),
    channels=(
        Channel(name="heat", unit="W", text="Heat flow that leaves the plant here, the whole bank."),
        Channel(
            name="sink temperature",
            unit="K",
            text="Temperature that it gives to: contact, surface, ground, or water as it comes.",
        ),
        Channel(
            name="leaving temperature",
            unit="K",
            text="Temperature at which the water leaves.",
            laws=("water",),
        ),
        *through("in", FLOW, INLET, OUTLET),
        POWER_DRAWN,
        POWERED,
        RUNNING,
    ),
    positions=("run", "stop"),
    counted=True,
    start=(
        temperature(
            "warmed_temperature",
            "Temperature of the warmed ground at the start; absent: undisturbed.",
            optional=True,
        ),
    ),
    mishaps=(lost(),),
    lower=lower,
)
