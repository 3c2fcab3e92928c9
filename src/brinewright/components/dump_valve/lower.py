"""How a dump valve becomes a hole in a vessel that a signal opens."""

from brinewright.components.steam_supply import pressures, steam_supply
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView

FAILS = {"shut": 0.0, "open": 1.0, "stays": -1.0}


def lower(part: PartView, builder: Builder) -> None:
    """Lay a dump valve (or a bank of them) down."""
    begin = {"open": 1.0, "shut": 0.0, "": 0.0}[part.start_word("position")]
    supply = steam_supply(builder, part.refers("vessel")[0])
    declared = part.law == "declared"
    pressure = builder.hidden() if declared else pressures(builder, supply, part.tag)[1]
    returns = part.flag("returns")
    if returns and not part.has("condensate_temperature"):
        raise InputError(
            f"{part.tag}: its steam comes back, but nothing says how warm. "
            'Write condensate_temperature = "60 degC", or returns = false.'
        )
    sinks = part.refers("sink")
    sink = builder.account("dumped heat")
    if sinks:
        sink = builder.node_of(sinks[0], "sink temperature")
        builder.add_to(builder.shared_of(sinks[0], "users"), 1.0)
    lost = builder.channel("lost", "kg")
    builder.mass(lost)
    stroke = part.number("stroke_time")
    builder.record(
        "dump valve",
        [
            builder.command(begin),
            builder.position("position", begin),
            builder.supplied(),
            builder.channel("steam flow", "kg/s"),
            builder.channel("heat", "W"),
            lost,
            supply.node,
            supply.mass,
            supply.steam_out,
            supply.flux,
            supply.enthalpy,
            pressure,
            sink,
            builder.account("dumped heat"),
        ],
        [
            1.0 / stroke if stroke > 0.0 else 1.0,
            FAILS[part.word("fail_position")],
            part.number("steam_flow") * part.count if declared else 0.0,
            0.0 if declared else part.number("flow_area") * part.count,
            supply.liquid_enthalpy(part.number("condensate_temperature")) if returns else 0.0,
            float(returns),
        ],
    )
