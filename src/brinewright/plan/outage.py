"""What the rest of the plant does while a section is shut off, by running it."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from brinewright.model.loop import Force
from brinewright.plan.drainage import Aid, Cooling, Meanwhile
from brinewright.plan.pipework import Pipework
from brinewright.plan.section import Section
from brinewright.results import Result
from brinewright.run.simulate import simulate

COOL_LIQUID = 313.15
"""Liquid and metal cooler than this may be opened [K]; common practice, no source."""
COOL_VESSEL = 368.15
"""A vessel cooler than this may have its coolant side opened [K]; common practice, no source."""
BELOW_BOILING = 5.0
"""How far below boiling at the local pressure that must be at least [K]; common practice, no source."""
WORTH_HOLDING = 1.2
"""How many times longer the consumers must stay cold for a valve to be held by hand [1]."""
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Outage:
    """Two runs over the same hours: the undisturbed plant, and the one with the section shut off."""

    before: Result
    shut: Result
    shut_at: float
    """[s]"""
    watched: float
    """[s]"""

    def after(self, result: Result, tag: str, quantity: str) -> Floats | None:
        """Return the samples of a channel since the section was shut off, in SI; None without it."""
        if tag not in result or quantity not in result[tag]:
            return None
        series = result[tag][quantity]
        return np.asarray(series.values, dtype=np.float64)[series.times >= self.shut_at - 0.5]

    @property
    def times(self) -> Floats:
        """Return the sample times since the section was shut off [s]."""
        return self.shut.times[self.shut.times >= self.shut_at - 0.5] - self.shut_at


def vessels_touched(pipes: Pipework, section: Section) -> tuple[str, ...]:
    """Return the steam vessels in which parts of the section stand, or from which they draw."""
    found = set()
    for tag in section.parts:
        view = pipes.views[tag]
        found |= {
            other for other in (view.inside, *view.refers("vessel")) if other and is_vessel(pipes, other)
        }
    return tuple(sorted(found))


def is_vessel(pipes: Pipework, tag: str) -> bool:
    """Tell whether a part holds water and steam: steam is drawn from it."""
    return any(channel.name == "steam out" for channel in pipes.views[tag].declared.channels)


def heats(pipes: Pipework, vessel: str) -> tuple[str, ...]:
    """Return what heats a vessel: machines that stand in it, and sources into it."""
    return tuple(
        tag
        for tag in pipes.parts
        if _runs(pipes, tag)
        and (pipes.views[tag].inside == vessel or vessel in pipes.views[tag].refers("into"))
    )


def _runs(pipes: Pipework, tag: str) -> bool:
    return any(channel.name == "running" for channel in pipes.views[tag].declared.channels)


def stopped(pipes: Pipework, section: Section) -> tuple[str, ...]:
    """Return the machines that stop: those of the section, and what heats a vessel it stands in."""
    own = [tag for tag in section.parts if _runs(pipes, tag) and not pipes.is_consumer(tag)]
    others = [tag for vessel in vessels_touched(pipes, section) for tag in heats(pipes, vessel)]
    return tuple(dict.fromkeys((*own, *others)))


def forces(pipes: Pipework, section: Section, shut_at: float) -> tuple[Force, ...]:
    """Return what is held from then on: valves, machines and, where flow is declared, every line."""
    held = [
        Force(target=f"{one.tag}.position", value=float(one.position == "a"), start=shut_at)
        for one in section.isolations
        if one.position
    ]
    held += [Force(target=f"{tag}.running", value=0.0, start=shut_at) for tag in stopped(pipes, section)]
    if pipes.rules.world == "stylised":
        held += [Force(target=f"{tag}.capacity", value=0.0, start=shut_at) for tag in section.lines]
    return tuple(held)


def shut_off(
    pipes: Pipework,
    section: Section,
    *,
    shut_at: float,
    watched: float,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Outage:
    """Run the plant twice over the same hours, undisturbed and with the section shut off.

    Parameters
    ----------
    pipes, section : what is shut off
    shut_at : when, from the start of the run [s]
    watched : how long after that [s]
    folder : where a weather file that the site names is looked for
    progress : called with simulated and total time of both runs [s]
    """
    total = shut_at + watched
    made = []
    loops = (pipes.loop, replace(pipes.loop, forces=(*pipes.loop.forces, *forces(pipes, section, shut_at))))
    for index, loop in enumerate(loops):

        def told(done: float, _: float, already: float = index * total) -> None:
            if progress:
                progress(already + done, 2.0 * total)

        made.append(simulate(loop, pipes.rules, duration=total, folder=folder, progress=told))
    return Outage(made[0], made[1], shut_at, watched)


def meanwhile(pipes: Pipework, section: Section, outage: Outage) -> tuple[Meanwhile, ...]:
    """Return how each consumer fares, those that leave their limits first in front."""
    found = [
        one
        for tag in pipes.parts
        if pipes.is_consumer(tag)
        for one in [_fares(pipes, section, outage, tag)]
        if one is not None
    ]
    return tuple(sorted(found, key=lambda one: (math.inf if one.holds is None else one.holds, one.tag)))


def aids(
    pipes: Pipework, section: Section, outage: Outage, consumers: Sequence[Meanwhile], folder: Path | None
) -> tuple[Aid, ...]:
    """Return valves outside the section that are better held by hand than left to their switches.

    Where part of a ring is gone, a switch may go on sending liquid where nothing cools it.  Each
    three-way valve is tried at both of its positions, by a run each.
    """
    first = _first_loss(consumers)
    if first is None:
        return ()
    taken = {*section.parts, *(one.tag for one in section.isolations)}
    found = []
    for tag in pipes.parts:
        if tag in taken or not pipes.is_selector(tag):
            continue
        for position in ("a", "b"):
            hold = Force(target=f"{tag}.position", value=float(position == "a"), start=outage.shut_at)
            held = (*pipes.loop.forces, *forces(pipes, section, outage.shut_at), hold)
            total = outage.shut_at + outage.watched
            shut = simulate(replace(pipes.loop, forces=held), pipes.rules, duration=total, folder=folder)
            lasts = _first_loss(meanwhile(pipes, section, replace(outage, shut=shut)))
            if lasts is None or lasts > WORTH_HOLDING * first:
                found.append(Aid(tag=tag, position=position, holds=lasts, instead_of=first))
    return tuple(sorted(found, key=lambda one: -math.inf if one.holds is None else -one.holds))


def _first_loss(consumers: Sequence[Meanwhile]) -> float | None:
    return min((one.holds for one in consumers if one.holds is not None), default=None)


def _fares(pipes: Pipework, section: Section, outage: Outage, tag: str) -> Meanwhile | None:
    shut, normal = (outage.after(run, tag, "temperature") for run in (outage.shut, outage.before))
    view = pipes.views[tag]
    if shut is None or normal is None or not len(shut):
        return None
    highest = view.number("highest_temperature")
    lowest = view.number("lowest_temperature") if view.has("lowest_temperature") else -math.inf
    out = (shut > highest) | (shut < lowest)
    holds = float(outage.times[int(np.argmax(out))]) if out.any() else None
    is_cold = lowest - shut.min() > shut.max() - highest
    flow = outage.after(outage.shut, tag, "flow")
    dry = flow is not None and len(flow) > 2 and float(np.abs(flow[2:]).max()) < 1e-6
    return Meanwhile(
        tag=tag,
        is_cut_off=tag in section.parts or dry,
        limit=lowest if is_cold else highest,
        worst=float(shut.min() if is_cold else shut.max()),
        normally=float(normal.min() if is_cold else normal.max()),
        holds=holds,
        essential=view.declares("essential") and view.flag("essential"),
    )


def cooling(pipes: Pipework, section: Section, outage: Outage) -> tuple[Cooling, ...]:
    """Return when liquid, metal and vessels are cool enough to be opened, the last one in front."""
    rows = []
    around = pipes.site("ambient_temperature", 293.15)
    hottest = max(section.lines, key=lambda tag: _now(outage, tag, "temperature"), default="")
    if hottest:
        rows.append(_cools(outage, hottest, "temperature", "liquid", COOL_LIQUID, around))
    for tag in section.parts:
        inside = pipes.views[tag].inside
        # what stands in a vessel is as hot as the vessel, and waits for it
        limit = vessel_limit(pipes, inside) if inside and is_vessel(pipes, inside) else COOL_LIQUID
        rows.append(_cools(outage, tag, "metal temperature", "metal", limit, around))
    for vessel in vessels_touched(pipes, section):
        limit = vessel_limit(pipes, vessel)
        rows.append(_cools(outage, vessel, "temperature", "vessel", limit, around))
    found = [row for row in rows if row is not None]
    return tuple(sorted(found, key=lambda one: (-math.inf if one.after is None else -one.after, one.tag)))


def vessel_limit(pipes: Pipework, vessel: str) -> float:
    """Return the temperature below which a vessel's coolant side may be opened [K]."""
    view = pipes.views[vessel]
    if view.declares("boils") and view.has("boils"):
        boils = view.number("boils")
    else:
        from brinewright.fluids import property_value

        ambient = pipes.site("ambient_pressure", 101325.0)
        boils = float(property_value("water", "saturation temperature", pressure=ambient).value)
    return min(COOL_VESSEL, boils - BELOW_BOILING)


def _now(outage: Outage, tag: str, quantity: str) -> float:
    samples = outage.after(outage.shut, tag, quantity)
    return float(samples[0]) if samples is not None and len(samples) else -math.inf


def _cools(outage: Outage, tag: str, quantity: str, what: str, limit: float, around: float) -> Cooling | None:
    samples = outage.after(outage.shut, tag, quantity)
    if samples is None or not len(samples):
        return None
    after, basis = _falls_below(outage.times, samples, limit, around)
    return Cooling(tag=tag, what=what, begins=float(samples[0]), limit=limit, after=after, basis=basis)


def _falls_below(times: Floats, samples: Floats, limit: float, around: float) -> tuple[float | None, str]:
    """Return when samples stay below a limit, and whether that was seen or goes on beyond the run.

    Beyond the run the second half of it is followed on, as a lump that cools to its surroundings.
    """
    above = np.flatnonzero(samples > limit)
    if not len(above):
        return 0.0, "now"
    if above[-1] + 1 < len(samples):
        return float(times[above[-1] + 1]), "run"
    half, last = samples[len(samples) // 2] - around, samples[-1] - around
    if not (half > last > 0.0 and limit > around):
        return None, "run"
    rate = math.log(half / last) / (times[-1] - times[len(samples) // 2])
    return float(times[-1] + math.log(last / (limit - around)) / rate), "beyond the run"


def levels(pipes: Pipework, outage: Outage) -> tuple[dict[str, float], dict[str, float], Sequence[Floats]]:
    """Return how full each store is when the section is shut off, at most before, and all samples [1]."""
    now, fullest, rows = {}, {}, []
    for store in pipes.stores:
        series = outage.before[store]["level"]
        samples = np.asarray(series.values, dtype=np.float64)
        now[store] = _now(outage, store, "level")
        fullest[store] = max(float(samples.max()), series.max)
        rows.append(samples)
    return now, fullest, rows
