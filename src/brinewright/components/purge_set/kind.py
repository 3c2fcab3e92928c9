"""What a purge set declares about itself."""

from brinewright.model.common import ratio
from brinewright.model.kind import REQUIRED, Kind, Law, Parameter, Reference

KIND = Kind(
    name="purge set",
    summary="Fills an enclosure with its gas, and empties it, by way of a gas that cannot burn.",
    letters=("PU",),
    laws=(
        Law(
            name="declared",
            world="stylised",
            text="A declared number of enclosure volumes for each change of gas.",
            parameters=(
                Parameter(
                    name="volumes",
                    quantity="number",
                    text="Enclosure volumes of gas that each change takes.",
                    default=REQUIRED,
                    low=0.1,
                    high=100.0,
                ),
            ),
        ),
        Law(
            name="ideal mixing",
            world="real",
            text="What is led in mixes at once with what is there.",
            parameters=(
                ratio(
                    "purge_content",
                    "Share of purge gas to be reached before the next gas.",
                    default=0.75,
                    high=0.999,
                ),
                ratio(
                    "final_content",
                    "Share of the enclosure's own gas to be reached at the end.",
                    default=0.95,
                    high=0.9999,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="purge_gas",
            quantity="text",
            names="gas",
            text="Name in the rulebook of the gas that stands between air and the enclosure's own gas.",
            default=REQUIRED,
        ),
        Parameter(
            name="gas_flow",
            quantity="volume flow",
            text="Volume flow of gas that it leads in.",
            default=REQUIRED,
            low=1e-8,
            high=100.0,
        ),
        Parameter(
            name="interlocked",
            quantity="flag",
            text="Whether air and the enclosure's own gas can never both be let in.",
            default=REQUIRED,
        ),
    ),
    references=(
        Reference(name="serves", kinds=("enclosure",), text="The enclosures that it fills.", many=True),
    ),
)
