"""Size a loop under real laws: search, write, prove, explain."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from brinewright.files import loop_text, parse_design
from brinewright.files.weather import Weather
from brinewright.model.brief import Brief
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.design import Refusal
from brinewright.plan.sizing.growth import at_stage
from brinewright.plan.sizing.real.design import RealDesign
from brinewright.plan.sizing.real.loop import written
from brinewright.plan.sizing.real.proof import prove
from brinewright.plan.sizing.real.record import decisions_of
from brinewright.plan.sizing.real.search import Searched, search
from brinewright.plan.sizing.real.search import front as best_of
from brinewright.plan.sizing.real.work_out import Worker
from brinewright.plan.sizing.record import Corner, Obstacle
from brinewright.plan.sizing.relax import relaxed
from brinewright.plan.sizing.sized import Sized, StagePlan, changes
from brinewright.run.simulate import weather_of

WIDEST_FRONT = 12
"""Most designs of a front that are shown."""
PROOFS = 4
"""Most designs that are run before a brief counts as not met."""


def size_real(
    brief: Brief,
    rules: Rulebook,
    *,
    stages: bool = False,
    front: bool = False,
    nearest: bool = True,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Sized:
    """Return the loop of a brief under real laws, its decisions and its proof, or what is in the way."""
    weather = weather_of(brief, rules, folder)
    worker = Worker(replace(brief, stages=()), rules, weather)
    found = search(worker, progress)
    answer = _answered(worker, found, weather, folder, nearest=nearest, progress=progress)
    if answer.is_met and stages and brief.stages:
        answer = replace(answer, stages=_planned(answer, brief, rules, weather, folder))
    if front:
        corners = best_of(found.designs)[:WIDEST_FRONT]
        answer = replace(answer, front=tuple(Corner(_named(one), one.measures()) for one in corners))
    return answer


def _answered(
    worker: Worker,
    found: Searched,
    weather: Weather | None,
    folder: Path | None,
    *,
    nearest: bool = False,
    progress: Callable[[float, float], None] | None = None,
) -> Sized:
    answer = _proven(worker, found, weather, folder) if found.designs else None
    if answer is not None and answer.is_met:
        return answer
    if nearest:
        return _with_nearest(worker, found, answer, weather, folder, progress)
    return _unmet(worker, found, answer, _in_the_way(found))


def _planned(
    now: Sized, brief: Brief, rules: Rulebook, weather: Weather | None, folder: Path | None
) -> tuple[StagePlan, ...]:
    """Return the stages of growth: each sized by itself, and what changes from the one before."""
    plans = [StagePlan(name="now", loop=now.loop, text=now.text, changes=())]
    before = now
    for count, stage in enumerate(brief.stages, 1):
        grown = at_stage(brief, rules, count)
        # a layout is kept while it can be: to change it is to build anew
        kept = replace(grown, wanted=replace(grown.wanted, layouts=(before.decision("layout").chosen,)))
        worker = Worker(kept, rules, weather)
        sized = _answered(worker, search(worker), weather, folder)
        if not sized.is_met:
            worker = Worker(grown, rules, weather)
            sized = _answered(worker, search(worker), weather, folder)
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


def _proven(worker: Worker, found: Searched, weather: Weather | None, folder: Path | None) -> Sized:
    """Return the best design that holds in a run; the best of all, unproven, if none does."""
    rejected: list[str] = []
    answer: Sized | None = None
    for design in found.designs[:PROOFS]:
        made = _sized(worker, found, design, weather, folder, tuple(rejected))
        if made.is_met:
            return made
        answer = answer or made
        assert made.proof is not None
        rejected.append(f"{_named(design)}: {made.proof.failures[0]}")
    assert answer is not None
    return answer


def _sized(
    worker: Worker,
    found: Searched,
    design: RealDesign,
    weather: Weather | None,
    folder: Path | None,
    rejected: tuple[str, ...],
) -> Sized:
    # what is written is what is proven: the loop is read back from its own text
    text = loop_text(written(worker.brief, worker.rules, design))
    loop, _ = parse_design(text, folder or Path.cwd(), worker.rules, f"{worker.brief.name}.loop.toml")
    return Sized(
        name=worker.brief.name,
        world=worker.rules.world,
        loop=loop,
        text=text,
        decisions=decisions_of(worker, design, found),
        proof=prove(design, loop, worker.rules, weather, folder),
        rejected=rejected,
        tried=len(found.designs) + len(found.refusals),
        measures=design.measures(),
    )


def _named(design: RealDesign) -> str:
    choice = design.choice
    return (
        f"{choice.layout}, {design.chillers} chillers, {choice.turbines} turbines, {choice.liquid}, "
        f"{choice.rock:.0%} of the other heat"
    )


def _in_the_way(found: Searched) -> dict[str, Refusal]:
    """Return for each need the refusal that came first."""
    return {refusal.need: refusal for _, refusal in reversed(found.refusals)}


def _with_nearest(
    worker: Worker,
    found: Searched,
    answer: Sized | None,
    weather: Weather | None,
    folder: Path | None,
    progress: Callable[[float, float], None] | None,
) -> Sized:
    """Return which need is in the way: one after the other is given up, and the search asked again."""
    obstacles: list[Obstacle] = []
    nearest: Sized | None = None
    in_the_way = _in_the_way(found)
    needs = list(relaxed(worker.brief, worker.rules))
    for count, (need, meaning, briefs) in enumerate(needs):
        if progress:
            progress(count, len(needs))
        for easier in briefs:
            again = Worker(easier, worker.rules, weather)
            other = search(again)
            if not other.designs:
                continue
            said = in_the_way.get(need)
            text = said.text if said else f"Without this need there is a design: {_named(other.designs[0])}."
            amount = abs(said.amount) if said else 0.0
            obstacles.append(Obstacle(need, amount, text, meaning, other.designs[0].choice.layout))
            if nearest is None:
                proven = _proven(again, other, weather, folder)
                nearest = proven if proven.is_met else None
            break
    return _unmet(worker, found, answer, in_the_way, obstacles, nearest)


def _unmet(
    worker: Worker,
    found: Searched,
    answer: Sized | None,
    in_the_way: Mapping[str, Refusal],
    obstacles: Sequence[Obstacle] = (),
    nearest: Sized | None = None,
) -> Sized:
    """Return the answer to a brief that no design meets; a design that failed its proof comes first."""
    told = list(obstacles) or [
        Obstacle(refusal.need, abs(refusal.amount), refusal.text) for refusal in in_the_way.values()
    ]
    if answer is not None:
        assert answer.proof is not None
        told.insert(0, Obstacle("proof", 0.0, answer.proof.failures[0]))
    return Sized(
        name=worker.brief.name,
        world=worker.rules.world,
        loop=None,
        obstacles=tuple(told),
        nearest=nearest,
        rejected=answer.rejected if answer else (),
        tried=len(found.designs) + len(found.refusals),
    )
