"""How a transformer becomes a way for power between two buses."""

from brinewright.model.lowering import Builder, PartView

ROUNDING = 1.0 + 1e-9


def lower(part: PartView, builder: Builder) -> None:
    """Lay a transformer down."""
    real = part.law == "losses"
    opens = part.word("when_over") == "opens"
    rating = part.number("rating")
    loss = builder.channel("loss", "W") if real else builder.hidden()
    transformer = builder.transformer(
        part.refers("supply")[0],
        part.refers("bus")[0],
        rating=rating,
        core=part.number("core_loss") if real else 0.0,
        winding=part.number("winding_loss") if real else 0.0,
        opens=opens,
        loss=loss,
    )
    if real:
        site = builder.surroundings()
        builder.heat(site, loss, builder.account("electricity"))
        builder.record(
            "transformer tank",
            [builder.channel("temperature", "K"), site, loss],
            [part.number("casing_conductance")],
        )
    for sense, limit in (("above", rating * ROUNDING), ("below", -rating * ROUNDING)):
        builder.watch(
            transformer.power,
            limit,
            sense,
            "transformer-overload",
            "The transformer passes more than its rating.",
        )
    if opens:
        builder.watch(
            transformer.tripped,
            0.5,
            "above",
            "transformer-opened",
            "The transformer opened above its rating: what it fed is on its own.",
        )
