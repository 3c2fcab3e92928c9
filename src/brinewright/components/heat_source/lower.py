"""How a heat source becomes heat into the node of what takes it."""

from brinewright.model.lowering import Builder, PartView, Place


def lower(part: PartView, builder: Builder) -> None:
    """Lay a heat source down."""
    target = builder.node_of(part.refers("into")[0])
    heat = builder.channel("heat", "W")
    running = builder.position("running", 1.0)
    stroke = part.number("stroke_time")
    rate = 1.0 / stroke if stroke > 0.0 else 1.0
    common = [builder.command(1.0), running, heat, target]
    if part.law == "fixed power":
        builder.record(
            "source power", [*common, builder.account("heat sources"), builder.series("power")], [rate]
        )
        return
    if part.law == "stream":
        store = _store(part, builder)
        flow = builder.series("flow")
        conductance = part.number("effectiveness") * part.number("stream_heat_capacity")
        most = conductance * part.peak("flow")
    else:
        store = builder.boundary("store temperature", 0.0)
        builder.follow_into(store, "contact_temperature")
        flow = builder.hidden(start=1.0)
        conductance = most = part.number("conductance")
    edge = builder.conductance(store, target, most)
    builder.record(
        "source contact", [*common, store, edge, flow], [rate, conductance, float(part.flag("gives_only"))]
    )


def _store(part: PartView, builder: Builder) -> Place:
    """Return the node of what stands behind a stream: it cools as it gives, or never does."""
    undisturbed = part.number("store_temperature")
    begin = part.begins_at("store_temperature")
    if begin is None:
        begin = undisturbed
    if not part.has("store_heat_capacity"):
        return builder.boundary("store temperature", begin)
    store = builder.node("store temperature", part.number("store_heat_capacity"), begin)
    if part.number("recharge_conductance") > 0.0:
        around = builder.account(f"what lies around {part.tag}")
        builder.add_to(around, undisturbed)
        builder.conductance(around, store, part.number("recharge_conductance"))
    return store
