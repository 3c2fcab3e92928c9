"""What a buffer tank declares about itself."""

from brinewright.components.buffer_tank.lower import lower
from brinewright.model.common import conductance, mass_flow, ratio, temperature
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter, Port
from brinewright.model.mishap import COOLANT_LOST, FILLED_COOL, Mishap

KIND = Kind(
    name="buffer tank",
    summary="Stores coolant between what warms it and what cools it.",
    role="store",
    letters=("TK",),
    laws=(
        Law(name="mixed", world="both", text="One content at one temperature."),
        Law(
            name="first in first out",
            world="stylised",
            text="Liquid leaves in the order in which it came, and never mixes.",
        ),
        Law(
            name="stratified",
            world="real",
            text="Horizontal layers, warm above cold, that conduct and turn over when unstable.",
            parameters=(
                Parameter(
                    name="layers",
                    quantity="count",
                    text="Number of horizontal layers.",
                    default=20.0,
                    low=2.0,
                    high=200.0,
                ),
                Parameter(
                    name="mixing_conductivity",
                    quantity="conductivity",
                    text="Conductivity between layers, that of the liquid and of the wall and "
                    "of slow mixing.",
                    default=1.2,
                    low=0.0,
                    high=1e4,
                ),
                ratio("inlet_height", "Height of the inlets as a share of the tank's height.", default=1.0),
                ratio("outlet_height", "Height of the outlets as a share of the tank's height.", default=0.0),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="volume",
            quantity="volume",
            text="Volume from the bottom to the overflow.",
            default=REQUIRED,
            low=1e-4,
            high=1e6,
        ),
        ratio("lowest_level", "Level below which nothing leaves: what stays in the tank.", default=0.01),
        ratio("highest_level", "Level above which nothing more is taken in.", default=1.0, low=0.01),
        Parameter(
            name="tank_height",
            quantity="length",
            text="Inner height of the tank; absent: as high as a tank as wide as it is high.",
            optional=True,
            low=0.01,
            high=100.0,
        ),
        Parameter(
            name="elevation",
            quantity="length",
            text="Height of the tank's bottom above the datum of the site.",
            default=0.0,
            low=-5000.0,
            high=5000.0,
        ),
        conductance(
            "loss_conductance", "Conductance from the content to where the tank is sited.", default=0.0
        ),
        Parameter(
            name="closed_pressure",
            quantity="pressure",
            text="Pressure of the gas above the liquid; absent: open, at the ambient pressure of the site.",
            optional=True,
            low=1.0,
            high=1e8,
        ),
        mass_flow(
            "inflow_capacity", "Highest sum of the inflows; absent: no limit.", low=1e-6, optional=True
        ),
        mass_flow(
            "outflow_capacity", "Highest sum of the outflows; absent: no limit.", low=1e-6, optional=True
        ),
    ),
    ports=(
        Port(name="in", flow="in", many=True, text="Coolant comes in."),
        Port(name="out", flow="out", many=True, text="Coolant goes out."),
    ),
    channels=(
        Channel(name="level", unit="1", text="Level as a share of the volume."),
        Channel(name="mass", unit="kg", text="Mass of the content."),
        Channel(name="temperature", unit="K", text="Mean temperature of the content."),
        Channel(name="outlet temperature", unit="K", text="Temperature of what leaves, or would leave next."),
        Channel(name="inflow", unit="kg/s", text="Sum of the inflows."),
        Channel(name="outflow", unit="kg/s", text="Sum of the outflows."),
        Channel(name="loss", unit="W", text="Heat flow to where it is sited."),
    ),
    start=(
        ratio("level", "Level at the start."),
        temperature("temperature", "Temperature of the content at the start."),
    ),
    mishaps=(
        Mishap(
            name="lost its liquid",
            group=COOLANT_LOST,
            text="A leak has emptied {tag}; it was found and shut, and the plant goes on with what is left.",
            start="level",
        ),
        Mishap(
            name="filled cool",
            group=FILLED_COOL,
            text="{tag} was refilled with liquid that is cool already.",
            start="temperature",
            cool=True,
        ),
    ),
    lower=lower,
)
