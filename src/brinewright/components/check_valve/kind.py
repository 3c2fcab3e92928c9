"""What a check valve declares about itself."""

from brinewright.components.check_valve.lower import lower
from brinewright.model.common import FLOW, IN, OUT, PRESSURE_LOSS, TEMPERATURE, by_law, capacity, hold_up
from brinewright.model.kind import Channel, Kind, Law, Parameter

KIND = Kind(
    name="check valve",
    summary="Lets a flow pass from in to out only.",
    role="check",
    letters=("NRV",),
    laws=(
        Law(
            name="ideal",
            world="stylised",
            text="Passes forward flow without loss, and no reverse flow.",
            parameters=(capacity(),),
        ),
        Law(
            name="flow coefficient",
            world="real",
            text="Opens above its opening pressure; loss by flow coefficient.",
            parameters=(
                Parameter(
                    name="flow_coefficient",
                    quantity="volume flow",
                    text="Volume flow of water of 1000 kg/m3 through the open valve at a loss of 1 bar.",
                    low=1e-8,
                    high=100.0,
                ),
                Parameter(
                    name="opening_pressure",
                    quantity="pressure difference",
                    text="Forward pressure difference at which it begins to open.",
                    default=0.0,
                    low=0.0,
                    high=1e7,
                ),
            ),
        ),
    ),
    parameters=(hold_up(0.2),),
    ports=(IN, OUT),
    channels=(
        FLOW,
        TEMPERATURE,
        Channel(name="open", unit="1", text="1 while it is open."),
        *by_law("flow coefficient", PRESSURE_LOSS),
    ),
    lower=lower,
)
