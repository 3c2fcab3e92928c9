"""How a pump becomes a capacity or a head, a load, and heat in the liquid."""

from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""What a stopped pump lets pass when it does not stop the flow [kg/s]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a pump (or a bank of them) down."""
    _fixed_capacity(part, builder)


def _fixed_capacity(part: PartView, builder: Builder) -> None:
    running = builder.position("running", 1.0)
    power = builder.channel("power", "W")
    full = part.number("capacity") * part.count
    capacity = builder.hidden(start=full)
    watts = part.number("power") * part.count
    powered = builder.load(power, watts)
    delay = part.number("start_delay")
    record = builder.record(
        "pump fixed",
        [builder.command(1.0), running, capacity, powered, power, builder.account("electricity")],
        [
            1.0 / delay if delay > 0.0 else 1.0,
            full,
            0.0 if part.word("when_off") == "stops" else NO_LIMIT,
            watts,
            part.number("heat_share"),
        ],
    )
    builder.inline("in", "out", mass=part.number("hold_up") * part.count, record=record, capacity=capacity)
