"""Every choice that a brief leaves open under real laws, worked out and put in order."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from brinewright.model.brief import AIMS, Brief
from brinewright.plan.sizing.design import Refusal
from brinewright.plan.sizing.real.design import RealChoice, RealDesign
from brinewright.plan.sizing.real.work_out import Worker

BUILDABLE = ("L3", "L4", "L5")
"""Layouts that need neither ranks at a junction nor machines with a fixed drop."""
MOST_WORKING = 6
"""Most chillers that share the load."""
MOST_TURBINES = 6
ROCK_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Shares of the other sources' flow that are tried."""


@dataclass(frozen=True)
class Searched:
    """What a search found: every design, the best first, and why each other choice failed."""

    designs: tuple[RealDesign, ...]
    refusals: tuple[tuple[RealChoice, Refusal], ...]


def search(worker: Worker, progress: Callable[[float, float], None] | None = None) -> Searched:
    """Work out every choice; more chillers or turbines than do are left out, for they only cost."""
    designs: list[RealDesign] = []
    refusals: list[tuple[RealChoice, Refusal]] = []
    outer = list(_outer(worker))
    for count, (liquid, layout, share) in enumerate(outer):
        if progress:
            progress(count, len(outer))
        enough = False
        for working in range(1, MOST_WORKING + 1):
            for turbines in range(0 if worker.turbine is None else 1, MOST_TURBINES + 1):
                choice = RealChoice(
                    liquid=liquid,
                    layout=layout,
                    chiller=worker.chiller,
                    working=working,
                    turbines=turbines,
                    rock=share,
                )
                made = worker(choice)
                if isinstance(made, RealDesign):
                    designs.append(made)
                    enough = True
                    break
                refusals.append((choice, made))
                if made.need not in ("turbines", "one turbine less"):
                    break
            if enough and working >= 3:
                break
    order = priorities(worker.brief)
    designs.sort(key=lambda design: tuple(design.measures()[aim] for aim in order))
    return Searched(tuple(designs), tuple(refusals))


def _outer(worker: Worker) -> Iterator[tuple[str, str, float]]:
    for liquid in worker.stock.liquids(worker.brief.wanted.liquids):
        for layout in BUILDABLE:
            if layout in worker.brief.wanted.layouts:
                for share in ROCK_SHARES if worker.rocks else (0.0,):
                    yield liquid.name, layout, share


def priorities(brief: Brief) -> Sequence[str]:
    """Return the aims in the order in which they count: what the brief names, then the others."""
    named = brief.wanted.matters
    return (*named, *(aim for aim in AIMS if aim not in named))


def front(designs: Sequence[RealDesign]) -> tuple[RealDesign, ...]:
    """Return the designs that no other one beats in every aim."""
    measured = [tuple(design.measures().values()) for design in designs]
    return tuple(
        design
        for design, own in zip(designs, measured, strict=True)
        if not any(
            all(theirs <= mine for theirs, mine in zip(other, own, strict=True)) and other != own
            for other in measured
        )
    )
