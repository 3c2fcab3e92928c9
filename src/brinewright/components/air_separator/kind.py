"""What an air separator declares about itself."""

from brinewright.components.air_separator.lower import lower
from brinewright.model.common import FLOW, IN, OUT, PRESSURE_LOSS, TEMPERATURE, by_law, capacity, hold_up
from brinewright.model.kind import Kind, Law, Parameter

KIND = Kind(
    name="air separator",
    summary="Takes free air out of the liquid, where it is warmest and its pressure lowest.",
    letters=("AS",),
    laws=(
        Law(name="ideal", world="stylised", text="No loss.", parameters=(capacity(),)),
        Law(
            name="flow coefficient",
            world="real",
            text="Loss by flow coefficient.",
            parameters=(
                Parameter(
                    name="flow_coefficient",
                    quantity="volume flow",
                    text="Volume flow of water of 1000 kg/m3 through it, clean, at a loss of 1 bar.",
                    low=1e-8,
                    high=100.0,
                ),
            ),
        ),
    ),
    parameters=(
        hold_up(1.0),
        Parameter(
            name="vents_by_itself",
            quantity="flag",
            text="Whether it lets the air go without someone opening a valve.",
            default=True,
        ),
    ),
    ports=(IN, OUT),
    channels=(FLOW, TEMPERATURE, *by_law("flow coefficient", PRESSURE_LOSS)),
    lower=lower,
)
