"""`drain`: whether part of a loop can be emptied, where the liquid goes, who goes without, in which order."""

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from brinewright.errors import InputError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.loop import Loop
from brinewright.model.margins import USUAL
from brinewright.model.rulebook import Rulebook
from brinewright.plan.cautions import cautions
from brinewright.plan.drainage import Cooling, Drainage, Meanwhile, Obstacle
from brinewright.plan.locks import locks
from brinewright.plan.outage import aids, cooling, levels, meanwhile, shut_off, stopped
from brinewright.plan.outflow import Outflow, outflow, unjudged
from brinewright.plan.pipework import Pipework
from brinewright.plan.rooms import Balance, balance
from brinewright.plan.section import WHOLE, Section, enclose
from brinewright.plan.steps import procedure, retested, span, way_back

HOUR = 3600.0


def drain(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    sections: Iterable[str] = (WHOLE,),
    shut_at: float = 6.0 * HOUR,
    watched: float = 24.0 * HOUR,
    pump: float | None = None,
    full: Mapping[str, float] | None = None,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Drainage:
    """Return how part of a loop is emptied and opened, and what the rest of it does meanwhile.

    Hold-up, ways and times are computed from lengths, bores and heights; what the plant does is
    found by running it, once undisturbed and once with the section shut off.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names, among those that ship
    sections : names of sections, tags of lines or parts, or "all"
    shut_at : when in the run the section is shut off [s]
    watched : how long the plant is watched after that [s]
    pump : volume flow of the pump that lifts what does not run by itself [m3/s]; None for none stated
    full : how full stores are taken to be, instead of what the run says [1]
    folder : where a weather file that the site names is looked for
    progress : called with simulated and total time [s]

    Raises
    ------
    UnknownNameError
        If a name is neither a section nor a tag.
    RunError
        If one of the two runs could not be finished.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> answer = bw.drain(loop, sections=["direct"])
    >>> answer.fits, round(answer.hold_up)
    (True, 1100)
    """
    if shut_at < 0.0 or watched < HOUR:
        raise InputError("The plant must be watched for an hour at least, from its start or later.")
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    pipes = Pipework(loop, rules)
    section = enclose(pipes, sections)
    outage = shut_off(pipes, section, shut_at=shut_at, watched=watched, folder=folder, progress=progress)
    now = {**levels(pipes, outage)[0], **(full or {})}
    account = outflow(pipes, section, now, pump=pump)
    if not account.relief.is_known:
        account.contents = unjudged(pipes, section, now)
    contents = tuple(account.contents)
    reserve = float(loop.margins.get("drain", USUAL["drain"]))  # type: ignore[arg-type]
    sums = balance(pipes, section, outage, contents, account.given(), now, reserve)
    list_of_locks = locks(pipes, section)
    cool = cooling(pipes, section, outage)
    consumers = meanwhile(pipes, section, outage)
    helpful = aids(pipes, section, outage, consumers, folder)
    retest = retested(pipes, section, stopped(pipes, section))
    least = _least_time(account)
    return Drainage(
        name=loop.name,
        world=rules.world,
        section=section.asked,
        beyond=section.beyond,
        left=section.left,
        contents=contents,
        hold_up=sums.hold_up,
        swell=sums.swell,
        needed=sums.needed,
        free=sums.free,
        free_at_worst=sums.free_at_worst,
        margin=sums.margin,
        isolations=section.isolations,
        openings=section.openings,
        locks=list_of_locks,
        outlets=tuple(account.outlets),
        pockets=tuple(account.pockets),
        vents=tuple(account.vents),
        unvented=tuple(account.unvented),
        rooms=sums.rooms,
        transfers=sums.transfers,
        unknown_heights=tuple(account.relief.unknown),
        least_time=least,
        cooling=cool,
        meanwhile=consumers,
        aids=helpful,
        watched=watched,
        shut_at=shut_at,
        steps=procedure(pipes, section, account, sums, list_of_locks, cool, consumers, helpful),
        way_back=way_back(pipes, section, account, sums, list_of_locks, retest),
        retest=retest,
        faults=tuple(_faults(pipes, section, account, sums, cool, consumers, least or 0.0)),
        cautions=cautions(pipes, section),
    )


def _least_time(account: Outflow) -> float | None:
    """Return the time until everything is out: outlets side by side, then what is pumped, one by one."""
    times = {means: [] for means in ("gravity", "pump")}  # type: dict[str, list[float]]
    for outlet in account.outlets:
        if outlet.least_time is None:
            return None
        times[outlet.means].append(outlet.least_time)
    return max(times["gravity"], default=0.0) + sum(times["pump"])


def _faults(
    pipes: Pipework,
    section: Section,
    account: Outflow,
    sums: Balance,
    cool: tuple[Cooling, ...],
    consumers: tuple[Meanwhile, ...],
    least: float,
) -> list[Obstacle]:
    found = []
    stores = tuple(room.store for room in sums.rooms)
    if sums.margin < 0.0:
        lacks = sums.needed - sums.free
        found.append(
            _fault(
                "BW-F97", "C", stores,
                f"{sums.needed:.0f} l must be free for {sums.hold_up:.0f} l with reserve; "
                f"{sums.free:.0f} l are.",
                f"Empty it section by section, or add a drain tank of at least {lacks:.0f} l below the loop.",
            )
        )  # fmt: skip
    elif sums.free_at_worst < sums.needed:
        found.append(
            _fault(
                "BW-F97", "W", stores,
                f"At another hour only {sums.free_at_worst:.0f} l of the {sums.needed:.0f} l needed "
                "are free.",
                "Shut it off when the tanks stand low, as in this run.",
            )
        )  # fmt: skip
    found += [
        _fault("isolation", "C" if one.store else "W", (one.tag, one.line), one.text, one.remedy)
        for one in section.openings
    ]
    found += [_fault("BW-F98", "W", pocket.tags, pocket.text, pocket.remedy) for pocket in account.pockets]
    found += [_fault("BW-F99", "W", pocket.tags, pocket.text, pocket.remedy) for pocket in account.unvented]
    for outlet in account.outlets:
        if outlet.means == "pump" and pipes.is_drain(outlet.tag) and pipes.views[outlet.tag].refers("into"):
            found.append(
                _fault(
                    "BW-F100", "W", (outlet.tag, outlet.into),
                    f"{outlet.tag} at {outlet.height:g} m leads into {outlet.into}, which is filled up to "
                    f"{pipes.brim(outlet.into):g} m: {outlet.litres:.0f} l need lifting.",
                    "Lead it into a lower tank, or keep a pump for it.",
                )
            )  # fmt: skip
    if account.relief.unknown:
        found.append(
            _fault(
                "heights", "W", tuple(account.relief.unknown),
                "These lines state no heights, so it cannot be judged what runs out by itself.",
                'Write levels = ["0.4 m", "1.2 m"] at each.',
            )
        )  # fmt: skip
    waits = [one.after for one in cool]
    for one in cool:
        if one.after is None:
            found.append(
                _fault(
                    "cooling", "C", (one.tag,),
                    f"The {one.what} {one.tag} does not come below {one.limit - 273.15:.0f} degC by itself.",
                    "Cool it by other means before anything is opened.",
                )
            )  # fmt: skip
    span_needed = max((wait for wait in waits if wait is not None), default=0.0) + least
    for consumer in consumers:
        if consumer.holds is not None and consumer.holds < span_needed + HOUR:
            found.append(
                _fault(
                    "BW-F92", "C" if consumer.essential else "W", (consumer.tag,),
                    f"{consumer.tag} leaves its limits {span(consumer.holds)} after the section is shut off; "
                    f"cooling down and emptying take {span(span_needed)} before any work begins.",
                    "Bring other cooling, or a store of cold liquid, before it is shut off.",
                )
            )  # fmt: skip
    return found


def _fault(code: str, severity: str, subject: tuple[str, ...], text: str, remedy: str) -> Obstacle:
    return Obstacle(code=code, severity=severity, subject=subject, text=text, remedy=remedy)
