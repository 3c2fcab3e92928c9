"""What is locked before a section is opened, and the two ways in which each is proved safe."""

from collections.abc import Iterable

from brinewright.plan.drainage import Lock
from brinewright.plan.outage import heats, stopped, vessels_touched
from brinewright.plan.pipework import Pipework
from brinewright.plan.section import Section


def locks(pipes: Pipework, section: Section) -> tuple[Lock, ...]:
    """Return the lock list: valves, supplies of machines, and every source of energy that reaches in.

    Each has two proofs that do not hang on each other (trade practice after OSHA 1910.147 and
    ISO 14118; titles from memory).
    """
    return tuple(_once([*_valves(pipes, section), *_supplies(pipes, section), *_sources(pipes, section)]))


def _once(rows: Iterable[Lock]) -> list[Lock]:
    seen: dict[tuple[str, str], Lock] = {}
    for row in rows:
        seen.setdefault((row.tag, row.what), row)
    return list(seen.values())


def _valves(pipes: Pipework, section: Section) -> list[Lock]:
    rows = []
    for one in section.isolations:
        if not one.position:
            continue
        state = f"locked {one.position}" if one.position == "shut" else f"locked at {one.position}"
        rows.append(
            Lock(
                tag=one.tag,
                what="valve",
                state=state,
                proofs=(
                    f"its indicator stands at {one.position}",
                    f"no liquid comes from {one.line} at an opened drain or vent point",
                ),
            )
        )
        if feeder := pipes.views[one.tag].feeder:
            rows.append(_supply(feeder, one.tag, f"drive of {one.tag}"))
    return rows


def _supply(feeder: str, machine: str, what: str) -> Lock:
    return Lock(
        tag=f"{machine} at {feeder}",
        what=f"supply of {what}" if what != machine else "supply of a machine",
        state="switched off at its own breaker and locked",
        proofs=(f"no voltage at the terminals of {machine}", f"{machine} does not start when it is told to"),
    )


def _supplies(pipes: Pipework, section: Section) -> list[Lock]:
    machines = [tag for tag in (*section.parts, *stopped(pipes, section)) if pipes.views[tag].feeder]
    return [_supply(pipes.views[tag].feeder, tag, tag) for tag in machines]


def _sources(pipes: Pipework, section: Section) -> list[Lock]:
    rows = []
    for vessel in vessels_touched(pipes, section):
        rows.append(
            Lock(
                tag=vessel,
                what="steam vessel",
                state="cooled, its pressure let down to that of the surroundings",
                proofs=(
                    "its pressure gauge reads nothing above the surroundings",
                    "its temperature is below the limit",
                ),
            )
        )
        rows += [_source(tag) for tag in heats(pipes, vessel) if not pipes.views[tag].feeder]
        rows += [
            _turbine(tag)
            for tag in pipes.parts
            if vessel in pipes.views[tag].refers("vessel") and pipes.views[tag].gives("generated")
        ]
    return rows


def _source(tag: str) -> Lock:
    return Lock(
        tag=tag,
        what="heat source",
        state="stopped and locked",
        proofs=("its isolating device is seen to be shut", "the temperature behind it falls"),
    )


def _turbine(tag: str) -> Lock:
    return Lock(
        tag=tag,
        what="turbine",
        state="steam shut off and drained, generator breaker open and locked",
        proofs=("its shaft stands still", "no voltage at the generator's terminals"),
    )
