"""What a heat source declares about itself."""

from brinewright.components.heat_source.lower import lower
from brinewright.model.common import conductance, duration, ratio, specific_heat, temperature
from brinewright.model.kind import Channel, Kind, Law, Parameter, Reference
from brinewright.model.mishap import MACHINE_LOST, SURGING, Countermeasure, Mishap, surges

KIND = Kind(
    name="heat source",
    summary="Brings heat from outside the plant: hot rock, a process, a heater.",
    letters=("HR",),
    laws=(
        Law(
            name="fixed power",
            world="stylised",
            text="Gives its power whatever the temperature of what takes it.",
            parameters=(
                Parameter(
                    name="power",
                    quantity="schedule",
                    schedule_of="power",
                    text="Heat flow that it gives, steady or over time.",
                    low=0.0,
                    high=1e12,
                ),
            ),
        ),
        Law(
            name="fixed temperature contact",
            world="stylised",
            text="Touches at a temperature that nothing changes.",
            parameters=(
                Parameter(
                    name="contact_temperature",
                    quantity="schedule",
                    schedule_of="temperature",
                    text="Temperature of the contact, steady or over time.",
                    low=1.0,
                    high=3000.0,
                ),
                conductance("conductance", "Conductance of the contact."),
            ),
        ),
        Law(
            name="stream",
            world="real",
            text="A stream passes a heat exchanger; the store behind it cools as it gives.",
            parameters=(
                Parameter(
                    name="flow",
                    quantity="schedule",
                    schedule_of="mass flow",
                    text="Mass flow of the stream, steady or over time.",
                    low=0.0,
                    high=1e6,
                ),
                specific_heat("stream_heat_capacity", "Specific heat capacity of the stream."),
                ratio(
                    "effectiveness", "Effectiveness of its heat exchanger, the other side at one temperature."
                ),
                temperature(
                    "store_temperature", "Temperature of the undisturbed store that feeds the stream."
                ),
                Parameter(
                    name="store_heat_capacity",
                    quantity="heat capacity",
                    text="Heat capacity of the store that the stream drains; absent: it never cools.",
                    optional=True,
                    low=1.0,
                    high=1e20,
                ),
                conductance(
                    "recharge_conductance",
                    "Conductance from the undisturbed surroundings to the store.",
                    default=0.0,
                ),
            ),
        ),
    ),
    parameters=(
        Parameter(
            name="gives_only",
            quantity="flag",
            text="Whether it is cut off where it would take heat instead of giving it.",
            default=False,
        ),
        duration("stroke_time", "Time from nothing to full heat when it is switched.", default=0.0),
    ),
    references=(
        Reference(
            name="into",
            kinds=("steam vessel", "buffer tank", "room", "machine"),
            text="The part that takes its heat.",
        ),
    ),
    channels=(
        Channel(name="heat", unit="W", text="Heat flow that it gives; negative where it takes."),
        Channel(
            name="store temperature",
            unit="K",
            text="Temperature of what stands behind it.",
            laws=("fixed temperature contact", "stream"),
        ),
        Channel(name="running", unit="1", text="Share of its stroke that is open."),
    ),
    positions=("run", "stop"),
    start=(
        temperature(
            "store_temperature",
            "Temperature of its store at the start; absent: undisturbed.",
            optional=True,
        ),
    ),
    mishaps=(
        surges("power", "heat"),
        surges("flow", "stream"),
        Mishap(
            name="comes hotter",
            group=SURGING,
            text="{tag} comes 40 K hotter than it ever should.",
            target="contact_temperature",
            more=40.0,
        ),
        Mishap(
            name="fails",
            group=MACHINE_LOST,
            text="{tag} gives no heat any more.",
            target="running",
        ),
    ),
    countermeasures=(Countermeasure(name="Shut off {tag}", target="command"),),
    lower=lower,
)
