"""What an enclosure declares about itself."""

from brinewright.components.enclosure.criteria import CRITERIA
from brinewright.components.enclosure.lower import lower
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
    metal,
    power,
    ratio,
    temperature,
    through,
)
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import MACHINE_LOST, Mishap

KIND = Kind(
    name="enclosure",
    summary="A closed shell filled with gas, through which the heat of a machine's casing must leave.",
    letters=("EN",),
    laws=(
        Law(
            name="conductance",
            world="stylised",
            text="A declared conductance from casing to shell, times the factor of its gas; vacuum has none.",
            parameters=(
                conductance("conductance", "Conductance from casing to shell with a gas of factor one."),
            ),
        ),
        Law(
            name="convection and radiation",
            world="real",
            text="Free or forced convection of the gas and radiation between both surfaces.",
            parameters=(
                Parameter(
                    name="casing_area",
                    quantity="area",
                    text="Area of the casing that faces the shell.",
                    low=1e-4,
                    high=1e5,
                ),
                Parameter(
                    name="casing_diameter",
                    quantity="length",
                    text="Diameter of the casing, taken as a lying cylinder.",
                    low=1e-3,
                    high=50.0,
                ),
                Parameter(
                    name="gap",
                    quantity="length",
                    text="Distance from the casing to the shell.",
                    low=1e-4,
                    high=50.0,
                ),
                ratio("casing_emissivity", "Emissivity of the casing.", low=0.001),
                ratio("shell_emissivity", "Emissivity of the inside of the shell.", low=0.001),
                Parameter(
                    name="forced_speed",
                    quantity="speed",
                    text="Speed at which a fan drives the gas over the casing; none is free convection.",
                    default=0.0,
                    low=0.0,
                    high=200.0,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="gas",
            quantity="text",
            names="gas",
            choices=("vacuum",),
            text='Name of its gas in the rulebook, or "vacuum".',
            default=REQUIRED,
        ),
        Parameter(
            name="gas_pressure",
            quantity="pressure",
            text="Pressure of its gas.",
            default=REQUIRED,
            low=0.0,
            high=1e8,
        ),
        Parameter(
            name="gas_volume",
            quantity="volume",
            text="Volume of gas in the enclosure.",
            default=REQUIRED,
            low=1e-4,
            high=1e5,
        ),
        ratio("purity", "Share of the named gas by volume; the rest is air.", default=1.0),
        *metal("the shell", prefix="shell"),
        conductance("shell_conductance", "Conductance from the shell to the place or part that it sheds to."),
        conductance(
            "cooler_conductance",
            "Conductance from the shell to coolant led through its cooler.",
            default=0.0,
        ),
        hold_up(5.0, where="its cooler"),
        capacity(where="its cooler"),
        power("fan_power", "Electric power of its fan, which ends as heat in the shell.", default=0.0),
        temperature(
            "shell_limit",
            "Temperature at which the shell fails; absent: that of its material.",
            optional=True,
        ),
    ),
    ports=(OPTIONAL_IN, OPTIONAL_OUT),
    references=(
        Reference(
            name="around",
            kinds=("turbine", "machine"),
            text="The machine that it encloses.",
        ),
        Reference(
            name="sheds_to",
            kinds=("room", "final sink", "steam vessel", "buffer tank"),
            text="The part that takes the shell's heat; absent: the place where it is sited.",
            optional=True,
        ),
    ),
    channels=(
        Channel(name="shell temperature", unit="K", text="Temperature of the shell."),
        Channel(name="gas temperature", unit="K", text="Mean of casing and shell temperature."),
        Channel(name="heat", unit="W", text="Heat flow from casing to shell."),
        Channel(name="conductance", unit="W/K", text="Heat flow by temperature difference, casing to shell."),
        Channel(name="shed", unit="W", text="Heat flow from the shell to where it sheds."),
        *through("in", FLOW, INLET, OUTLET),
        POWER_DRAWN,
        POWERED,
        RUNNING,
    ),
    positions=("run", "stop"),
    start=(
        temperature(
            "temperature",
            "Temperature of its shell at the start; absent: that of where it is sited.",
            optional=True,
        ),
    ),
    mishaps=(
        Mishap(
            name="fan stops",
            group=MACHINE_LOST,
            text="The fan of {tag} stops.",
            target="running",
            needs="fan_power",
        ),
    ),
    criteria=CRITERIA,
    lower=lower,
)
