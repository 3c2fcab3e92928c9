"""How a chiller becomes a law met by the liquid, a metal node and a load."""

from brinewright.components.rated_resistance import rated_resistance
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place

LONG_AGO = 1e9
"""How long a machine that rests at the start has rested [s]."""


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
    _give(part, builder, metal, site)
    limit = part.limit("metal_limit")
    if limit > 0.0:
        builder.watch(metal, limit, "above", "overheated", "Its metal is hotter than its material stands.")
    running = builder.position("running", 1.0 if part.law == "fixed drop" else 0.0)
    power = builder.channel("power", "W")
    common = [
        builder.command(1.0), running, builder.channel("cooling", "W"), power, builder.channel("reject", "W"),
        builder.channel("performance", "1"), metal,
    ]  # fmt: skip
    flow = builder.channel_of(part.tag, "flow")
    laws = {"fixed drop": _fixed_drop, "second law": _second_law, "catalogue table": _catalogue}
    record = laws[part.law](part, builder, common, flow)
    capacity = builder.hidden(start=part.number("capacity") * count) if part.has("capacity") else None
    stream = builder.inline(
        "in", "out", mass=part.number("hold_up") * count, record=record, steady=part.law == "fixed drop",
        capacity=capacity,
        quadratic=rated_resistance(part, builder) if part.declares("rated_flow") else None,
    )  # fmt: skip
    freezes = part.liquid.freezes
    if freezes > 0.0:
        builder.watch(
            stream.outlet, freezes, "below", "freezing", "The coolant freezes at its outlet.", back=1.0
        )


def _give(part: PartView, builder: Builder, metal: Place, site: Place) -> None:
    """Let the metal give its heat to where the chiller stands; show how much."""
    covered = part.number("conductance") * part.count
    given = builder.conductance(metal, site, covered)
    level, height = builder.hidden(start=1.0), 0.0
    if part.inside and builder.part(part.inside).gives("level"):
        level = builder.channel_of(part.inside, "level")
        height = part.height / builder.part(part.inside).number("inner_height")
    builder.record(
        "chiller metal",
        [given, level, metal, site, builder.channel("given", "W")],
        [covered, part.number("bare_conductance") * part.count, height],
        apart=[],
    )


def _fixed_drop(part: PartView, builder: Builder, common: list[Place], _: Place) -> tuple[str, int]:
    watts = part.number("power") * part.count
    return builder.record(
        "chiller fixed drop",
        [
            *common,
            builder.load(common[3], watts),
            builder.account("electricity"),
            builder.account("declared heat"),
        ],
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


def _machine(
    part: PartView, builder: Builder, common: list[Place], flow: Place, rated: float
) -> tuple[list[Place], list[float]]:
    """Make what a machine with guards and timers keeps, in the order of the record."""
    powered = builder.load(common[3], rated, part.number("starting_multiple"))
    frost, hot, outside = builder.hidden(), builder.hidden(), builder.hidden()
    builder.watch(
        frost,
        0.5,
        "above",
        "frost-guard",
        "Its frost guard stops it: the evaporation is colder than it may be.",
    )
    builder.watch(
        hot, 0.5, "above", "condensation-guard",
        "Its guard stops it: what takes its heat is hotter than it can condense against.",
    )  # fmt: skip
    builder.watch(
        outside, 0.0, "above", "outside-table",
        "It works outside its catalogue; the numbers shown are those of the catalogue's edge.", back=-1e-9,
    )  # fmt: skip
    places = [
        *common, powered, builder.account("electricity"), flow, builder.hidden(start=1e6), builder.hidden(),
        builder.hidden(start=LONG_AGO), frost, hot, outside,
    ]  # fmt: skip
    second_law = part.law == "second law"
    numbers = [
        float(part.count),
        part.number("leaving_temperature"),
        part.number("lowest_step"),
        part.number("cycling_coefficient"),
        part.number("shortest_run"),
        part.number("shortest_rest"),
        part.number("flow_proof"),
        part.number("guard_differential"),
        part.number("lowest_evaporation") if second_law else 0.0,
        part.number("highest_condensation") if second_law else 0.0,
        part.number("evaporator_approach") if second_law else 0.0,
        part.number("condenser_approach"),
    ]
    return places, numbers


def _second_law(part: PartView, builder: Builder, common: list[Place], flow: Place) -> tuple[str, int]:
    from brinewright.laws.chilling import cooling_performance

    cold, hot = part.number("reference_evaporation"), part.number("reference_condensation")
    reference = part.number("cooling_capacity")
    performance = cooling_performance(
        cold, hot, 0.0, 0.0, part.number("second_law_efficiency"), part.number("highest_performance")
    )
    rated = reference * part.count / (performance * part.number("motor_efficiency"))
    places, numbers = _machine(part, builder, common, flow, rated)
    return builder.record(
        "chiller second law",
        places,
        [
            *numbers,
            reference,
            cold,
            hot,
            part.number("second_law_efficiency"),
            part.number("motor_efficiency"),
            part.number("motor_heat_share"),
            part.number("highest_performance"),
            part.number("evaporation_drift"),
            part.number("condensation_drift"),
        ],
    )


def _catalogue(part: PartView, builder: Builder, common: list[Place], flow: Place) -> tuple[str, int]:
    rows = [tuple(row) for row in part.rows("table")]
    leaving = sorted({row[0] for row in rows})
    condensation = sorted({row[1] for row in rows})
    values = {(row[0], row[1]): row[2:] for row in rows}
    grid = [(cold, hot) for cold in leaving for hot in condensation]
    if (
        min(len(leaving), len(condensation)) < 2
        or len(rows) != len(grid)
        or any(at not in values for at in grid)
    ):
        raise InputError(
            f"{part.tag}: its table has {len(rows)} rows for {len(leaving)} leaving and {len(condensation)} "
            "condensation temperatures. It needs one row for each pair, and at least two of each."
        )
    if min(min(row[2:]) for row in rows) <= 0.0:
        raise InputError(f"{part.tag}: a capacity or a power of its table is not above zero.")
    rated = max(row[3] for row in rows) * part.count * part.number("power_correction")
    places, numbers = _machine(part, builder, common, flow, rated)
    return builder.record(
        "chiller catalogue",
        [
            *places,
            builder.table(leaving),
            builder.table(condensation),
            builder.table([values[at][0] for at in grid]),
            builder.table([values[at][1] for at in grid]),
        ],
        [
            *numbers,
            len(leaving),
            len(condensation),
            part.number("capacity_correction"),
            part.number("power_correction"),
        ],
    )
