"""Where a design does not do its job under a rulebook, and why it did under another."""

from collections.abc import Iterable

import numpy as np

from brinewright.checks.case import LoopCase
from brinewright.plan.comparison import Upset
from brinewright.results import Result, Series

STILL = 1e-6
"""A flow below this stands [kg/s]."""
FAIR_START = 600.0
"""What happens before that is the start of the run [s]."""
MOSTLY = 0.5
"""Share of its running time for which a pump against a shut way makes a design senseless [1]."""


def upsets(number: int, case: LoopCase, result: Result | None) -> list[Upset]:
    """Return what makes a design senseless, or puts it outside its duty, under its rulebook.

    Parameters
    ----------
    number : of the design
    case : the design under its rulebook
    result : its run, None if it could not be finished
    """
    if result is None:
        said = "The run could not be finished."
        return [Upset(design=number, subject="", what="unfinished", text=said)]
    found = [*_pumps(number, case, result), *_coolers(number, case, result), *_limits(number, case, result)]
    if case.rules.world == "real":
        found += _ranks(number, case)
    return found


def _after_start(series: Series) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.asarray(series.values, dtype=np.float64)[series.times >= FAIR_START]


def _pumps(number: int, case: LoopCase, result: Result) -> Iterable[Upset]:
    for view in case.playing("mover"):
        part = result[view.tag]
        runs = "running" if "running" in part else "powered"
        if "flow" not in part or runs not in part:
            continue
        running = _after_start(part[runs]) > 0.0
        still = running & (np.abs(_after_start(part["flow"])) < STILL)
        share = float(still.sum()) / max(float(running.sum()), 1.0)
        if share > MOSTLY:
            yield Upset(
                design=number,
                subject=view.tag,
                what="dead-headed",
                text=f"{view.tag} runs against a shut way for {100 * share:.0f} % of the time that it runs.",
            )


def _coolers(number: int, case: LoopCase, result: Result) -> Iterable[Upset]:
    for view in case.playing("cooler"):
        part = result[view.tag]
        if "cooling" in part and part["cooling"].max <= 0.0:
            yield Upset(
                design=number, subject=view.tag, what="idle cooler", text=f"{view.tag} never takes any heat."
            )


def _limits(number: int, case: LoopCase, result: Result) -> Iterable[Upset]:
    for view in case.playing("consumer"):
        if view.tag not in result or "temperature" not in result[view.tag]:
            continue
        series = result[view.tag]["temperature"]
        limit = view.number("highest_temperature")
        if series.max > limit:
            yield Upset(
                design=number,
                subject=view.tag,
                what="out of limits",
                text=f"{view.tag} reaches {series.max - 273.15:.1f} degC; it may have {limit - 273.15:.1f}.",
            )


def _ranks(number: int, case: LoopCase) -> Iterable[Upset]:
    """Return what hangs on ranks in a place where pressures decide."""
    ranked = sorted(line.tag for line in case.lines if line.rank)
    if ranked:
        yield Upset(
            design=number,
            subject=ranked[0],
            what="ranks ignored",
            text=f"{len(ranked)} lines claim their way by rank ({', '.join(ranked)}); here pressures decide, "
            "and no junction knows a rank.",
        )
    for ring in rings_without_a_mover(case):
        yield Upset(
            design=number,
            subject=ring[0],
            what="standing ring",
            text=f"Nothing drives the ring {' - '.join(ring)}: it turns where a rank gives it the way, "
            "but no pump stands in it, and a pump before it finds no way out while it recirculates.",
        )


def rings_without_a_mover(case: LoopCase) -> list[tuple[str, ...]]:
    """Return the parts of each closed way, in the direction of flow, that passes neither store nor pump."""
    ends: dict[str, list[str]] = {}
    closed = {view.tag for role in ("store", "mover") for view in case.playing(role)}
    for line in case.lines:
        start, end = (text.partition(".")[0] for text in (line.start, line.end))
        if start not in closed and end not in closed:
            ends.setdefault(start, []).append(end)
    found: dict[frozenset[str], tuple[str, ...]] = {}
    for first in sorted(ends):
        ring = _way_back(ends, first)
        if ring:
            found.setdefault(frozenset(ring), ring)
    return list(found.values())


def _way_back(ends: dict[str, list[str]], first: str) -> tuple[str, ...]:
    """Return the shortest closed way from a part back to itself, empty if there is none."""
    waiting: list[tuple[str, ...]] = [(first,)]
    seen = {first}
    while waiting:
        way = waiting.pop(0)
        for tag in ends.get(way[-1], ()):
            if tag == first:
                return way
            if tag not in seen:
                seen.add(tag)
                waiting.append((*way, tag))
    return ()
