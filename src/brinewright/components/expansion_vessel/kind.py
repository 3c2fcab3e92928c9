"""What an expansion vessel declares about itself."""

from brinewright.components.expansion_vessel.lower import lower
from brinewright.model.common import ratio
from brinewright.model.kind import REQUIRED, Kind, Law, Parameter, Reference

KIND = Kind(
    name="expansion vessel",
    summary="Takes up what the liquid of a closed circuit gains in volume as it "
    "warms, and holds its pressure.",
    letters=("EV",),
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="Takes up its useful volume; the liquid of such a world may not swell at all.",
            parameters=(ratio("useful_share", "Share of its volume that the liquid may take.", default=1.0),),
        ),
        Law(
            name="gas cushion",
            world="real",
            text="A gas cushion is compressed as the liquid swells.",
            parameters=(
                Parameter(
                    name="charge_pressure",
                    quantity="pressure",
                    text="Pressure of its gas before liquid is let in.",
                    low=1000.0,
                    high=1e8,
                ),
                Parameter(
                    name="highest_pressure",
                    quantity="pressure",
                    text="Pressure that the warm circuit may reach at the vessel.",
                    low=1000.0,
                    high=1e8,
                ),
                ratio(
                    "reserve",
                    "Share of the circuit's volume that it holds in reserve.",
                    default=0.005,
                    high=0.2,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="volume",
            quantity="volume",
            text="Volume of each unit.",
            default=REQUIRED,
            low=1e-4,
            high=1e4,
        ),
        Parameter(
            name="can_be_shut_off",
            quantity="flag",
            text="Whether an unlocked valve stands between it and its circuit.",
            default=False,
        ),
    ),
    references=(
        Reference(
            name="on",
            kinds=("pipe run", "buffer tank", "tee", "priority junction", "air separator"),
            text="The line or part of the circuit where it is joined.",
        ),
    ),
    counted=True,
    lower=lower,
)
