"""`size`: from a brief to a proven loop, with every decision explained by its numbers."""

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.brief import Brief
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.build import Built, build
from brinewright.plan.sizing.decisions import decisions_of
from brinewright.plan.sizing.design import Design, Refusal
from brinewright.plan.sizing.growth import at_stage
from brinewright.plan.sizing.layouts import LAYOUTS
from brinewright.plan.sizing.proof import Proof, prove
from brinewright.plan.sizing.real.size import size_real
from brinewright.plan.sizing.record import Corner, Obstacle
from brinewright.plan.sizing.relax import relaxed
from brinewright.plan.sizing.reserves import FROM_COLD
from brinewright.plan.sizing.search import Found, Search, battery_for, finished, nondominated
from brinewright.plan.sizing.setting import Setting
from brinewright.plan.sizing.sized import Sized, StagePlan, changes

FEW_PROOFS = 3
"""Designs that are run for each need that is relaxed."""
MOST_PROOFS = 24
"""Designs that are run for a day before the search gives up."""
ALIKE = 4
"""Proofs that fail by one and the same event or finding before a layout is given up."""
SPARE = 1.02
"""Battery for a start from cold, as a multiple of what it takes."""
AMPLE = 10.0
"""Battery with which the troughs of a run are read, as a multiple of the closed form's."""
WIDEST_FRONT = 12
"""Most designs of a front that are shown."""


def size(
    brief: Brief,
    rulebook: Rulebook | None = None,
    *,
    stages: bool = False,
    front: bool = False,
    nearest: bool = True,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Sized:
    """Return a loop that meets a brief, proven by a run of a day, and why it is as it is.

    Parameters
    ----------
    brief : what must be cooled, with what at hand
    rulebook : the place; by default the one that the brief names, among those that ship
    stages : whether to plan the brief's stages of growth too
    front : whether to return the trade-off front of all good designs too
    nearest : whether to look for what would do where no design meets the brief
    folder : where the brief's rulebook is looked for
    progress : called with steps done and steps in all

    Raises
    ------
    InputError
        If the place lacks what any loop needs.

    Example
    -------
    >>> import brinewright as bw
    >>> sized = bw.size(bw.read_brief(bw.shipped_brief("kettle-ridge")))
    >>> sized.decision("layout").chosen
    'L6 two tanks and two decisions'
    >>> sized.is_met
    True
    """
    began = time.perf_counter()
    rules = rulebook or read_rulebook(find_rulebook(brief.rulebook, folder or Path.cwd()))
    if rules.world == "real":
        answer = size_real(
            brief,
            rules,
            stages=stages,
            front=front,
            nearest=nearest,
            folder=folder,
            progress=progress,
        )
        return replace(answer, wall_s=time.perf_counter() - began)
    answer = _sized(replace(brief, stages=()), rules, progress)
    if not answer.is_met:
        answer = _with_nearest(answer, brief, rules) if nearest else answer
    elif stages and brief.stages:
        answer = replace(answer, stages=_planned(answer, brief, rules))
    if front:
        answer = replace(answer, front=_front(brief, rules))
    return replace(answer, wall_s=time.perf_counter() - began)


def _sized(
    brief: Brief,
    rules: Rulebook,
    progress: Callable[[float, float], None] | None = None,
    *,
    proofs: int = MOST_PROOFS,
) -> Sized:
    search = Search(Setting(brief, rules))
    allowed = brief.wanted.layouts
    found = search.run(tuple(LAYOUTS) if proofs == MOST_PROOFS else allowed, progress)
    fitting = [design for design in found.designs if design.choice.layout in allowed]
    rejected: list[str] = []
    alike: dict[tuple[str, str], int] = {}
    given_up: set[str] = set()
    count = 0
    for design in search.ranked(fitting):
        if design.choice.layout in given_up:
            continue
        if count >= proofs:
            break
        count += 1
        made, built, proof = proven(search, finished(search, design), rules)
        if proof.holds:
            return Sized(
                name=brief.name,
                world=rules.world,
                loop=built.loop,
                text=built.text,
                decisions=decisions_of(search, made, built, found),
                proof=proof,
                rejected=tuple(rejected),
                tried=found.tried,
                design=made,
                measures={aim: search.measure(made, aim) for aim in search.setting.aims},
            )
        choice = design.choice
        why = (choice.layout, proof.codes[0])
        alike[why] = alike.get(why, 0) + 1
        if alike[why] >= ALIKE:
            given_up.add(choice.layout)
        rejected.append(
            f"{choice.layout}, {design.bank.chillers} chillers, {choice.turbines} turbines, "
            f"{design.flow:.1f} kg/s, {choice.set_point - 273.15:.1f} degC: {proof.failures[0]}"
        )
    return Sized(
        name=brief.name,
        world=rules.world,
        loop=None,
        rejected=tuple(rejected),
        obstacles=_obstacles(found, allowed),
        tried=found.tried,
    )


def proven(search: Search, design: Design, rules: Rulebook) -> tuple[Design, Built, Proof]:
    """Return the design, its loop and its proof; a battery that proves too small is sized by the run."""
    built = build(search.judge, design)
    proof = prove(search.judge, design, built, rules)
    if proof.holds or not design.battery:
        return design, built, proof
    parts = dict(design.battery_parts)
    if proof.lacks_power:
        ample = replace(design, battery=AMPLE * design.battery)
        seen = prove(search.judge, ample, build(search.judge, ample), rules)
        if seen.lacks_power:
            return design, built, proof
        troughs = sum(energy for cause, energy in parts.items() if cause != FROM_COLD)
        parts["what the run shows beside"] = max(seen.battery_fall - troughs, 0.0)
    if proof.needed_from_cold:
        parts[FROM_COLD] = proof.needed_from_cold / search.judge.gives_back * SPARE
    if parts == design.battery_parts:
        return design, built, proof
    larger = replace(design, battery=battery_for(parts), battery_parts=parts)
    built = build(search.judge, larger)
    return larger, built, prove(search.judge, larger, built, rules)


def _obstacles(found: Found, allowed: Sequence[str]) -> tuple[Obstacle, ...]:
    """Return the needs that stopped the choices that came furthest, each with its least shortfall."""
    nearest: dict[str, Refusal] = {}
    for refusal in found.refusals:
        if refusal.layout not in allowed:
            continue
        other = nearest.get(refusal.need)
        if other is None or (refusal.weight, -refusal.amount) > (other.weight, -other.amount):
            nearest[refusal.need] = refusal
    ordered = sorted(nearest.values(), key=lambda refusal: (-refusal.weight, refusal.amount))
    return tuple(
        Obstacle(refusal.need, refusal.amount, refusal.text, layout=refusal.layout) for refusal in ordered
    )


def _with_nearest(answer: Sized, brief: Brief, rules: Rulebook) -> Sized:
    """Return the answer with what would do: one need at a time is relaxed."""
    found: list[Obstacle] = []
    nearest: Sized | None = None
    base = replace(brief, stages=())
    for need, said, briefs in relaxed(base, rules):
        for relaxed_brief in briefs:
            sized = _sized(relaxed_brief, rules, proofs=FEW_PROOFS)
            if sized.is_met and sized.design is not None:
                found.append(_helped(need, said, base, relaxed_brief, sized))
                nearest = nearest or sized
                break
    named = tuple(found) or answer.obstacles
    return replace(answer, obstacles=(*named, *(answer.obstacles if found else ())), nearest=nearest)


def _helped(need: str, said: str, brief: Brief, other: Brief, sized: Sized) -> Obstacle:
    """Return what was in the way, by how much, from the design that there is without it."""
    design = sized.design
    assert design is not None
    amount, text = 0.0, f"{need}: {said}"
    use = need.removeprefix("number of ")
    if use != need:
        used = sum(part.count for part in sized.loop.parts if part.use == use) if sized.loop else 0
        amount = used - brief.at_hand.number(use)
        text = f"{used} of {use} would do; {brief.at_hand.number(use):.0f} are at hand"
    elif need == "power":
        amount = other.at_hand.power - brief.at_hand.power
        text = (
            f"{other.at_hand.power / 1e3:.0f} kW from outside would do, "
            f"{design.grid / 1e3:.0f} kW of it on the mean"
        )
    elif " temperature of " in need:
        name, _, tag = need.rpartition(" of ")
        key = name.replace(" ", "_")
        moved = next(c for c in other.consumers if c.tag == tag).values[key]
        text = f"{tag} with a {name} of {float(moved) - 273.15:.1f} degC would do"  # type: ignore[arg-type]
    elif need.startswith("amount of "):
        text = f"with enough {need.removeprefix('amount of ')} it can be built"
    elif need == "load":
        share = _share(brief, other)
        amount, text = 1.0 - share, f"{share:.0%} of the heat would do"
    return Obstacle(need, amount, text, relaxed=said, layout=design.choice.layout)


def _share(brief: Brief, other: Brief) -> float:
    """Return by which factor the heat of a brief was scaled."""
    for one, two in zip(brief.consumers, other.consumers, strict=True):
        if isinstance(one.heat, float) and isinstance(two.heat, float) and one.heat:
            return two.heat / one.heat
        if isinstance(one.heat, str) and isinstance(two.heat, str):
            before, after = brief.schedule(one.heat).values, other.schedule(two.heat).values
            return max(after) / max(before) if max(before) else 1.0
    return 1.0


def _planned(now: Sized, brief: Brief, rules: Rulebook) -> tuple[StagePlan, ...]:
    """Return the stages of growth: each sized by itself, and what changes from the one before."""
    plans: list[StagePlan] = [StagePlan(name="now", loop=now.loop, text=now.text, changes=())]
    before = now
    for count, stage in enumerate(brief.stages, 1):
        grown = at_stage(brief, rules, count)
        kept = before.design
        if kept is not None:
            layouts = tuple(dict.fromkeys((kept.choice.layout, *grown.wanted.layouts)))
            grown = replace(grown, wanted=replace(grown.wanted, layouts=layouts[:1]))
        sized = _sized(grown, rules)
        if not sized.is_met:
            sized = _sized(replace(grown, wanted=replace(grown.wanted, layouts=brief.wanted.layouts)), rules)
        plans.append(
            StagePlan(
                name=stage.name,
                loop=sized.loop,
                text=sized.text,
                changes=changes(before, sized),
                obstacles=sized.obstacles,
            )
        )
        before = sized if sized.is_met else before
    return tuple(plans)


def _front(brief: Brief, rules: Rulebook) -> tuple[Corner, ...]:
    """Return the designs that no other beats in one aim without being beaten in another."""
    search = Search(Setting(replace(brief, stages=()), rules))
    found = search.run(brief.wanted.layouts)
    best = nondominated(
        found.designs, lambda design: tuple(search.measure(design, aim) for aim in search.setting.aims)
    )
    return tuple(
        Corner(
            f"{design.choice.layout}, {design.bank.chillers} chillers, {design.choice.turbines} turbines, "
            f"{design.flow:.1f} kg/s, casings {design.choice.cooled.words}",
            {aim: search.measure(design, aim) for aim in search.setting.aims},
        )
        for design in best[:WIDEST_FRONT]
    )
