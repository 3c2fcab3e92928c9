"""How a buffer tank becomes a store of liquid and a thermal node."""

import math

from brinewright.model.lowering import Builder, PartView

FILM = 1e-4
"""Share of its volume that wets an empty tank: this much always stays [-]."""
MOUTH = 1.0
"""Time for which the mouth of a tank holds the flow that its capacity allows [s]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a tank down: its content, its limits, what it loses to where it stands."""
    full = part.number("volume") * part.density
    level = max(part.start("level"), FILM)
    begin = part.start("temperature")
    mass = builder.channel("mass", "kg", full * level)
    node = builder.node("temperature", full * level * part.heat_capacity, begin)
    height = part.number("tank_height") or (4.0 * part.number("volume") / math.pi) ** (1.0 / 3.0)
    loses = part.number("loss_conductance") > 0.0
    around = builder.surroundings() if loses else None
    loss = builder.channel("loss", "W")
    if around is not None and part.law == "mixed":
        builder.conductance(node, around, part.number("loss_conductance"))
        builder.record("tank loss", [node, around, loss], [part.number("loss_conductance")])
    layered = part.law == "stratified"
    builder.tank(
        [_mouth(part, builder, "in"), _mouth(part, builder, "out")],
        law=part.law,
        node=node,
        mass=mass,
        level=builder.channel("level", "1", level),
        least=full * max(part.number("lowest_level"), FILM),
        most=full * part.number("highest_level"),
        full=full,
        base=part.number("elevation"),
        height=height,
        gas_pressure=part.number("closed_pressure") or builder.site("ambient_pressure"),
        outlet=builder.channel("outlet temperature", "K", begin),
        inflow=builder.channel("inflow", "kg/s"),
        outflow=builder.channel("outflow", "kg/s"),
        loss=loss,
        around=None if part.law == "mixed" else around,
        conductance=part.number("loss_conductance"),
        layers=int(part.number("layers")) if layered else 0,
        spread=part.number("mixing_conductivity") * part.number("volume") / height if layered else 0.0,
        inlet_height=part.number("inlet_height") if layered else 1.0,
        outlet_height=part.number("outlet_height") if layered else 0.0,
    )


def _mouth(part: PartView, builder: Builder, port: str) -> str:
    """Return the port at which the lines meet the tank; where their sum is limited, behind a mouth.

    Pressures make their own limits, so only ranks need one.
    """
    capacity = part.number(f"{port}flow_capacity")
    if capacity <= 0.0 or part.pressure_driven:
        return port
    ends = (port, f"{port}-mouth")
    start, end = ends if port == "in" else ends[::-1]
    builder.inline(start, end, mass=MOUTH * capacity, capacity=builder.hidden(start=capacity), names=None)
    return ends[1]
