"""How a turbine becomes a law on its vessel, a casing node and a generator."""

from brinewright.components.steam_supply import SteamSupply, pressures, steam_supply
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place

ENDLESS = 1e30
"""Stands for the heat capacity flow of what does not get warmer [W/K]."""
NO_LIMIT = 1e6
"""Stands for the greatest flow where none is stated [kg/s]."""


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
        jacket = part.number("capacity") * count if part.has("capacity") else NO_LIMIT
        builder.inline(
            "in",
            "out",
            mass=part.number("hold_up") * count,
            node=casing,
            conductance=part.number("jacket_conductance") * count,
            capacity=builder.hidden(start=jacket),
        )
    supply = steam_supply(builder, part.refers("vessel")[0])
    if part.law == "threshold":
        _threshold(part, builder, supply, casing)
    else:
        _expansion(part, builder, supply, casing, site)


def _common(
    part: PartView, builder: Builder, supply: SteamSupply, casing: Place, signal: Place
) -> tuple[list[Place], list[float]]:
    """Make what every law of a turbine keeps, in the order of the record."""
    generated = builder.channel("generated", "W")
    builder.generation(generated)
    hotwell, lost = builder.shared("hotwell"), builder.hidden()
    builder.mass(hotwell)
    builder.mass(lost)
    run_up = part.number("run_up")
    delay = part.number("hotwell_delay") if part.declares("hotwell_delay") else 0.0
    places = [
        builder.command(1.0),
        signal,
        builder.position("running", part.start("running")),
        builder.channel("steam flow", "kg/s"),
        builder.channel("heat taken", "W"),
        generated,
        builder.channel("casing heat", "W"),
        casing,
        builder.account("electricity"),
        builder.position("condensate return", 1.0, moves=False),
        supply.node,
        supply.mass,
        supply.steam_out,
        supply.flux,
        supply.enthalpy,
        hotwell,
        builder.account(f"hotwell of {part.tag}"),
        builder.shared("blocked"),
        builder.shared("return limit", NO_LIMIT),
        builder.shared("returned"),
        builder.shared("pumps"),
        lost,
        builder.account("lost condensate"),
    ]
    return places, [1.0 / run_up if run_up > 0.0 else 1.0, delay]


def _threshold(part: PartView, builder: Builder, supply: SteamSupply, casing: Place) -> None:
    count = part.count
    signal = builder.switch(
        "threshold",
        supply.node,
        "high",
        part.number("threshold") - part.number("differential"),
        part.number("differential"),
        bool(part.start("running")),
    )
    places, numbers = _common(part, builder, supply, casing, signal)
    back = part.number("condensate_temperature")
    builder.channel("condensate temperature", "K", back)
    builder.record(
        "turbine threshold",
        [*places, builder.account("unaccounted for"), supply.drift],
        [
            *numbers,
            part.number("steam_flow") * count,
            supply.liquid_enthalpy(back),
            part.number("efficiency"),
            part.number("highest_power") * count,
            {"heat taken": 0.0, "power": 1.0, "what is left": 2.0}[part.word("casing_share_of")],
            part.number("casing_share"),
            part.number("casing_heat") * count,
        ],
        apart=[supply.node],
    )


def _expansion(part: PartView, builder: Builder, supply: SteamSupply, casing: Place, site: Place) -> None:
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import saturation_temperature

    count = part.count
    builder.needs_water = True
    pressure, steam_pressure, entropy = pressures(builder, supply, part.tag)
    if part.number("stop_pressure") > part.number("start_pressure"):
        raise InputError(f"{part.tag}: it stops at a higher pressure than it starts at.")
    if part.number("design_exhaust_pressure") >= part.number("design_inlet_pressure"):
        raise InputError(f"{part.tag}: its design point has more pressure at the exhaust than at the inlet.")
    signal = builder.switch(
        "threshold",
        pressure,
        "high",
        part.number("stop_pressure"),
        part.number("start_pressure") - part.number("stop_pressure"),
        bool(part.start("running")),
    )
    places, numbers = _common(part, builder, supply, casing, signal)
    by_liquid = part.connected("cooling-in") and part.connected("cooling-out")
    sink, stream, most = _cooling(part, builder, by_liquid)
    fixed = part.number("condenser_temperature")
    begin = fixed or saturation_temperature(water_tables(), part.number("design_exhaust_pressure"))
    condenser = builder.channel("condenser temperature", "K", begin)
    condensate = builder.channel("condensate temperature", "K", begin - part.number("subcooling"))
    record = builder.record(
        "turbine expansion",
        [
            *places, pressure, steam_pressure, entropy, builder.channel("condenser heat", "W"), condenser,
            builder.channel("exit dryness", "1", 1.0), condensate, builder.hidden(), builder.hidden(), site,
            sink, stream, most,
        ],
        [
            *numbers,
            count,
            part.number("design_flow"),
            part.number("design_inlet_pressure"),
            part.number("design_exhaust_pressure"),
            saturation_temperature(water_tables(), part.number("design_inlet_pressure")),
            part.number("held_pressure"),
            part.number("isentropic_efficiency"),
            part.number("mechanical_efficiency"),
            part.number("generator_efficiency"),
            part.number("loss_to_casing"),
            part.number("highest_power") * count,
            part.number("steam_conductance") * count,
            fixed,
            part.number("condenser_conductance") * count,
            part.number("subcooling"),
            float(by_liquid),
        ],
    )  # fmt: skip
    if by_liquid:
        builder.inline(
            "cooling-in", "cooling-out", mass=part.number("condenser_hold_up") * count, record=record,
            names=("cooling flow", "cooling inlet temperature", "cooling outlet temperature"),
        )  # fmt: skip


def _cooling(part: PartView, builder: Builder, by_liquid: bool) -> tuple[Place, Place, Place]:
    """Return node, heat capacity flow and greatest heat flow of what cools the condenser."""
    if not (part.has("condenser_temperature") or part.has("condenser_conductance")):
        raise InputError(
            f"{part.tag}: nothing says how well its condenser is cooled. "
            'Write condenser_conductance = "..." or condenser_temperature = "...".'
        )
    sinks = part.refers("sink")
    if by_liquid:
        return builder.surroundings(), builder.hidden(), builder.hidden()
    if not sinks and part.has("condenser_temperature"):
        # it leaves at that temperature; a check asks where it goes
        outside = builder.account("condenser cooling")
        return outside, builder.hidden(start=ENDLESS), builder.hidden(start=ENDLESS)
    if not sinks:
        raise InputError(
            f"{part.tag}: nothing takes the heat of its condenser. Lead liquid from its port cooling-in "
            'to cooling-out, or name a final sink: sink = "...".'
        )
    users = builder.shared_of(sinks[0], "users")
    builder.add_to(users, 1.0)
    return (
        builder.node_of(sinks[0], "sink temperature"),
        builder.shared_of(sinks[0], "stream"),
        builder.shared_of(sinks[0], "most"),
    )
