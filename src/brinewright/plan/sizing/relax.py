"""Which need is in the way: one need at a time is relaxed, and the search asked again."""

from collections.abc import Iterator
from dataclasses import replace

from brinewright.model.brief import LAYOUTS, PLENTY, AtHand, Brief, Survive
from brinewright.model.frozen import Frozen
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.growth import scaled
from brinewright.plan.sizing.stock import Item

WARMER = (1.0, 2.0, 5.0, 10.0, 20.0)
"""Kelvin by which a limit is moved, one after the other."""
LIGHTER = (0.9, 0.75, 0.5, 0.25)
"""Shares of the load that are tried."""


def relaxed(brief: Brief, rules: Rulebook) -> Iterator[tuple[str, str, tuple[Brief, ...]]]:
    """Yield each need that can be given up or helped, what that means, and briefs with more of it."""
    wanted, survive, at_hand = brief.wanted, brief.survive, brief.at_hand
    if survive != Survive():
        for name in ("turbines", "chillers", "without_power"):
            if getattr(survive, name):
                yield (
                    f"survive {name.replace('_', ' ')}",
                    "nothing of that has to be outlasted",
                    (replace(brief, survive=replace(survive, **{name: 0})),),
                )
    if wanted.ride_through:
        yield (
            "ride-through",
            "no ride-through is asked for",
            (replace(brief, wanted=replace(wanted, ride_through=None)),),
        )
    if wanted.layouts != LAYOUTS:
        yield (
            "layouts",
            "any layout may be built",
            (replace(brief, wanted=replace(wanted, layouts=LAYOUTS)),),
        )
    if wanted.liquids:
        yield "liquids", "any liquid may be used", (replace(brief, wanted=replace(wanted, liquids=())),)
    if wanted.supply is not None:
        free = replace(brief, wanted=replace(wanted, supply=None))
        yield "wanted supply", "the supply temperature is free", (free,)
    if wanted.flow is not None:
        free = replace(brief, wanted=replace(wanted, flow=None))
        yield "wanted flow", "the flow is free", (free,)
    for use, number in at_hand.equipment.items():
        if number < PLENTY:
            yield (
                f"number of {use}",
                "as many as are needed",
                (_with_hand(brief, replace(at_hand, equipment=Frozen({**at_hand.equipment, use: PLENTY}))),),
            )
    for name, mass in at_hand.materials.items():
        if mass < PLENTY:
            yield (
                f"amount of {name}",
                "as much as is needed",
                (_with_hand(brief, replace(at_hand, materials=Frozen({**at_hand.materials, name: PLENTY}))),),
            )
    yield (
        "power",
        "power from outside",
        tuple(
            _with_hand(brief, replace(at_hand, power=at_hand.power + more))
            for more in (20e3, 100e3, 500e3, 5e6)
        ),
    )
    for place, consumer in enumerate(brief.consumers):
        item = Item(rules.entry(consumer.use), consumer.values)
        for name, sign in (("highest_temperature", 1.0), ("lowest_temperature", -1.0)):
            if item.has(name):
                said = "warmer" if sign > 0.0 else "colder"
                moved = tuple(_moved(brief, place, name, item.number(name) + sign * step) for step in WARMER)
                yield f"{name.replace('_', ' ')} of {consumer.tag}", f"may be {said}", moved
    yield "load", "less heat", tuple(scaled(brief, rules, share) for share in LIGHTER)


def _with_hand(brief: Brief, at_hand: AtHand) -> Brief:
    return replace(brief, at_hand=at_hand)


def _moved(brief: Brief, place: int, name: str, value: float) -> Brief:
    consumer = brief.consumers[place]
    moved = replace(consumer, values=Frozen({**consumer.values, name: value}))
    return replace(brief, consumers=(*brief.consumers[:place], moved, *brief.consumers[place + 1 :]))
