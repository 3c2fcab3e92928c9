"""How a pipe run becomes content in plug flow."""

import math

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a line down: its content, what it exchanges with, what it carries at most."""
    mass = part.density * math.pi / 4.0 * part.number("bore") ** 2 * part.number("length")
    capacity = builder.hidden(start=part.number("capacity"))
    ua = part.number("conductance") * part.number("length")
    builder.inline(
        "in",
        "out",
        mass=mass,
        node=builder.surroundings() if ua > 0.0 else None,
        conductance=ua,
        capacity=capacity,
        rise=part.number("rise"),
        rank=int(part.number("rank")),
    )
