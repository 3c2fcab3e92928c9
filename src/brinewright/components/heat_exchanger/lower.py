"""How a heat exchanger becomes two elements in two circuits that share one heat flow."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.model.lowering import Builder, PartView, Place

SIDES = ("hot", "cold")
LEAST = 0.1
"""Least content that is stirred on a side [kg]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a heat exchanger (or a bank of them side by side) down."""
    flows = [builder.channel(f"{side} flow", "kg/s") for side in SIDES]
    inlets = [builder.hidden(start=part.filling(f"{side}-in").temperature) for side in SIDES]
    outlets = [
        builder.channel(f"{side} outlet temperature", "K", part.filling(f"{side}-in").temperature)
        for side in SIDES
    ]
    heat, share = builder.channel("heat", "W"), builder.channel("effectiveness", "1")
    ints = [*flows, inlets[0], outlets[0], inlets[1], outlets[1], heat, share]
    conductance = part.number("conductance") * part.count
    capacities = [part.filling(f"{side}-in").heat_capacity for side in SIDES]
    if part.law == "conductance":
        contents = [part.number(f"{side}_hold_up") * part.count for side in SIDES]
        sizes = [max(mass, LEAST) * cp for mass, cp in zip(contents, capacities, strict=True)]
        nodes = [
            builder.node("", size, part.filling(f"{side}-in").temperature)
            for side, size in zip(SIDES, sizes, strict=True)
        ]
        stored = [builder.hidden(), builder.hidden()]
        builder.record("exchanger contents", [*ints, *nodes, *stored], [conductance, *capacities, *sizes])
        for n, side in enumerate(SIDES):
            record = builder.record(
                f"exchanger contents {side}", [heat, nodes[n], stored[n], outlets[n]], [2.0 * n - 1.0]
            )
            _side(part, builder, side, record, (flows[n], inlets[n], outlets[n]), mass=0.0)
        return
    from brinewright.laws.exchange import ARRANGEMENTS

    clean = conductance * (1.0 - part.number("fouling"))
    arrangement = float(ARRANGEMENTS[part.word("arrangement")])
    builder.record("exchanger effectiveness", ints, [clean, *capacities, arrangement])
    for n, side in enumerate(SIDES):
        record = builder.record(f"exchanger effectiveness {side}", [heat], [2.0 * n - 1.0])
        mass = part.number(f"{side}_hold_up") * part.count
        _side(
            part, builder, side, record, (flows[n], inlets[n], outlets[n]),
            mass=mass, quadratic=rated_resistance(part, builder, f"{side}_"),
        )  # fmt: skip


def _side(
    part: PartView,
    builder: Builder,
    side: str,
    record: tuple[str, int],
    names: tuple[Place, Place, Place],
    *,
    mass: float,
    quadratic: Place | None = None,
) -> None:
    """Lay one side down; its content stands before its law, so what meets the law is foreseen."""
    limited = part.has(f"{side}_capacity")
    builder.inline(
        f"{side}-in",
        f"{side}-out",
        mass=mass,
        record=record,
        before=False,
        ahead=True,
        capacity=builder.hidden(start=part.number(f"{side}_capacity") * part.count) if limited else None,
        quadratic=quadratic,
        names=names,
    )
