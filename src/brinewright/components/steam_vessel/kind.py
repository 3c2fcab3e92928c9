"""What a steam vessel declares about itself."""

from brinewright.components.steam_vessel.guard import CRITERIA
from brinewright.components.steam_vessel.lower import lower
from brinewright.model.common import (
    METAL,
    TEMPERATURE,
    conductance,
    metal,
    ratio,
    specific_heat,
    temperature,
)
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter
from brinewright.model.mishap import DRY_START, Mishap

RELIEF = temperature(
    "relief_temperature",
    "Temperature at which the vessel has to be relieved; absent: it never is.",
    optional=True,
)
WATER_HEAT = specific_heat(
    "water_heat_capacity", "Specific heat capacity of its water and its steam.", 4186.0
)
BOILS = temperature("boils", "Temperature above which its water counts as steam.")

KIND = Kind(
    name="steam vessel",
    summary="A closed vessel of water and steam: chillers and sources heat it, turbines draw from it.",
    letters=("VE",),
    laws=(
        Law(
            name="lump",
            world="stylised",
            text="One mass of water at one temperature; steam is only a name for it, without latent heat.",
            parameters=(WATER_HEAT, BOILS, RELIEF),
        ),
        Law(
            name="lump with latent heat",
            world="stylised",
            text="One mass at one temperature; each kilogram of steam drawn takes a "
            "declared latent heat with it.",
            parameters=(
                WATER_HEAT,
                BOILS,
                RELIEF,
                Parameter(
                    name="latent_heat",
                    quantity="specific energy",
                    text="Heat that a kilogram of steam takes beside its warmth.",
                    default=REQUIRED,
                    low=1.0,
                    high=1e8,
                ),
            ),
        ),
        Law(
            name="two-phase",
            world="real",
            text="Water and its vapour in balance in a fixed volume, to dry-out above "
            "and a full vessel below.",
            parameters=(
                Parameter(
                    name="relief_pressure",
                    quantity="pressure",
                    text="Pressure at which the vessel has to be relieved; absent: its design pressure.",
                    optional=True,
                    low=1.0,
                    high=1e8,
                ),
                Parameter(
                    name="design_pressure",
                    quantity="pressure",
                    text="Highest pressure for which it is built.",
                    low=1.0,
                    high=1e8,
                ),
                Parameter(
                    name="lowest_pressure",
                    quantity="pressure",
                    text="Lowest pressure for which it is built; none is full vacuum.",
                    default=0.0,
                    low=0.0,
                    high=1e8,
                ),
                Parameter(
                    name="air_mass",
                    quantity="mass",
                    text="Mass of air shut in with the water.",
                    default=0.0,
                    low=0.0,
                    high=1e6,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="volume",
            quantity="volume",
            text="Inner volume, water and steam together.",
            default=REQUIRED,
            low=1e-3,
            high=1e6,
        ),
        Parameter(
            name="water_mass",
            quantity="mass",
            text="Mass of water and steam together that is charged before it is closed.",
            default=REQUIRED,
            low=0.01,
            high=1e9,
        ),
        *metal("the vessel"),
        conductance("loss_conductance", "Conductance from the vessel to where it is sited."),
        Parameter(
            name="shape",
            quantity="word",
            text="Shape, which says how the level follows from the volume of liquid.",
            default="upright",
            choices=("upright", "lying"),
        ),
        Parameter(
            name="inner_height",
            quantity="length",
            text="Inner height; the diameter, where it lies.",
            default=REQUIRED,
            low=0.01,
            high=500.0,
        ),
        Parameter(
            name="elevation",
            quantity="length",
            text="Height of the vessel's bottom above the datum of the site.",
            default=0.0,
            low=-5000.0,
            high=5000.0,
        ),
        ratio(
            "highest_level", "Level above which water is carried over with the steam.", default=0.9, low=0.01
        ),
        temperature(
            "metal_limit",
            "Temperature at which its metal fails; absent: that of its material.",
            optional=True,
        ),
    ),
    channels=(
        TEMPERATURE,
        Channel(
            name="pressure", unit="Pa", text="Absolute pressure, air included; 0 where the law has none."
        ),
        Channel(name="level", unit="1", text="Height of the liquid as a share of the inner height."),
        Channel(name="mass", unit="kg", text="Mass of water and steam together."),
        Channel(
            name="dryness",
            unit="1",
            text="Share of the mass that is steam; of a lump 1 where it counts as steam.",
        ),
        METAL,
        Channel(name="heat in", unit="W", text="Heat flow from chillers, sources and other metal."),
        Channel(name="steam out", unit="kg/s", text="Mass flow of steam drawn, without relief."),
        Channel(name="loss", unit="W", text="Heat flow to where it is sited."),
        Channel(name="relieved", unit="kg", text="Mass let off by relief so far."),
    ),
    start=(temperature("temperature", "Temperature of water, steam and metal at the start."),),
    mishaps=(
        Mishap(
            name="started dry",
            group=DRY_START,
            text="{tag} was closed with hardly any water in it.",
            number="water_mass",
            times=0.01,
            often="rare",
        ),
    ),
    criteria=CRITERIA,
    lower=lower,
)
