"""What a liquid does to pipes and to people."""

import math
from collections.abc import Iterable

from brinewright.checks.asking import asked
from brinewright.checks.pressure import circuits, temperatures
from brinewright.components.liquid_state import is_water, solute
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

GLYCOLS = ("ethylene glycol", "propylene glycol")
HOTTEST_FILM = 393.15
"""Film at which inhibited glycol turns acid: 120 to 135 degC, from memory [K]."""
LEAST_SHARE = 0.25
"""Glycol by mass below which its inhibitor is too thin: 20 to 25 %, from memory."""
LAMINAR = 2300.0
FILMS = (
    ("metal temperature", "in", "its jacket"),
    ("temperature", "in", "its wall"),
    ("condenser temperature", "cooling-in", "its condenser"),
)
"""Channels of what the liquid touches, the port that lets it in, and where that is."""
BREEDS = (293.15, 323.15)
"""Water in which legionella grow [K]."""


def film_too_hot(case: Case) -> Iterable[Measure]:
    """Hold the hottest wall that each glycol touches against where it turns acid."""
    for view in case.views.values():
        if view.declares("inlet_temperature") and view.connected("in"):
            yield from _film(
                view, "in", view.peak("inlet_temperature"), "its exchanger, at the stream's inlet"
            )
        for channel, port, where in FILMS:
            seen = case.seen(view.tag, channel)
            is_cold_side = view.gives("performance") or view.gives("level") or not view.gives("cooling")
            if channel != "condenser temperature" and is_cold_side and not view.gives("casing heat"):
                continue
            if seen is None or not view.connected(port):
                continue
            yield from _film(view, port, seen.max, where)


def _film(view: PartView, port: str, hottest: float, where: str) -> Iterable[Measure]:
    name, share = solute(view.filling(port).liquid)
    if name in GLYCOLS:
        yield Measure(
            subject=(view.tag,),
            value=hottest,
            limit=HOTTEST_FILM,
            quantity="temperature",
            bound="at most",
            text=f"{name.capitalize()} of {show(share, 'ratio', digits=3)} touches "
            f"{show(hottest, 'temperature', digits=4)} "
            f"in {view.tag}, at {where}.",
            numbers=(
                Number(
                    symbol="T_film", value=hottest, quantity="temperature", text="hottest wall, of the run"
                ),
            ),
        )


def mixture_wrong(case: Case) -> Iterable[Measure]:
    """Hold the share of each glycol, and the flow that it lets through, against what works."""
    for circuit in circuits(case):
        first = case.views[circuit.lines[0]]
        name, share = solute(first.liquid)
        if name not in GLYCOLS:
            continue
        yield Measure(
            subject=(circuit.name,),
            value=share,
            limit=LEAST_SHARE,
            quantity="ratio",
            bound="at least",
            text=f"Circuit {circuit.name} holds {show(share, 'ratio', digits=3)} of {name}.",
            numbers=(Number(symbol="x", value=share, quantity="ratio", text="its liquid in the rulebook"),),
        )
        for tag in circuit.lines:
            view, seen = case.views[tag], case.seen(tag, "flow")
            if seen is None or seen.max <= 0.0 or view.viscosity <= 0.0:
                continue
            bore = view.number("bore")
            reynolds = 4.0 * seen.max / (math.pi * bore * view.viscosity)
            yield Measure(
                subject=(tag,),
                value=reynolds,
                limit=LAMINAR,
                quantity="number",
                bound="at least",
                text=f"At its largest flow Re is {reynolds:.0f} in {tag}.",
                numbers=(
                    Number(symbol="q_m", value=seen.max, quantity="mass flow", text="largest of the run"),
                    Number(symbol="D", value=bore, quantity="length", text=f"bore of {tag}"),
                    Number(
                        symbol="mu", value=view.viscosity, quantity="viscosity", text="at the working mean"
                    ),
                    Number(symbol="Re", value=reynolds, quantity="number", text="4 q_m / (pi D mu)"),
                ),
                remedy="Less glycol, a warmer circuit, or a smaller bore.",
            )


def asks_about_poison(case: Case) -> Iterable[Measure]:
    """Ask where people meet a poisonous coolant."""
    for circuit in circuits(case):
        name, share = solute(case.views[circuit.lines[0]].liquid)
        near = [view.tag for view in case.playing("consumer") if view.tag in circuit.parts]
        if name == "ethylene glycol" and near:
            yield asked(
                near,
                f"Circuit {circuit.name} holds {show(share, 'ratio', digits=3)} of ethylene glycol and "
                f"runs to {', '.join(near)}.",
            )


def asks_about_metals(case: Case) -> Iterable[Measure]:
    """Ask about unlike metals in one liquid."""
    for circuit in circuits(case):
        made = {
            tag: material.name
            for tag in (*circuit.lines, *circuit.parts)
            if (material := case.views[tag].material) is not None
        }
        if len(set(made.values())) > 1:
            told = "; ".join(
                f"{metal}: {', '.join(sorted(tag for tag in made if made[tag] == metal))}"
                for metal in sorted(set(made.values()))
            )
            yield asked(sorted(made), f"Circuit {circuit.name} wets {told}.")


def asks_about_germs(case: Case) -> Iterable[Measure]:
    """Ask about water in which germs grow."""
    for circuit in circuits(case):
        if not is_water(case.views[circuit.lines[0]].liquid):
            continue
        cold, hot = temperatures(case, circuit)
        if hot >= BREEDS[0] and cold <= BREEDS[1]:
            yield asked(
                (circuit.name,),
                f"Circuit {circuit.name} holds plain water between {show(cold, 'temperature', digits=3)} and "
                f"{show(hot, 'temperature', digits=3)}.",
            )


CRITERIA = (
    Criterion(
        code="BW-F07",
        title="Coolant burnt at a hot wall",
        severity="W",
        method="run",
        world="real",
        judge=film_too_hot,
        formula="T_film > 120 degC",
        consequence="Glycol turns acid and leaves sludge.",
        remedy="Another liquid, or a wall that stays cooler.",
        lesson="Not the mean of the liquid counts, but the hottest wall that it touches.",
        source="usual limit of inhibited glycols (from memory, verify)",
    ),
    Criterion(
        code="BW-F08",
        title="Glycol too thin or too thick",
        severity="W",
        method="run",
        world="real",
        judge=mixture_wrong,
        formula="x < 25 %, or Re < 2300",
        consequence="Too thin it rusts and rots; too thick it creeps past the wall and takes no heat.",
        remedy="Bring it to 25 % at least, and no higher than frost asks for.",
        lesson="Glycol carries its own rust guard: thin it too much and you thin that too.",
        source="usual least share of inhibited glycols (from memory, verify)",
    ),
    Criterion(
        code="BW-F09",
        title="Poisonous coolant near people",
        severity="S",
        method="question",
        world="real",
        judge=asks_about_poison,
        formula="ethylene glycol stands behind a single wall to air, food or drinking water",
        consequence="A leak poisons what people eat, drink or breathe.",
        remedy="Propylene glycol, a double wall, or leak detection.",
        lesson="It tastes sweet, and a mouthful kills: do not pipe it past the kitchen.",
        source="common practice, no source",
        question="Is there anywhere a single wall between this liquid and air, food or drinking water?",
    ),
    Criterion(
        code="BW-F85",
        title="Unlike metals in one liquid",
        severity="W",
        method="question",
        judge=asks_about_metals,
        formula="dE > 0.15 to 0.25 V between wetted metals",
        consequence="The less noble metal is eaten where they meet.",
        remedy="One metal, an insulating union, an inhibitor; never a small base part in a large noble one.",
        lesson="Two metals in one liquid are a battery, and it is the pipe that pays for the current.",
        source="common practice, no source",
        question="Where do these metals meet, and what parts them or guards them there?",
    ),
    Criterion(
        code="BW-F129",
        title="Water in which germs grow",
        severity="S",
        method="question",
        world="real",
        judge=asks_about_germs,
        formula="plain water stays between 20 and 50 degC, the worst from 25 to 45",
        consequence="Spray from it makes people ill.",
        remedy="Keep it colder or hotter, treat it, flush dead legs, let no spray reach people.",
        lesson="Lukewarm water that stands is a garden.",
        source="common practice, no source",
        question="Is the water treated and tested, are dead legs flushed, and can its spray reach anyone?",
    ),
)
