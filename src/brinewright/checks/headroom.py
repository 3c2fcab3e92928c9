"""How much more of everything a loop takes, until which limit."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from brinewright.checks import catalogue
from brinewright.checks.case import LoopCase
from brinewright.checks.chilling import loop_load
from brinewright.checks.circulation import NO_LIMIT, largest_flow
from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.exchanges import Exchange
from brinewright.checks.finding import Finding, shown
from brinewright.checks.loads import consumer_heat
from brinewright.checks.room import Room
from brinewright.checks.timeline import Timeline
from brinewright.checks.vessels import Vessel, vessels
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Loop

OF_LOAD = (("BW-F34", "BW-F74"), ("BW-F35",))
OF_HEAT = ("BW-F51", "BW-F52", "BW-F53", "BW-F72", "BW-F82")
OF_AMBIENT = ("BW-F04", "BW-F34", "BW-F35", "BW-F49", "BW-F50", "BW-F72")
OF_SETTING = ("BW-F01", "BW-F15", "BW-F15b", "BW-F16", "BW-F16b", "BW-F64", "BW-F67", "BW-F52", "BW-F53")
OF_THRESHOLD = ("BW-F50", "BW-F52", "BW-F64", "BW-F82")
WARMER, COLDER = ("BW-F05", "BW-F10"), ("BW-F01", "BW-F13")
"""Criteria whose temperatures move with all set points of a declared loop, kelvin by kelvin."""

SHARE = 1e-4
"""How closely a limit is found, as a share of the way to it [-]."""
CLOSE = 1e-3
"""The same as a share of the first step [-]."""
ROUNDS = 40


def headroom(case: LoopCase) -> tuple[Room, ...]:
    """Return how much more of everything a loop takes, and how far its set points may move.

    Judged by the closed forms and static criteria; what the shared run found is kept as it is.

    Example
    -------
    >>> import brinewright as bw
    >>> case = LoopCase(bw.read_loop(bw.scenario("kettle-ridge")), bw.read_rulebook("kettle"))
    >>> [(room.code, round(room.room / 1e3)) for room in headroom(case) if room.quantity == "load"]
    [('BW-F34', 407), ('BW-F35', 167)]
    """
    return (
        *_load(case),
        *_heat(case),
        *_flow(case),
        *_ambient(case),
        *_together(case),
        *_settings(case),
        *_thresholds(case),
    )


Judged = Sequence[Finding]


def _judge(case: LoopCase, codes: Iterable[str]) -> Judged:
    found: list[Finding] = []
    for code in codes:
        criterion = catalogue.criterion_named(code)
        if criterion.world in ("both", case.rules.world):
            found += [Finding(criterion, measure) for measure in criterion.judge(case)]
    return found


def _room_left(finding: Finding) -> float:
    """Return the margin of a judgement as a share of its limit; of what is there or not, 1 or -1."""
    if finding.measure.quantity == "count":
        return -1.0 if finding.measure.is_broken else 1.0
    return finding.relative_margin


def farthest(judge: Callable[[float], Judged], step: float, far: float) -> tuple[float, Finding | None]:
    """Return how far one can go from 0 until a judgement breaks that is kept at 0, and which.

    Parameters
    ----------
    judge : returns the judgements at a distance
    step : a first distance
    far : beyond which no one looks; infinite is returned
    """

    def kept(findings: Judged) -> list[tuple[str, tuple[str, ...]]]:
        broken = {(f.code, f.subject) for f in findings if f.measure.is_broken}
        return [(f.code, f.subject) for f in findings if (f.code, f.subject) not in broken]

    here = judge(0.0)
    watched = set(kept(here))

    def worst(findings: Judged) -> tuple[float, Finding | None]:
        left = [(_room_left(f), f) for f in findings if (f.code, f.subject) in watched]
        return min(left, key=lambda pair: pair[0], default=(1.0, None))

    low, (above, _) = 0.0, worst(here)
    high = step
    below, finding = worst(judge(high))
    while below >= 0.0:
        if high >= far or finding is None:
            return math.inf, None
        reach = 2.0 * high
        if above > below:
            reach = min(max(1.02 * (high + below * (high - low) / (above - below)), 1.2 * high), 8.0 * high)
        low, above = high, below
        high = min(reach, far)
        below, finding = worst(judge(high))
    for _ in range(ROUNDS):
        if high - low <= max(SHARE * high, CLOSE * step):
            break
        middle = low + (high - low) * min(max(above / (above - below), 0.02), 0.98)
        left, broken = worst(judge(middle))
        if left >= 0.0:
            low, above = middle, left
            below *= 0.5
        else:
            high, below, finding = middle, left, broken
            above *= 0.5
    return low, finding


def _found(
    quantity: str,
    subject: tuple[str, ...],
    now: float,
    unit: str,
    way: tuple[float, Finding | None],
    *,
    down: bool = False,
    advice: str = "",
) -> Room:
    distance, finding = way
    return Room(
        quantity=quantity,
        direction="down" if down else "up",
        subject=subject,
        now=now,
        limit=now - distance if down else now + distance,
        unit=unit,
        code=finding.code if finding else "",
        at=finding.subject if finding else (),
        title=finding.criterion.title if finding else "",
        text=finding.measure.text if finding else "",
        advice=advice,
    )


def _more_load(case: LoopCase, watts: float) -> LoopCase:
    declared = case.once(declared_plant)
    if not isinstance(declared, Declared):
        return case.supposing({loop_load: case.once(loop_load) + watts})
    plant = replace(declared.plant, load=declared.plant.load + watts)
    return case.supposing({declared_plant: replace(declared, plant=plant, peak=declared.peak + watts)})


def _load(case: LoopCase) -> Iterator[Room]:
    consumers = [view for view in case.playing("consumer") if view.connected("in")]
    if not consumers or not case.playing("cooler"):
        return
    now = case.once(loop_load)
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        now = declared.plant.load
    ways = [
        farthest(
            lambda watts, codes=codes: _judge(_more_load(case, watts), codes),  # type: ignore[misc]
            0.05 * now,
            20.0 * now,
        )
        for codes in OF_LOAD
    ]
    for way in ways:
        if way[1] is not None:
            yield _found("load", tuple(view.tag for view in consumers), now, "power", way)
    way = ways[0]
    timeline = Timeline(case.loop)
    for use in sorted({part.use for part in case.loop.parts if part.tag in {v.tag for v in consumers}}):
        alike = [view for view in consumers if view.tag in _tags_of(case, use)]
        heats = [_mean_heat(case, timeline, view.tag) for view in alike]
        mean = sum(heats) / len(heats)
        if mean <= 0.0:
            continue
        count = math.floor(way[0] / mean) if math.isfinite(way[0]) else math.inf
        room = _found("consumers", tuple(v.tag for v in alike), float(len(alike)), "count", (count, way[1]))
        yield replace(room, advice=f" Each such {alike[0].kind} brings {mean / 1e3:.4g} kW.")


def _tags_of(case: LoopCase, use: str) -> set[str]:
    return {part.tag for part in case.loop.parts if part.use == use}


def _mean_heat(case: LoopCase, timeline: Timeline, tag: str) -> float:
    view = case.views[tag]
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        supply = declared.plant.set_point - 0.5 * declared.plant.drop
        flow = declared.plant.flow / len(declared.consumer_tags)
        around = declared.plant.surroundings
        return timeline.span(lambda time: consumer_heat(view, timeline, time, supply, flow, around))[1]
    seen = case.seen(tag, "cooling")
    return seen.mean if seen else 0.0


def _warmed(case: LoopCase, tag: str, watts: float) -> LoopCase:
    """Return the case with more heat into one vessel."""
    declared = case.once(declared_plant)
    known: dict[Callable[..., Any], Any] = {}
    if isinstance(declared, Declared) and declared.vessel == tag:
        more = Exchange("more heat", watts, watts)
        known[declared_plant] = replace(declared, exchanges=(*declared.exchanges, more))
    other = case.supposing(known)
    warmer = [
        Vessel(other, vessel.view, extra=watts if vessel.tag == tag else 0.0) for vessel in case.once(vessels)
    ]
    return other.supposing({vessels: warmer})


def _heat(case: LoopCase) -> Iterator[Room]:
    for vessel in case.once(vessels):
        if not vessel.turbines:
            continue
        found = case.seen(vessel.tag, "heat in")
        now = found.mean if found else 0.0
        if vessel.declared is not None:
            now = vessel.declared.closed_form().turbine_heat
        way = farthest(
            lambda watts, tag=vessel.tag: _judge(_warmed(case, tag, watts), OF_HEAT),  # type: ignore[misc]
            0.05 * max(now, 1e3),
            100.0 * max(now, 1e3),
        )
        yield _found(
            "heat into the vessel", (vessel.tag,), now, "power", way, advice=_better(case, vessel, way[1])
        )


def _better(case: LoopCase, vessel: Vessel, finding: Finding | None) -> str:
    """Return which better material is needed beyond the limit, in words."""
    if finding is None or not vessel.limits:
        return ""
    limit, weakest = vessel.limits[0]
    tags = [tag for other, tag in vessel.limits if other == limit]
    view = case.views[weakest]
    allowed = {name for tag in tags for name in case.rules.entry(_use(case, tag)).materials}
    better = sorted(
        (material for material in case.rules.materials if material.limit > limit),
        key=lambda material: material.limit,
    )
    better = [material for material in better if not allowed or material.name in allowed]
    if not better or view.material is None:
        return ""
    stands = shown(better[0].limit, "temperature")
    return (
        f" Beyond that {', '.join(tags)} must be of {better[0].name}, which stands {stands}, not of "
        f"{view.material.name}."
    )


def _use(case: LoopCase, tag: str) -> str:
    return next(part.use for part in case.loop.parts if part.tag == tag)


def _flow(case: LoopCase) -> Iterator[Room]:
    consumers = {view.tag for view in case.playing("consumer") if view.connected("in")}
    if case.rules.world != "stylised" or not consumers:
        return
    now = largest_flow(case.views, case.lines, consumers)
    movers = {view.tag for view in case.playing("mover")}
    most = largest_flow(case.views, case.lines, consumers, unlimited=movers)
    yield Room(
        quantity="flow",
        direction="up",
        subject=tuple(sorted(consumers)),
        now=now,
        limit=most if most < NO_LIMIT else math.inf,
        unit="mass flow",
        text="lines, valves or the consumers themselves let no more through, whatever the pumps."
        if most < NO_LIMIT
        else "",
    )


def _changed(case: LoopCase, loop: Loop) -> LoopCase:
    return LoopCase(loop, case.rules, folder=case.folder, day=case.day)


def _ambient(case: LoopCase) -> Iterator[Room]:
    raw = case.loop.site.get("ambient_temperature", case.rules.site.get("ambient_temperature"))
    if not isinstance(raw, float):
        return
    for sign in (1.0, -1.0):

        def judge(kelvins: float, sign: float = sign) -> Judged:
            site = Frozen({**case.loop.site, "ambient_temperature": raw + sign * kelvins})
            return _judge(_changed(case, replace(case.loop, site=site)), OF_AMBIENT)

        far = 200.0 if sign > 0.0 else min(200.0, raw - 50.0)
        way = farthest(judge, 5.0, far)
        yield _found("ambient temperature", (), raw, "temperature", way, down=sign < 0.0)


def _together(case: LoopCase) -> Iterator[Room]:
    """Return how far all decisions of a declared loop may move together, its temperatures with them."""
    declared = case.once(declared_plant)
    if not isinstance(declared, Declared):
        return
    tags = tuple(decision.tag for decision in declared.decisions)
    now = declared.plant.set_point
    for codes, down in ((WARMER, False), (COLDER, True)):
        kept = [finding for finding in _judge(case, codes) if not finding.measure.is_broken]
        nearest = min(kept, key=lambda finding: finding.margin, default=None)
        way = (nearest.margin, nearest) if nearest else (math.inf, None)
        yield _found("set points together", tags, now, "temperature", way, down=down)


def _settings(case: LoopCase) -> Iterator[Room]:
    for switch in sorted(case.loop.switches, key=lambda switch: switch.tag):
        if switch.quantity != "temperature":
            continue
        for sign in (1.0, -1.0):

            def judge(kelvins: float, tag: str = switch.tag, sign: float = sign) -> Judged:
                moved = tuple(
                    replace(each, setting=each.setting + sign * kelvins) if each.tag == tag else each
                    for each in case.loop.switches
                )
                return _judge(_changed(case, replace(case.loop, switches=moved)), OF_SETTING)

            way = farthest(judge, 1.0, 60.0)
            if way[1] is not None:
                yield _found("set point", (switch.tag,), switch.setting, "temperature", way, down=sign < 0.0)


def _thresholds(case: LoopCase) -> Iterator[Room]:
    for view in case.parts:
        if not view.declares("threshold"):
            continue
        now = view.number("threshold")

        def judge(kelvins: float, tag: str = view.tag, now: float = now) -> Judged:
            parts = tuple(
                replace(part, values=Frozen({**part.values, "threshold": now + kelvins}))
                if part.tag == tag
                else part
                for part in case.loop.parts
            )
            return _judge(_changed(case, replace(case.loop, parts=parts)), OF_THRESHOLD)

        way = farthest(judge, 5.0, 1000.0)
        yield _found("threshold", (view.tag,), now, "temperature", way)
