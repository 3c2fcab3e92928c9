"""How a chiller becomes a law met by the liquid, a metal node and a load."""

from brinewright.model.lowering import Builder, PartView, Place


def lower(part: PartView, builder: Builder) -> None:
    """Lay a chiller (or a bank of them) down."""
    count = part.count
    site = builder.surroundings()
    begin = part.begins_at("temperature")
    metal = builder.node(
        "metal temperature",
        part.number("metal_mass") * part.metal_heat_capacity("metal_heat_capacity") * count,
        site if begin is None else begin,
    )
    given = builder.conductance(metal, site, part.number("conductance") * count)
    if part.inside and builder.part(part.inside).gives("level"):
        holder = builder.part(part.inside)
        builder.record(
            "chiller cover",
            [given, builder.channel_of(part.inside, "level")],
            [
                part.number("conductance") * count,
                part.number("bare_conductance") * count,
                part.height / holder.number("inner_height"),
            ],
        )
    limit = part.limit("metal_limit")
    if limit > 0.0:
        builder.watch(metal, limit, "above", "overheated", "Its metal is hotter than its material stands.")
    running = builder.position("running", 1.0)
    cooling = builder.channel("cooling", "W")
    power = builder.channel("power", "W")
    reject = builder.channel("reject", "W")
    performance = builder.channel("performance", "1")
    common = [builder.command(1.0), running, cooling, power, reject, performance, metal]
    accounts = [builder.account("electricity"), builder.account("declared heat")]
    record = _fixed_drop(part, builder, common, accounts, power)
    capacity = builder.hidden(start=part.number("capacity") * count)
    stream = builder.inline(
        "in", "out", mass=part.number("hold_up") * count, record=record, steady=True, capacity=capacity
    )
    freezes = part.liquid.freezes
    if freezes > 0.0:
        builder.watch(stream.outlet, freezes, "below", "freezing", "The coolant freezes at its outlet.", back=1.0)


def _fixed_drop(
    part: PartView, builder: Builder, common: list[Place], accounts: list[Place], power: Place
) -> tuple[str, int]:
    watts = part.number("power") * part.count
    return builder.record(
        "chiller fixed drop",
        [*common, builder.load(power, watts), *accounts],
        [
            part.number("drop"),
            part.number("capacity"),
            part.number("power"),
            1.0 if part.word("power_mode") == "proportional" else 0.0,
            part.number("power_share"),
            part.number("self_heat"),
            part.number("flow_proof"),
            float(part.count),
        ],
    )
