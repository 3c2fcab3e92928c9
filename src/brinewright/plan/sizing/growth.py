"""Briefs made from a brief: with more or less heat, and at a later stage."""

from collections.abc import Callable
from dataclasses import replace

from brinewright.model.brief import AtHand, Brief, Consumer
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Schedule, Value
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.stock import Item


def scaled(brief: Brief, rules: Rulebook, factor: float) -> Brief:
    """Return a brief in which every consumer gives a multiple of its heat."""
    if factor == 1.0:
        return brief
    schedules = {schedule.name: schedule for schedule in brief.schedules}
    made: dict[str, Schedule] = {}

    def times(value: Value) -> float | str:
        if not isinstance(value, str):
            return float(value) * factor  # type: ignore[arg-type]
        known = schedules[value]
        name = f"{value} at {round(1000 * factor)} permille"
        made[name] = replace(known, name=name, values=tuple(amount * factor for amount in known.values))
        return name

    consumers = tuple(
        _scaled(consumer, Item(rules.entry(consumer.use), consumer.values), times)
        for consumer in brief.consumers
    )
    return replace(brief, consumers=consumers, schedules=(*brief.schedules, *made.values()))


def _scaled(consumer: Consumer, item: Item, times: Callable[[Value], float | str]) -> Consumer:
    if consumer.heat is not None:
        return replace(consumer, heat=times(consumer.heat))
    if item.has("stream_heat_capacity"):
        return replace(consumer, values=Frozen({**consumer.values, "flow": times(item.values["flow"])}))
    stated = next(item.values[name] for name in ("gains", "heat") if item.has(name))
    return replace(consumer, heat=times(stated))


def at_stage(brief: Brief, rules: Rulebook, count: int) -> Brief:
    """Return the brief as it stands after the first `count` stages of growth."""
    grown = replace(brief, stages=())
    for stage in brief.stages[:count]:
        grown = scaled(grown, rules, stage.load)
        hand = grown.at_hand
        if stage.at_hand is not None:
            hand = AtHand(
                materials=Frozen({**hand.materials, **stage.at_hand.materials}),
                equipment=Frozen({**hand.equipment, **stage.at_hand.equipment}),
                power=stage.at_hand.power or hand.power,
            )
        grown = replace(
            grown,
            consumers=(*grown.consumers, *stage.consumers),
            sources=(*grown.sources, *stage.sources),
            at_hand=hand,
        )
    return grown
