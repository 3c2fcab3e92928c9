"""Parameters, ports and channels that many kinds declare alike.

They are written once, so that the same thing has the same name, bounds and wording everywhere.
"""

from dataclasses import replace

from brinewright.model.kind import REQUIRED, Channel, Parameter, Port

ABSOLUTE_ZERO_IS_BELOW = 1.0
"""Lowest temperature that a file may state [K]."""
HOTTEST = 3000.0
"""Highest temperature that a file may state [K]."""

IN = Port(name="in", flow="in", text="Coolant comes in.")
OUT = Port(name="out", flow="out", text="Coolant goes out.")
OPTIONAL_IN = Port(
    name="in", flow="in", optional=True, text="Coolant comes in, where coolant is led through."
)
OPTIONAL_OUT = Port(
    name="out", flow="out", optional=True, text="Coolant goes out, where coolant is led through."
)

FLOW = Channel(name="flow", unit="kg/s", text="Mass flow of coolant through it, from in to out.")
INLET = Channel(name="inlet temperature", unit="K", text="Temperature of the coolant that comes in.")
OUTLET = Channel(name="outlet temperature", unit="K", text="Temperature of the coolant that goes out.")
TEMPERATURE = Channel(name="temperature", unit="K", text="Temperature of its content.")
METAL = Channel(name="metal temperature", unit="K", text="Temperature of its metal.")
POWER_DRAWN = Channel(name="power", unit="W", text="Electric power that it draws, the whole bank.")
POWERED = Channel(name="powered", unit="1", text="Whether its feeder and bus give it power.")
RUNNING = Channel(name="running", unit="1", text="Share of the bank that runs.")
POSITION = Channel(
    name="position", unit="1", text="Stroke position, 1 where the first of its two words holds."
)
PRESSURE_LOSS = Channel(name="pressure loss", unit="Pa", text="Pressure that the flow loses in it.")


def through(port: str, *channels: Channel) -> tuple[Channel, ...]:
    """Return channels that are given only where a line ends on a port."""
    return tuple(replace(channel, port=port) for channel in channels)


def by_law(law: str, *channels: Channel) -> tuple[Channel, ...]:
    """Return channels that are given only under one law."""
    return tuple(replace(channel, laws=(law,)) for channel in channels)


def temperature(
    name: str, text: str, *, optional: bool = False, default: float | None = REQUIRED
) -> Parameter:
    """Return a thermodynamic temperature that any world may have [K]."""
    return Parameter(
        name=name,
        quantity="temperature",
        text=text,
        default=default,
        optional=optional,
        low=ABSOLUTE_ZERO_IS_BELOW,
        high=HOTTEST,
    )


def temperature_difference(
    name: str, text: str, *, default: float | None = REQUIRED, low: float = 0.0, optional: bool = False
) -> Parameter:
    """Return a difference of temperatures, never negative [K]."""
    return Parameter(
        name=name,
        quantity="temperature difference",
        text=text,
        default=default,
        optional=optional,
        low=low,
        high=1000.0,
    )


def mass_flow(
    name: str, text: str, *, default: float | None = REQUIRED, low: float = 0.0, optional: bool = False
) -> Parameter:
    """Return a mass flow [kg/s]."""
    return Parameter(
        name=name,
        quantity="mass flow",
        text=text,
        default=default,
        optional=optional,
        low=low,
        high=1e6,
    )


def conductance(
    name: str, text: str, *, default: float | None = REQUIRED, optional: bool = False
) -> Parameter:
    """Return a heat conductance, heat flow by temperature difference [W/K]."""
    return Parameter(
        name=name,
        quantity="conductance",
        text=text,
        default=default,
        optional=optional,
        low=0.0,
        high=1e9,
    )


def power(
    name: str, text: str, *, default: float | None = REQUIRED, low: float = 0.0, optional: bool = False
) -> Parameter:
    """Return a power or a heat flow, never negative unless `low` allows it [W]."""
    return Parameter(
        name=name,
        quantity="power",
        text=text,
        default=default,
        optional=optional,
        low=low,
        high=1e12,
    )


def ratio(
    name: str,
    text: str,
    *,
    default: float | None = REQUIRED,
    low: float = 0.0,
    high: float = 1.0,
    optional: bool = False,
) -> Parameter:
    """Return a share of one [1]."""
    return Parameter(
        name=name, quantity="ratio", text=text, default=default, optional=optional, low=low, high=high
    )


def duration(
    name: str, text: str, *, default: float | None = REQUIRED, low: float = 0.0, optional: bool = False
) -> Parameter:
    """Return a time span, at most about three years [s]."""
    return Parameter(
        name=name, quantity="time", text=text, default=default, optional=optional, low=low, high=1e8
    )


def hold_up(default: float, name: str = "hold_up", where: str = "it") -> Parameter:
    """Return the mass of coolant that stands in an inline part; plug flow carries it along [kg]."""
    return Parameter(
        name=name,
        quantity="mass",
        text=f"Mass of coolant that stands in {where}, each unit of a bank.",
        default=default,
        low=0.0,
        high=1e6,
    )


def capacity(*, required: bool = False, name: str = "capacity", where: str = "it") -> Parameter:
    """Return the highest mass flow of a stylised flow path [kg/s]."""
    text = f"Highest mass flow through {where}, each unit of a bank"
    return mass_flow(
        name,
        f"{text}." if required else f"{text}; absent: no limit of its own.",
        low=1e-6,
        optional=not required,
    )


def rated_loss(prefix: str = "", where: str = "it") -> tuple[Parameter, Parameter]:
    """Return the flow [kg/s] and the pressure loss [Pa] that fix the hydraulic resistance of a part.

    dp = rated_loss (q_m / rated_flow)^2
    """
    return (
        mass_flow(
            f"{prefix}rated_flow",
            f"Mass flow at which the pressure loss of {where} is stated; absent: no loss.",
            low=1e-6,
            optional=True,
        ),
        Parameter(
            name=f"{prefix}rated_loss",
            quantity="pressure difference",
            text=f"Pressure loss of {where} at the rated flow, growing with the square of the flow.",
            default=0.0,
            low=0.0,
            high=1e8,
        ),
    )


def metal(
    what: str, mass_default: float | None = REQUIRED, prefix: str = "metal"
) -> tuple[Parameter, Parameter]:
    """Return mass [kg] and specific heat capacity [J/(kg K)] of a part's own metal."""
    return (
        Parameter(
            name=f"{prefix}_mass",
            quantity="mass",
            text=f"Mass of the metal of {what}, each unit of a bank.",
            default=mass_default,
            low=0.1,
            high=1e9,
        ),
        Parameter(
            name=f"{prefix}_heat_capacity",
            quantity="specific heat capacity",
            text=f"Specific heat capacity of the metal of {what}; absent: that of its material.",
            optional=True,
            low=10.0,
            high=20000.0,
        ),
    )


def specific_heat(name: str, text: str, default: float | None = REQUIRED) -> Parameter:
    """Return a specific heat capacity [J/(kg K)]."""
    return Parameter(
        name=name,
        quantity="specific heat capacity",
        text=text,
        default=default,
        low=10.0,
        high=50000.0,
    )


def consumer(what: str) -> tuple[Parameter, ...]:
    """Return what every consumer declares: its limits, and what its coolant does while it is stopped."""
    return (
        temperature("highest_temperature", f"Temperature that {what} must not exceed."),
        temperature(
            "lowest_temperature",
            f"Temperature below which {what} must not fall; absent: cold does no harm.",
            optional=True,
        ),
        Parameter(
            name="when_stopped",
            quantity="word",
            text="What the coolant does while the consumer is stopped or blocked: it finds a dead end, "
            "or it goes past without taking heat.",
            choices=("dead end", "bypass"),
        ),
        Parameter(
            name="essential",
            quantity="flag",
            text="Whether this duty must still be met when equipment or power is short.",
            default=False,
        ),
    )
