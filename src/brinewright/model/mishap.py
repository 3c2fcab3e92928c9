"""What can go wrong with a part, and what can be done by hand, as its kind declares it.

Both are data: a run is told of them by a forced signal, or by other numbers of the design.
"""

import math
from dataclasses import dataclass
from typing import Literal

Often = Literal["common", "now and then", "rare"]
"""How often a mishap is met beside others; common practice, no source."""

MACHINE_LOST = "machine lost"
VALVE_STUCK = "valve stuck"
SWITCH_WRONG = "switch wrong"
DRIFTED = "set points drifted"
PRIORITIES = "priorities swapped"
POWER_LOST = "power lost and restored"
CONSUMER_BLOCKED = "consumer blocked"
PUMP_OFF = "pump off"
WAY_BLOCKED = "way blocked"
CONDENSATE_BLOCKED = "condensate blocked"
SURGING = "heat source surging"
COOLANT_LOST = "coolant lost"
COLD_START = "cold start"
DRY_START = "dry start"
FILLED_COOL = "waiting tank filled cool"

GROUPS: tuple[str, ...] = (
    MACHINE_LOST,
    VALVE_STUCK,
    SWITCH_WRONG,
    DRIFTED,
    PRIORITIES,
    POWER_LOST,
    CONSUMER_BLOCKED,
    PUMP_OFF,
    WAY_BLOCKED,
    CONDENSATE_BLOCKED,
    SURGING,
    COOLANT_LOST,
    COLD_START,
    DRY_START,
    FILLED_COOL,
)
"""Groups of faults, in the order in which they are told."""

SURGE = 1.5
"""What a heat that surges is multiplied by; common practice, no source."""
BLACKOUT = 900.0
"""How long a power that is lost stays away [s]; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Mishap:
    """Something that can go wrong with a part of a kind, and how a run is told of it.

    One of three is named: a `target` that is forced, a `start` that is stated otherwise, or a
    `number` of the design that is another one.  It counts only for parts that have it.
    """

    name: str
    """In few words, after the tag: "stops", "stuck {first}"."""
    group: str
    """One of `GROUPS`."""
    text: str
    """One sentence; "{tag}", and the two positions "{first}" and "{second}" are filled in."""
    target: str = ""
    """Channel, position or parameter of the part that is forced: "running", "closed", "heat"."""
    start: str = ""
    """What `[start]` states of the part, for a mishap that is there from the start."""
    number: str = ""
    """A parameter of the part that has another value from the start."""
    value: float = 0.0
    """What is forced or stated, in SI."""
    times: float = 0.0
    """Where greater than 0: the value is the parameter's greatest, multiplied by this."""
    more: float = 0.0
    """Where not 0: the value is the parameter's greatest and this, in SI."""
    cool: bool = False
    """Whether the value is the temperature of a cool refill; only for stores that wait for a cooler."""
    one_of_a_bank: bool = False
    """Whether one unit of a bank is lost; only where it is the last one `target` is forced."""
    lasts: float = math.inf
    """How long it lasts [s]."""
    needs: str = ""
    """A parameter without which it cannot be."""
    often: Often = "now and then"


@dataclass(frozen=True, kw_only=True)
class Countermeasure:
    """Something that people can do with a part of a kind when something else goes wrong."""

    name: str
    """As an order, with "{tag}" filled in: "Stop {tag}"."""
    target: str
    """What is forced by it."""
    value: float = 0.0
    times: float = 0.0
    """Where greater than 0: the value is the parameter's greatest, multiplied by this."""
    sheds: bool = False
    """Whether it gives up what the part is there for."""


def lost(target: str = "running", *, group: str = MACHINE_LOST, often: Often = "now and then") -> Mishap:
    """Return the loss of a machine, or of one unit of a bank."""
    return Mishap(
        name="one unit lost",
        group=group,
        text="One unit of {tag} stops and cannot be started.",
        target=target,
        one_of_a_bank=True,
        often=often,
    )


def stuck(often: Often = "now and then") -> tuple[Mishap, ...]:
    """Return a valve that is stuck at either of its two positions, or loses its power for a while."""
    first = Mishap(
        name="stuck {first}",
        group=VALVE_STUCK,
        text="{tag} is stuck {first}, whatever it is told.",
        target="position",
        value=1.0,
        often=often,
    )
    second = Mishap(
        name="stuck {second}",
        group=VALVE_STUCK,
        text="{tag} is stuck {second}, whatever it is told.",
        target="position",
        value=0.0,
        often=often,
    )
    unpowered = Mishap(
        name="loses its power for a while",
        group=POWER_LOST,
        text="{tag} loses its power for a quarter of an hour and goes where it fails to.",
        target="powered",
        lasts=BLACKOUT,
    )
    return first, second, unpowered


def blocked(group: str = WAY_BLOCKED, often: Often = "now and then") -> Mishap:
    """Return a way that lets nothing through any more."""
    return Mishap(
        name="blocked",
        group=group,
        text="Nothing passes {tag} any more.",
        target="capacity",
        often=often,
    )


def lost_for_a_while(
    target: str,
    name: str = "opens",
    text: str = "{tag} opens and is closed again a quarter of an hour later.",
) -> Mishap:
    """Return a way or a source of power that is gone and comes back."""
    return Mishap(
        name=f"{name} for a while",
        group=POWER_LOST,
        text=text,
        target=target,
        lasts=BLACKOUT,
    )


def surges(parameter: str, what: str) -> Mishap:
    """Return a heat that grows to half as much again as its greatest."""
    return Mishap(
        name=f"{what} surges",
        group=SURGING,
        text=f"The {what} of {{tag}} grows to half as much again as its greatest, and stays there.",
        target=parameter,
        times=SURGE,
    )
