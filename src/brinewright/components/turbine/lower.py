"""How a turbine becomes a law on its vessel, a casing node and a generator."""

from brinewright.model.lowering import Builder, PartView


def lower(part: PartView, builder: Builder) -> None:
    """Lay a turbine (or a bank of them) down."""
    count = part.count
    site = builder.surroundings()
    begin = part.begins_at("temperature")
    casing = builder.node(
        "metal temperature",
        part.number("casing_mass") * part.metal_heat_capacity("casing_heat_capacity") * count,
        site if begin is None else begin,
    )
    # an enclosure round it takes this way over
    builder.conductance(casing, site, part.number("hall_conductance") * count, name="hall")
    limit = part.limit("casing_limit")
    if limit > 0.0:
        builder.watch(casing, limit, "above", "overheated", "Its casing is hotter than its material stands.")
    if part.connected("in") and part.connected("out"):
        jacket = part.number("capacity") * count if part.has("capacity") else 1e6
        builder.inline(
            "in",
            "out",
            mass=part.number("hold_up") * count,
            node=casing,
            conductance=part.number("jacket_conductance") * count,
            capacity=builder.hidden(start=jacket),
        )
    _threshold(part, builder, casing)


def _threshold(part: PartView, builder: Builder, casing: int) -> None:
    count = part.count
    vessel = part.refers("vessel")[0]
    store = builder.part(vessel)
    node = builder.node_of(vessel)
    signal = builder.switch(
        "threshold",
        node,
        "high",
        part.number("threshold") - part.number("differential"),
        part.number("differential"),
        bool(part.start("running")),
    )
    running = builder.position("running", part.start("running"))
    lost = builder.hidden()
    builder.mass(lost)
    generated = builder.channel("generated", "W")
    builder.generation(generated)
    run_up = part.number("run_up")
    builder.record(
        "turbine threshold",
        [
            builder.command(1.0),
            signal,
            running,
            builder.channel("steam flow", "kg/s"),
            builder.channel("heat taken", "W"),
            generated,
            builder.channel("casing heat", "W"),
            node,
            builder.channel_of(vessel, "mass"),
            casing,
            builder.account("electricity"),
            builder.account("unaccounted for"),
            builder.position("condensate return", 1.0),
            lost,
        ],
        [
            1.0 / run_up if run_up > 0.0 else 1.0,
            part.number("steam_flow") * count,
            part.number("condensate_temperature"),
            store.number("water_heat_capacity"),
            store.number("latent_heat") if store.declares("latent_heat") else 0.0,
            part.number("efficiency"),
            part.number("highest_power") * count,
            {"heat taken": 0.0, "power": 1.0, "what is left": 2.0}[part.word("casing_share_of")],
            part.number("casing_share"),
            part.number("casing_heat") * count,
        ],
    )
    builder.channel("condensate temperature", "K", part.number("condensate_temperature"))
