"""What a shut-off valve declares about itself."""

from brinewright.components.shut_off_valve.lower import lower
from brinewright.model.common import (
    FLOW,
    IN,
    OUT,
    POSITION,
    PRESSURE_LOSS,
    TEMPERATURE,
    by_law,
    capacity,
    duration,
    hold_up,
    ratio,
)
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.mishap import Countermeasure, stuck

KIND = Kind(
    name="shut-off valve",
    summary="Lets a flow pass or stops it.",
    role="valve",
    letters=("TV", "XV", "HV", "LV", "FV"),
    laws=(
        Law(
            name="ideal",
            world="stylised",
            text="No loss when open; its capacity grows evenly with the stroke.",
            parameters=(capacity(),),
        ),
        Law(
            name="flow coefficient",
            world="real",
            text="Loss by flow coefficient, which changes with the stroke.",
            parameters=(
                Parameter(
                    name="flow_coefficient",
                    quantity="volume flow",
                    text="Volume flow of water of 1000 kg/m3 through the open valve at a loss of 1 bar.",
                    low=1e-8,
                    high=100.0,
                ),
                Parameter(
                    name="characteristic",
                    quantity="word",
                    text="How the flow coefficient grows with the stroke.",
                    default="linear",
                    choices=("linear", "equal percentage", "quick opening"),
                ),
            ),
        ),
    ),
    parameters=(
        duration("stroke_time", "Time from fully shut to fully open.", default=0.0),
        Parameter(
            name="fail_position",
            quantity="word",
            text="Where it goes when its signal or its power is lost.",
            choices=("open", "shut", "stays"),
        ),
        ratio("leak", "Share of its open flow that passes while it is shut.", default=0.0),
        hold_up(0.2),
    ),
    ports=(IN, OUT),
    channels=(FLOW, TEMPERATURE, POSITION, *by_law("flow coefficient", PRESSURE_LOSS)),
    positions=("open", "shut"),
    start=(
        Parameter(
            name="position",
            quantity="word",
            text="Where it stands at the start; absent: where its signal puts it, open without a signal.",
            optional=True,
            choices=("open", "shut"),
        ),
    ),
    mishaps=stuck("common"),
    countermeasures=(
        Countermeasure(name="Open {tag} by hand", target="position", value=1.0),
        Countermeasure(name="Shut {tag} by hand", target="position", value=0.0),
    ),
    lower=lower,
)
