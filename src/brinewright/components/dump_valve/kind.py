"""What a dump valve declares about itself."""

from brinewright.components.dump_valve.lower import lower
from brinewright.model.common import duration, mass_flow, temperature
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import Countermeasure, stuck

KIND = Kind(
    name="dump valve",
    summary="Lets steam go past the turbines, on a signal, before the relief valve has to.",
    letters=("DV",),
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="Lets a declared flow go while it is open.",
            parameters=(mass_flow("steam_flow", "Steam that each open unit passes.", low=1e-6),),
        ),
        Law(
            name="critical flow",
            world="real",
            text="Passes critical flow of dry saturated steam through its area.",
            parameters=(
                Parameter(
                    name="flow_area",
                    quantity="area",
                    text="Flow area of each open unit.",
                    low=1e-7,
                    high=1.0,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="returns",
            quantity="flag",
            text="Whether what it passes comes back as condensate, or is lost.",
            default=REQUIRED,
        ),
        temperature(
            "condensate_temperature",
            "Temperature of the condensate that comes back; absent: nothing comes back.",
            optional=True,
        ),
        duration("stroke_time", "Time from fully shut to fully open.", default=0.0),
        Parameter(
            name="fail_position",
            quantity="word",
            text="Where it goes when its signal or its power is lost.",
            choices=("open", "shut", "stays"),
        ),
    ),
    references=(
        Reference(name="vessel", kinds=("steam vessel",), text="The vessel that it lets steam out of."),
        Reference(
            name="sink",
            kinds=("final sink",),
            text="The sink that condenses the steam; absent: its heat leaves the plant here.",
            optional=True,
        ),
    ),
    channels=(
        Channel(name="position", unit="1", text="Stroke position, 1 where it is open."),
        Channel(name="steam flow", unit="kg/s", text="Steam that it passes, the whole bank."),
        Channel(
            name="heat", unit="W", text="Heat flow that leaves the vessel through it, less what returns."
        ),
        Channel(name="lost", unit="kg", text="Mass lost through it so far."),
    ),
    positions=("open", "shut"),
    counted=True,
    start=(
        Parameter(
            name="position",
            quantity="word",
            text="Where it stands at the start; absent: where its signal puts it, shut without a signal.",
            optional=True,
            choices=("open", "shut"),
        ),
    ),
    mishaps=stuck(),
    countermeasures=(Countermeasure(name="Open {tag} by hand", target="position", value=1.0),),
    lower=lower,
)
