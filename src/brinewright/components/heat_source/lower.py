"""How a heat source becomes heat into the node of what takes it."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a heat source down."""
    target = builder.node_of(part.refers("into")[0])
    heat = builder.channel("heat", "W")
    running = builder.position("running", 1.0)
    stroke = part.number("stroke_time")
    rate = 1.0 / stroke if stroke > 0.0 else 1.0
    command = builder.command(1.0)
    if part.law == "fixed power":
        builder.record(
            "source power",
            [command, running, heat, target, builder.account("heat sources"), builder.series("power")],
            [rate],
        )
    elif part.law == "fixed temperature contact":
        contact = builder.boundary("store temperature", 0.0)
        builder.follow_into(contact, "contact_temperature")
        builder.record(
            "source contact",
            [command, running, heat, target, contact],
            [rate, part.number("conductance"), float(part.flag("gives_only"))],
        )
