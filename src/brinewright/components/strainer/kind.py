"""What a strainer declares about itself."""

from brinewright.components.strainer.lower import lower
from brinewright.model.common import (
    FLOW,
    IN,
    OUT,
    PRESSURE_LOSS,
    TEMPERATURE,
    by_law,
    capacity,
    hold_up,
    ratio,
)
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.mishap import blocked

KIND = Kind(
    name="strainer",
    summary="Holds back dirt before it reaches what it would harm.",
    letters=("SR",),
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
                ratio("fouling", "Share of its clean flow area that dirt has taken.", default=0.0, high=0.99),
                Parameter(
                    name="dirty_loss",
                    quantity="pressure difference",
                    text="Pressure loss at which it has to be cleaned.",
                    default=4e4,
                    low=0.0,
                    high=1e7,
                ),
            ),
        ),
    ),
    parameters=(
        hold_up(1.0),
        Parameter(
            name="mesh",
            quantity="length",
            text="Width of the mesh.",
            default=5e-4,
            low=1e-6,
            high=0.05,
        ),
    ),
    ports=(IN, OUT),
    channels=(FLOW, TEMPERATURE, *by_law("flow coefficient", PRESSURE_LOSS)),
    mishaps=(blocked(),),
    lower=lower,
)
