"""What a relief valve declares about itself."""

from brinewright.components.relief_valve.lower import lower
from brinewright.model.common import mass_flow, ratio, temperature, temperature_difference
from brinewright.model.kind import REQUIRED, Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import VALVE_STUCK, Mishap

KIND = Kind(
    name="relief valve",
    summary="Opens by itself, without power or signal, before what it guards bursts.",
    letters=("PSV",),
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="Opens at a declared temperature of what it guards and lets a declared flow go.",
            parameters=(
                temperature("opens_at", "Temperature of what it guards at and above which it opens."),
                temperature_difference("differential", "How far that temperature falls before it shuts."),
                mass_flow("relief_flow", "Flow that each open unit lets go.", low=1e-6),
            ),
        ),
        Law(
            name="spring loaded",
            world="real",
            text="Opens at its set pressure; critical flow of dry saturated steam through its area.",
            parameters=(
                Parameter(
                    name="set_pressure",
                    quantity="pressure",
                    text="Pressure of what it guards at which it begins to open.",
                    low=1000.0,
                    high=1e8,
                ),
                Parameter(
                    name="flow_area",
                    quantity="area",
                    text="Flow area of each unit.",
                    low=1e-7,
                    high=1.0,
                ),
                ratio("overpressure", "Rise above the set pressure at which it is fully open.", default=0.1),
                ratio(
                    "reseat", "Fall below the set pressure at which it shuts again.", default=0.07, high=0.5
                ),
                ratio(
                    "discharge_coefficient", "Coefficient of discharge of the valve.", default=0.975, low=0.1
                ),
                Parameter(
                    name="back_pressure",
                    quantity="pressure",
                    text="Pressure behind it while it blows; absent: the ambient pressure of the site.",
                    optional=True,
                    low=0.0,
                    high=1e8,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="discharge",
            quantity="word",
            text="Where it blows: away to a safe place, into a tank, or into the space where it is sited.",
            default=REQUIRED,
            choices=("safe place", "tank", "where it is sited"),
        ),
        Parameter(
            name="isolated",
            quantity="word",
            text="Whether a valve that can be shut stands between it and what it guards.",
            default="never",
            choices=("never", "interlocked pair", "single valve"),
        ),
    ),
    references=(
        Reference(
            name="guards",
            kinds=("steam vessel", "buffer tank", "expansion vessel", "enclosure", "pipe run"),
            text="The part, or the line, that it guards.",
        ),
        Reference(
            name="into",
            kinds=("buffer tank",),
            text="The tank that takes what it lets go; absent: it is lost.",
            optional=True,
        ),
    ),
    channels=(
        Channel(name="open", unit="1", text="Share of its lift."),
        Channel(name="lifted", unit="1", text="Whether it has lifted and not yet shut again."),
        Channel(name="lifted changes", unit="1", text="How often that has changed."),
        Channel(name="flow", unit="kg/s", text="Mass flow that it lets go, the whole bank."),
        Channel(name="relieved", unit="kg", text="Mass let go so far."),
    ),
    counted=True,
    mishaps=(
        Mishap(
            name="stays open",
            group=VALVE_STUCK,
            text="{tag} has lifted and does not seat again.",
            target="open",
            value=1.0,
            often="rare",
        ),
        Mishap(
            name="does not lift",
            group=VALVE_STUCK,
            text="{tag} never lifts.",
            target="open",
            value=0.0,
            often="rare",
        ),
    ),
    lower=lower,
)
