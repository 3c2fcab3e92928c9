"""What a condensate pump declares about itself."""

from brinewright.components.condensate_pump.lower import lower
from brinewright.model.common import POWER_DRAWN, POWERED, RUNNING, mass_flow, power, ratio
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import CONDENSATE_BLOCKED, lost

KIND = Kind(
    name="condensate pump",
    summary="Brings the condensate of turbines back into the steam vessel, against its pressure.",
    letters=("CP",),
    laws=(
        Law(
            name="fixed capacity",
            world="stylised",
            text="Returns up to its capacity at a fixed power, against any pressure.",
            parameters=(power("power", "Electric power of each running unit."),),
        ),
        Law(
            name="feed",
            world="real",
            text="Power from flow, pressure difference and efficiency; suction limit of liquid near boiling.",
            parameters=(
                ratio("efficiency", "Efficiency of the pump.", default=0.5, low=0.05),
                ratio("motor_efficiency", "Efficiency of the motor and its drive.", default=0.9, low=0.05),
                Parameter(
                    name="line_loss",
                    quantity="pressure difference",
                    text="Pressure loss of the condensate line at full capacity.",
                    default=3e4,
                    low=0.0,
                    high=1e7,
                ),
                Parameter(
                    name="highest_rise",
                    quantity="pressure difference",
                    text="Highest pressure difference against which it returns anything.",
                    low=1.0,
                    high=1e8,
                ),
                Parameter(
                    name="hotwell_height",
                    quantity="length",
                    text="Height of the hotwell's level above the pump.",
                    low=0.0,
                    high=1000.0,
                ),
                Parameter(
                    name="suction_head_required",
                    quantity="length",
                    text="Net positive suction head required, at standard gravity.",
                    default=2.0,
                    low=0.0,
                    high=100.0,
                ),
            ),
        ),
    ),
    parameters=(
        mass_flow("capacity", "Highest condensate flow of each unit.", low=1e-6),
        Parameter(
            name="hotwell",
            quantity="mass",
            text="Mass of condensate that the hotwell holds before it backs up into the turbine.",
            default=100.0,
            low=0.01,
            high=1e6,
        ),
    ),
    references=(
        Reference(
            name="serves", kinds=("turbine",), text="The turbines whose condensate it returns.", many=True
        ),
    ),
    channels=(
        Channel(name="condensate flow", unit="kg/s", text="Condensate that it returns, the whole bank."),
        Channel(name="hotwell", unit="kg", text="Mass of condensate that waits."),
        POWER_DRAWN,
        POWERED,
        RUNNING,
    ),
    positions=("run", "stop"),
    counted=True,
    mishaps=(lost(group=CONDENSATE_BLOCKED),),
    lower=lower,
)
