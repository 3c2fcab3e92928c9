"""What no calculation can see: questions for a person who looks and signs."""

from collections.abc import Iterable

from brinewright.checks.asking import asked
from brinewright.checks.pressure import circuits, temperatures
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView
from brinewright.units import show

CHARGE = 0.3
"""Refrigerant of a machine for each kilowatt that it cools; common practice [kg/kW]."""
MANY = 10
"""Alarms in ten minutes that one person can take in."""
FOUND_IN = {"strainer": "strainer", "air separator": "air separator"}


def _machines(case: Case) -> list[PartView]:
    return [view for view in case.playing("cooler") if view.declares("lowest_step")]


def about_air_in_evaporators(case: Case) -> Iterable[Measure]:
    """Ask about vents at each machine."""
    vented = {on for view in case.of_kind("vent point") for on in view.refers("on")}
    for view in _machines(case):
        near = {line.tag for line in (*case.into(view.tag), *case.out_of(view.tag))} | {view.tag}
        told = (
            "a vent is on " + ", ".join(sorted(near & vented)) if near & vented else "no vent is drawn there"
        )
        yield asked((view.tag,), f"{view.tag}: {told}.")


def about_refrigerant(case: Case) -> Iterable[Measure]:
    """Ask where refrigerant goes that leaks."""
    rooms = [view for view in case.playing("consumer") if view.declares("air_mass")]
    least = min((view.number("air_mass") / 1.2 for view in rooms), default=0.0)
    for view in _machines(case):
        cooling = case.seen(view.tag, "cooling")
        charge = CHARGE * (cooling.max if cooling else 0.0) / 1e3
        told = f" The smallest room holds some {least:.0f} m3 of air." if rooms else ""
        yield asked(
            (view.tag,),
            f"{view.tag} holds some {charge:.0f} kg of refrigerant, at {CHARGE} kg for each kilowatt.{told}",
        )


def about_soft_parts(case: Case) -> Iterable[Measure]:
    """Ask what seals and plastics are made of."""
    for circuit in circuits(case):
        cold, hot = temperatures(case, circuit)
        yield asked(
            (circuit.name,),
            f"Circuit {circuit.name} runs from {show(cold, 'temperature', digits=3)} to "
            f"{show(hot, 'temperature', digits=3)}.",
        )
    for view in case.of_kind("steam vessel"):
        seen = case.seen(view.tag, "temperature")
        if seen is not None:
            yield asked((view.tag,), f"{view.tag} gets to {show(seen.max, 'temperature', digits=4)}.")


def about_nozzles(case: Case) -> Iterable[Measure]:
    """Ask where liquid enters and leaves each tank."""
    for view in case.playing("store"):
        ways_in, ways_out = len(case.into(view.tag)), len(case.out_of(view.tag))
        if ways_in and ways_out:
            yield asked(
                (view.tag,),
                f"{view.tag}, {show(view.number('volume'), 'volume', digits=3)}, has {ways_in} ways in and "
                f"{ways_out} out, and is reckoned as {view.law}.",
            )


def about_what_is_missing(case: Case) -> Iterable[Measure]:
    """Ask why usual fittings are not there."""
    for circuit in circuits(case):
        there = {case.views[tag].kind for tag in circuit.parts}
        missing = [name for kind, name in FOUND_IN.items() if kind not in there]
        if missing:
            yield asked(
                (circuit.name,),
                f"Circuit {circuit.name} shows no {' and no '.join(missing)}, and no make-up meter.",
            )


def about_entry(case: Case) -> Iterable[Measure]:
    """Ask how people enter what they could die in."""
    tags = [view.tag for view in case.views.values() if view.gives("level") and view.declares("volume")]
    tags += [view.tag for view in case.of_kind("enclosure")]
    if tags:
        yield asked(sorted(tags), f"People can climb into {', '.join(sorted(tags))}.")


def about_outlets(case: Case) -> Iterable[Measure]:
    """Ask where hot outlets point."""
    for view in case.of_kind("relief valve", "dump valve", "drain point"):
        of = next(iter((*view.refers("guards"), *view.refers("on"), *view.refers("vessel"))), "")
        told = f" lets out what is in {of}" if of else " lets hot liquid or steam out"
        yield asked((view.tag,), f"{view.tag}{told}.")


def about_alarms(case: Case) -> Iterable[Measure]:
    """Ask what each alarm makes someone do."""
    if not case.loop.switches:
        return
    silent = sorted(switch.tag for switch in case.loop.switches if not switch.drives)
    told = f"; {', '.join(silent)} drives nothing by itself" if silent else ""
    yield asked(
        tuple(silent),
        f"{len(case.loop.switches)} switches can call a person{told}. "
        f"One person takes in some {MANY} alarms in ten minutes.",
    )


CRITERIA = (
    Criterion(
        code="BW-F45",
        title="Air stays in the evaporator",
        severity="W",
        method="question",
        world="real",
        judge=about_air_in_evaporators,
        formula="a high place of the machine has no vent",
        consequence="Where air stands the wall takes no heat, and the flow proof chatters.",
        remedy="A vent at the top of each machine, and an air separator.",
        lesson="Air goes to the top and stays there until someone lets it out.",
        source="common practice, no source",
        question="Is there a vent at the highest place of each machine, and is it opened after each filling?",
    ),
    Criterion(
        code="BW-F46",
        title="Refrigerant where people breathe",
        severity="S",
        method="question",
        world="real",
        judge=about_refrigerant,
        formula="charge / volume of the room > limit of its refrigerant",
        consequence="A leak takes the air, poisons it, or burns.",
        remedy="A machinery room with its own ventilation, a detector, less charge.",
        lesson="Ask what the whole charge would do in the smallest room that it can reach.",
        source="EN 378, ISO 5149, ASHRAE 15 (from memory, verify)",
        question="Which refrigerant is it, how much, which is the smallest room that a leak can reach, "
        "and does charge over volume stay below its limit?",
    ),
    Criterion(
        code="BW-F86",
        title="Seal or plastic too hot",
        severity="C",
        method="question",
        world="real",
        judge=about_soft_parts,
        formula="T is above the limit: EPDM 150, NBR 100, FKM 200, PTFE 230, PVC-U 60, CPVC 93, PEX 95 degC",
        consequence="Seals harden and leak, plastic pipe creeps and bursts.",
        remedy="Another seal, or metal.",
        lesson="The pipe stands it: the ring in the flange does not.",
        source="usual limits of these materials (from memory, verify)",
        question="Which seals and plastics are wetted here, and does each stand this temperature "
        "at its pressure?",
    ),
    Criterion(
        code="BW-F101",
        title="Tank that is passed by",
        severity="W",
        method="question",
        world="real",
        judge=about_nozzles,
        formula="the inlet lies beside the outlet, without a diffuser",
        consequence="Half of the tank stands still, and what you reckoned with is not there.",
        remedy="Inlet and outlet at opposite ends, with diffusers.",
        lesson="A tank counts only as far as the liquid goes through it.",
        source="common practice, no source",
        question="Do inlet and outlet lie at opposite ends, and does something slow the inflow down?",
    ),
    Criterion(
        code="BW-F115",
        title="Strainer, air separator or meter missing",
        severity="A",
        method="question",
        world="real",
        judge=about_what_is_missing,
        formula="one of them is not in the list of parts",
        consequence="Dirt blocks the machines, air gathers, and lost liquid is not noticed.",
        remedy="Add them.",
        lesson="Three cheap things keep a loop alive: a sieve, an air trap and a meter on the refill.",
        source="common practice, no source",
        question="What keeps dirt and air out of this circuit, and how is lost liquid noticed?",
    ),
    Criterion(
        code="BW-F128",
        title="Entry without a plan",
        severity="S",
        method="question",
        world="real",
        judge=about_entry,
        formula="a vessel, tank or enclosure is entered without a permit",
        consequence="No air, hot steam or a closing valve kills whoever is inside, and the one who follows.",
        remedy="Lock out, ventilate, measure, a permit, and someone outside.",
        lesson="Most who die in tanks went in to help.",
        source="common practice, no source",
        question="Is there a written plan for each: what is locked, what is measured, who stands outside?",
    ),
    Criterion(
        code="BW-F130",
        title="Hot outlet where people walk",
        severity="S",
        method="question",
        world="real",
        judge=about_outlets,
        formula="a relief, drain or blow-down ends where people are",
        consequence="Whoever walks by is scalded.",
        remedy="Pipe it away to where no one can stand.",
        lesson="A relief valve always opens at the worst moment: stand where it points and think again.",
        source="common practice, no source",
        question="Where does each outlet end, and can anyone stand there?",
    ),
    Criterion(
        code="BW-F131",
        title="Alarm that asks for nothing",
        severity="A",
        method="question",
        judge=about_alarms,
        formula="an alarm asks for no action, or more than 10 come in 10 minutes",
        consequence="People learn to overlook alarms, the one that matters too.",
        remedy="Give each alarm one action, and drop those that have none.",
        lesson="An alarm is a sentence that ends with what to do; if it has no end, leave it out.",
        source="IEC 62682, ISA-18.2 (from memory, verify)",
        question="What does a person do on each of these, within which time, and what if all come at once?",
    ),
)
