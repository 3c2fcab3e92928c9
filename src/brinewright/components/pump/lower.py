"""How a pump becomes a capacity or a head, a load, and heat in the liquid."""

import math

from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView

NO_LIMIT = 1e6
"""What a stopped pump lets pass when it does not stop the flow [kg/s]."""
NAMES = ("flow", "", "temperature")
STANDARD_GRAVITY = 9.80665
TROUTON = 10.5
"""Entropy of evaporation over the gas constant, Trouton's rule, where no vapour pressure is tabled."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a pump (or a bank of them) down."""
    if part.law == "curve":
        _curve(part, builder)
    else:
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
    builder.inline(
        "in", "out", mass=part.number("hold_up") * part.count, record=record, steady=True,
        capacity=capacity, names=NAMES,
    )  # fmt: skip


def _curve(part: PartView, builder: Builder) -> None:
    lift = part.number("shut_off_pressure") - part.number("duty_pressure")
    if lift <= 0.0:
        raise InputError(
            f"{part.tag}: its duty_pressure is not below its shut_off_pressure, so its curve does not fall. "
            "Exchange the two, or lower duty_pressure."
        )
    density, speed = part.density, part.number("speed")
    weight = density * builder.site("gravity")
    dense = density / part.number("rated_density")
    volume = part.number("duty_flow") * part.count
    head, loss, pressure = builder.hidden(), builder.hidden(), builder.hidden()
    running, power = builder.position("running", 1.0), builder.channel("power", "W")
    capacity = builder.hidden(start=NO_LIMIT)
    rated = dense * part.number("duty_pressure") * volume * speed**3
    rated /= part.number("efficiency") * part.number("motor_efficiency")
    powered = builder.load(power, rated, part.number("starting_multiple"))
    rise, margin = builder.channel("pressure rise", "Pa"), builder.channel("suction head margin", "m")
    lacks, blocked = builder.hidden(), builder.hidden()
    flow, inlet = builder.channel("flow", "kg/s"), builder.hidden(start=part.working_mean)
    delay = part.number("start_delay")
    record = builder.record(
        "pump curve",
        [
            builder.command(1.0), running, capacity, powered, power, builder.account("electricity"), head,
            flow, loss, rise, pressure, inlet, margin, lacks, blocked,
        ],
        [
            1.0 / delay if delay > 0.0 else 1.0,
            NO_LIMIT,
            0.0 if part.word("when_off") == "stops" else NO_LIMIT,
            dense * part.number("shut_off_pressure") * speed**2,
            density * volume * speed,
            weight,
            part.number("efficiency"),
            part.number("motor_efficiency"),
            part.number("motor_heat_share"),
            part.number("suction_head_required") * STANDARD_GRAVITY / builder.site("gravity"),
            *vapour_pressure(part, builder.site("ambient_pressure")),
            volume * speed,
        ],
    )  # fmt: skip
    builder.inline(
        "in",
        "out",
        mass=part.number("hold_up") * part.count,
        record=record,
        steady=True,
        capacity=capacity,
        head=head,
        droop=builder.constant(dense * lift / (density * volume) ** 2),
        pressure=pressure,
        pressure_loss=loss,
        names=(flow, inlet, "temperature"),
    )
    builder.watch(
        lacks, 0.0, "above", "cavitation", "The pump has less suction head than it needs.", after=5.0
    )
    builder.watch(blocked, 0.5, "above", "dead-headed", "The pump runs against a shut way.", after=60.0)


def vapour_pressure(part: PartView, ambient: float) -> tuple[float, float, float]:
    """Return a, b, c of ln p = a - b / (T + c) for the liquid's vapour pressure [Pa], [K].

    Through three points of its table; without a table by Trouton's rule from its boiling point.
    """
    liquid = part.liquid
    if not liquid.properties:
        boils = liquid.boils if liquid.boils > 0.0 else math.inf
        return (math.log(ambient) + TROUTON, TROUTON * boils, 0.0) if boils < math.inf else (-1e3, 0.0, 0.0)
    from brinewright.fluids import property_value

    points = []
    for temperature in (278.15, 313.15, 348.15):
        found = property_value(liquid.properties, "saturation pressure", temperature=temperature)
        points.append((temperature, math.log(float(found.value))))
    (t1, y1), (t2, y2), (t3, y3) = points
    # three points of a - b / (T + c): the ratio of the slopes gives c
    ratio = (y3 - y2) / (y2 - y1) * (t2 - t1) / (t3 - t2)
    c = (t1 - ratio * t3) / (ratio - 1.0)
    b = (y2 - y1) * (t1 + c) * (t2 + c) / (t2 - t1)
    return y1 + b / (t1 + c), b, c
