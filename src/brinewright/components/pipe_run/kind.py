"""What a pipe run declares about itself; its length, bore and levels stand on its line."""

from brinewright.components.pipe_run.criteria import CRITERIA
from brinewright.components.pipe_run.lower import lower
from brinewright.model.common import (
    FLOW,
    INLET,
    OUTLET,
    PRESSURE_LOSS,
    by_law,
    capacity,
    mass_flow,
    temperature,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter, Port

KIND = Kind(
    name="pipe run",
    summary="Carries coolant in plug flow and exchanges heat with what it runs through.",
    letters=("L",),
    is_line=True,
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="A declared highest flow and a declared conductance by length.",
            parameters=(
                capacity(required=True),
                Parameter(
                    name="conductance",
                    quantity="conductance per metre",
                    text="Conductance from the liquid to what the run passes through, by length of run.",
                    low=0.0,
                    high=1e6,
                ),
            ),
        ),
        Law(
            name="layered",
            world="real",
            text="Film, wall, insulation and outer surface in series; friction after Darcy.",
            parameters=(
                Parameter(
                    name="wall_thickness",
                    quantity="length",
                    text="Thickness of the pipe wall.",
                    low=1e-5,
                    high=0.5,
                ),
                Parameter(
                    name="wall_conductivity",
                    quantity="conductivity",
                    text="Thermal conductivity of the pipe wall; absent: that of its material.",
                    optional=True,
                    low=1e-3,
                    high=5000.0,
                ),
                Parameter(
                    name="insulation_thickness",
                    quantity="length",
                    text="Thickness of the insulation; none is a bare or finned run.",
                    default=0.0,
                    low=0.0,
                    high=2.0,
                ),
                Parameter(
                    name="insulation_conductivity",
                    quantity="conductivity",
                    text="Thermal conductivity of the insulation.",
                    default=0.037,
                    low=1e-3,
                    high=50.0,
                ),
                Parameter(
                    name="outer_coefficient",
                    quantity="heat transfer coefficient",
                    text="Heat transfer coefficient of the outer surface, convection and radiation together.",
                    default=9.0,
                    low=0.0,
                    high=1e6,
                ),
                Parameter(
                    name="roughness",
                    quantity="length",
                    text="Equivalent sand roughness of the inner wall.",
                    default=4.5e-5,
                    low=0.0,
                    high=0.05,
                ),
                Parameter(
                    name="fittings",
                    quantity="number",
                    text="Sum of the loss coefficients of bends and fittings along the run.",
                    default=0.0,
                    low=0.0,
                    high=1e5,
                ),
                Parameter(
                    name="fin_height",
                    quantity="length",
                    text="Height of the fins above the wall; none is a run without fins.",
                    default=0.0,
                    low=0.0,
                    high=1.0,
                ),
                Parameter(
                    name="fin_thickness",
                    quantity="length",
                    text="Thickness of a fin.",
                    default=5e-4,
                    low=1e-5,
                    high=0.1,
                ),
                Parameter(
                    name="fin_pitch",
                    quantity="length",
                    text="Distance from fin to fin along the run.",
                    default=5e-3,
                    low=1e-4,
                    high=1.0,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="style",
            quantity="word",
            text="How the run is made, for drawings and lists; its numbers say what it does.",
            default="bare",
            choices=("bare", "insulated", "finned"),
        ),
        mass_flow(
            "highest_flow",
            "Mass flow above which the run wears out; absent: no limit.",
            low=1e-6,
            optional=True,
        ),
    ),
    ports=(
        Port(name="in", flow="in", text="Coolant comes in."),
        Port(name="out", flow="out", text="Coolant goes out."),
    ),
    channels=(
        FLOW,
        INLET,
        OUTLET,
        Channel(name="temperature", unit="K", text="Mean temperature of what stands in it."),
        Channel(name="mass", unit="kg", text="Mass of what stands in it."),
        Channel(name="loss", unit="W", text="Heat flow to what it runs through."),
        *by_law(
            "layered",
            Channel(name="pressure", unit="Pa", text="Static pressure where it begins, absolute."),
            PRESSURE_LOSS,
        ),
    ),
    start=(
        temperature(
            "temperature",
            "Temperature of what stands in it at the start; absent: the working mean of its circuit.",
            optional=True,
        ),
    ),
    criteria=CRITERIA,
    lower=lower,
)
