"""What a three-way valve declares about itself."""

from brinewright.components.three_way_valve.lower import lower
from brinewright.model.common import (
    FLOW,
    POSITION,
    PRESSURE_LOSS,
    TEMPERATURE,
    by_law,
    capacity,
    duration,
    hold_up,
    ratio,
)
from brinewright.model.kind import Kind, Law, Parameter, Port
from brinewright.model.mishap import Countermeasure, stuck

KIND = Kind(
    name="three-way valve",
    summary="Sends a flow one way or the other, or takes it from one or the other.",
    role="valve",
    letters=("TV", "XV", "HV", "LV", "FV"),
    laws=(
        Law(
            name="ideal",
            world="stylised",
            text="No loss; while it strokes, both ways are open in shares that add up to one.",
            parameters=(capacity(),),
        ),
        Law(
            name="flow coefficient",
            world="real",
            text="Loss by flow coefficient on each way, the two strokes adding up to one.",
            parameters=(
                Parameter(
                    name="flow_coefficient",
                    quantity="volume flow",
                    text="Volume flow of water of 1000 kg/m3 through one fully open way at a loss of 1 bar.",
                    low=1e-8,
                    high=100.0,
                ),
                Parameter(
                    name="characteristic",
                    quantity="word",
                    text="How the flow coefficient of a way grows with its stroke.",
                    default="linear",
                    choices=("linear", "equal percentage", "quick opening"),
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="body",
            quantity="word",
            text="Its body: diverting has one inlet and the outlets a and b, mixing the inlets a and b "
            "and one outlet. The two are not interchangeable.",
            choices=("diverting", "mixing"),
        ),
        duration("stroke_time", "Time from one way fully open to the other fully open.", default=0.0),
        Parameter(
            name="fail_position",
            quantity="word",
            text="Where it goes when its signal or its power is lost.",
            choices=("a", "b", "stays"),
        ),
        ratio("leak", "Share of its open flow that passes the shut way.", default=0.0),
        hold_up(0.3),
    ),
    ports=(
        Port(name="in", flow="in", optional=True, text="Inlet of a diverting body."),
        Port(name="a", flow="either", text="First way: outlet of a diverting body, inlet of a mixing one."),
        Port(name="b", flow="either", text="Second way: outlet of a diverting body, inlet of a mixing one."),
        Port(name="out", flow="out", optional=True, text="Outlet of a mixing body."),
    ),
    channels=(FLOW, TEMPERATURE, POSITION, *by_law("flow coefficient", PRESSURE_LOSS)),
    positions=("a", "b"),
    start=(
        Parameter(
            name="position",
            quantity="word",
            text="Which way is open at the start; absent: where its signal puts it, a without a signal.",
            optional=True,
            choices=("a", "b"),
        ),
    ),
    mishaps=stuck("common"),
    countermeasures=(
        Countermeasure(name="Set {tag} to a by hand", target="position", value=1.0),
        Countermeasure(name="Set {tag} to b by hand", target="position", value=0.0),
    ),
    lower=lower,
)
