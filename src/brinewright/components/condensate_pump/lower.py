"""How a condensate pump becomes the gate between the hotwells of turbines and their vessel."""

from brinewright.components.steam_supply import pressures, steam_supply
from brinewright.model.lowering import Builder, PartView, Place

STANDARD_GRAVITY = 9.80665
COLD = 1000.0
"""Density of water, to rate a motor [kg/m3]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a condensate pump (or a bank of them) down."""
    count = part.count
    builder.needs_water = True
    running = builder.position("running", 1.0)
    power = builder.channel("power", "W")
    flow = builder.channel("condensate flow", "kg/s")
    hotwell = builder.channel("hotwell", "kg")
    capacity = part.number("capacity") * count
    feeds = part.law == "feed"
    efficiency = part.number("efficiency") * part.number("motor_efficiency") if feeds else 0.0
    watts = (
        capacity * part.number("highest_rise") / (COLD * efficiency)
        if feeds
        else part.number("power") * count
    )
    room = part.number("hotwell") * count
    served: list[Place] = []
    for tag in part.refers("serves"):
        builder.add_to(builder.shared_of(tag, "pumps"), 1.0)
        served += [
            builder.shared_of(tag, "hotwell"),
            builder.shared_of(tag, "return limit"),
            builder.channel_of(tag, "condensate return"),
            builder.shared_of(tag, "returned"),
            builder.shared_of(tag, "blocked"),
            builder.channel_of(tag, "condensate temperature"),
        ]
    pressure = builder.hidden()
    if feeds:
        vessel = builder.part(part.refers("serves")[0]).refers("vessel")[0]
        pressure = pressures(builder, steam_supply(builder, vessel), part.tag)[0]
    builder.record(
        "condensate pump",
        [
            builder.command(1.0), running, builder.load(power, watts), power, flow, hotwell, pressure,
            builder.places(served), len(part.refers("serves")),
        ],
        [
            capacity,
            watts,
            efficiency,
            part.number("line_loss") if feeds else 0.0,
            part.number("highest_rise") if feeds else 0.0,
            room,
        ],
    )  # fmt: skip
    builder.watch(
        hotwell, 0.999 * room, "above", "hotwell-full",
        "The hotwell is full: condensate backs up into the turbine, which stops.", back=0.05 * room,
    )  # fmt: skip
    if feeds:
        available = part.number("hotwell_height") * builder.site("gravity")
        if available < part.number("suction_head_required") * STANDARD_GRAVITY:
            builder.watch(
                flow,
                0.0,
                "above",
                "suction-head",
                "The hotwell stands too low above the pump: its condensate boils at the pump's inlet.",
                back=-1e-9,
            )
