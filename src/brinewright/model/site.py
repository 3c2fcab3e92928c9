"""What a place declares about itself, beside its equipment."""

from brinewright.model.kind import Parameter

SITE: tuple[Parameter, ...] = (
    Parameter(
        name="gravity",
        quantity="acceleration",
        text="Gravity of the place; 0 where liquid has no weight.",
        low=0.0,
        high=100.0,
    ),
    Parameter(
        name="ambient_pressure",
        quantity="pressure",
        text="Absolute pressure of the surroundings; gauge pressures count from here.",
        low=0.0,
        high=1e8,
    ),
    Parameter(
        name="ambient_temperature",
        quantity="schedule",
        schedule_of="temperature",
        text="Temperature of what surrounds the plant, steady or over time.",
        low=1.0,
        high=2000.0,
    ),
    Parameter(
        name="sky_temperature",
        quantity="schedule",
        schedule_of="temperature",
        text="Temperature that an upward surface radiates to; absent: the ambient temperature.",
        optional=True,
        low=1.0,
        high=2000.0,
    ),
    Parameter(
        name="ground_temperature",
        quantity="temperature",
        text="Temperature of the undisturbed ground; absent: the ambient temperature.",
        optional=True,
        low=1.0,
        high=2000.0,
    ),
    Parameter(
        name="humidity",
        quantity="ratio",
        text="Relative humidity of the surrounding air; absent: moisture is not judged.",
        optional=True,
        low=0.0,
        high=1.0,
    ),
    Parameter(
        name="weather",
        quantity="text",
        text="Hourly weather file beside the loop, for the air outside and the sky; "
        "absent: outside is as the ambient.",
        optional=True,
    ),
)
"""The numbers of a place, in the order of reference pages."""

CHOICES: tuple[Parameter, ...] = (
    Parameter(
        name="stagnant_sensor",
        quantity="word",
        text="What a sensor reads while no liquid passes: the liquid that stands there, "
        "the surroundings, or the last value that passed.",
        choices=("local", "ambient", "holds"),
    ),
)
"""What a stylised place must state because it changes the answer; none has a default."""
