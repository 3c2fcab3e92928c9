"""What stands in a circuit, what an emptying of it leaves behind, how cold and how hot it gets."""

from brinewright.errors import InputError
from brinewright.plan.outflow import outflow
from brinewright.plan.pipework import LITRES, Pipework
from brinewright.plan.section import enclose
from brinewright.results import Result

FILM = 0.01
"""Share of what runs out that stays on walls and in machines all the same [1]; common practice, no source."""


def _of_circuit(pipes: Pipework, circuit: str) -> tuple[list[str], list[str]]:
    """Return the lines of a circuit, and its stores."""
    lines = [tag for tag in pipes.lines if pipes.circuit(tag) == circuit]
    return lines, [tag for tag in pipes.stores if pipes.circuit(tag) == circuit]


def liquid_volume(pipes: Pipework, circuit: str) -> float:
    """Return all liquid of a circuit at its start [l]."""
    lines, stores = _of_circuit(pipes, circuit)
    held = sum(LITRES * pipes.views[tag].number("volume") * _level(pipes, tag) for tag in stores)
    sides = {
        (end.tag, end.side)
        for line in lines
        for end in (pipes.end(line, start=True), pipes.end(line, start=False))
    }
    return held + sum(map(pipes.litres, lines)) + sum(pipes.litres(tag, side) for tag, side in sides)


def _level(pipes: Pipework, store: str) -> float:
    return pipes.views[store].begins_at("level") or 0.0


def left_behind(pipes: Pipework, circuit: str, volume: float) -> float:
    """Return what an emptying of all of a circuit leaves behind: pockets, heels of tanks, a film [1]."""
    lines, stores = _of_circuit(pipes, circuit)
    account = outflow(pipes, enclose(pipes, lines), {tag: _level(pipes, tag) for tag in pipes.stores})
    if not account.relief.is_known:
        raise InputError(
            "Heights are missing, so it cannot be judged what an emptying leaves behind. State the "
            "share of the "
            "content that stays (--left 4 %), or the levels of the lines."
        )
    drained = {on for tag in pipes.parts if pipes.is_drain(tag) for on in pipes.views[tag].refers("on")}
    heels = sum(
        LITRES * pipes.views[tag].number("volume") * pipes.views[tag].number("lowest_level")
        for tag in stores
        if tag not in drained
    )
    kept = sum(content.stays for content in account.contents) + heels
    return (kept + FILM * (volume - kept)) / volume


def extremes(pipes: Pipework, circuit: str, result: Result | None) -> tuple[float, float]:
    """Return the coldest and the hottest liquid of a circuit over every tick of a run [K]."""
    if result is None:
        return float("nan"), float("nan")
    found = [
        result[tag][name]
        for tag in (*pipes.lines, *pipes.parts)
        if tag in result and pipes.circuit(tag) == circuit
        for name in ("inlet temperature", "outlet temperature")
        if name in result[tag]
    ]
    return min(series.min for series in found), max(series.max for series in found)
