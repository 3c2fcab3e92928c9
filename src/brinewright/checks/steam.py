"""Whether the heat of the vessel is carried away: by all turbines, by one less, by none."""

from collections.abc import Iterable

from brinewright.checks.equilibrium import Rest, rest, root
from brinewright.checks.numbers import degrees, known, lasting, watts
from brinewright.checks.vessels import HOTTEST, Source, Vessel, vessels
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number


def all_vessels(case: Case) -> Iterable[Vessel]:
    """Return the vessels of a case, worked out once."""
    return case.once(vessels)


def hottest_allowed(vessel: Vessel, margin: float) -> tuple[float, str]:
    """Return how hot a vessel may get, and the tag that says so; infinite where nothing does [K]."""
    limit, tag = vessel.limits[0] if vessel.limits else (float("inf"), "")
    if vessel.relief < limit - margin:
        return vessel.relief, vessel.tag
    return limit - margin, tag


def strongest(vessel: Vessel) -> str:
    """Return the tag of the turbine that is missed most."""
    return vessel.turbines[0].tag if vessel.turbines else ""


def in_the_balance(vessel: Vessel, turbines: int, found: Rest) -> tuple[Number, ...]:
    """Return the terms of a balance at its root."""
    return (
        known("N", turbines, "count", "turbines that run"),
        known("Phi_in", found.heat, "power", "heat into the vessel"),
        known("Phi_t", found.taken, "power", "taken by turbines"),
        known("T_thr", vessel.threshold, "temperature", "the first turbine starts"),
        known("T_eq", found.temperature, "temperature"),
    )


def slow_to_warm(case: Case) -> Iterable[Measure]:
    """Hold the time from cold to the first turbine against the time allowed."""
    for vessel in all_vessels(case):
        if not vessel.turbines:
            continue
        cold, starts = vessel.surroundings, vessel.threshold
        energy = vessel.stored(cold, starts)
        steps = 40
        width = (starts - cold) / steps
        time = 0.0
        for k in range(steps):
            middle = cold + (k + 0.5) * width
            net = vessel.chillers_mean(middle, 0) + vessel.others(middle) - vessel.loss(middle)
            part = vessel.stored(middle - 0.5 * width, middle + 0.5 * width)
            time = time + part / net if net > 0.0 else float("inf")
        most = vessel.chillers_full(cold) + vessel.others(cold, peak=True)
        yield Measure(
            subject=(vessel.tag,),
            value=time,
            limit=case.margin("warm_up"),
            quantity="time",
            bound="at most",
            text=f"From {degrees(cold)} the mean heat brings {vessel.tag} to the {degrees(starts)} of its "
            f"turbines in {lasting(time)}.",
            numbers=(
                known("E", energy, "energy", "to be stored from cold to the threshold"),
                known("T_0", cold, "temperature", "cold"),
                known("T_thr", starts, "temperature", "the first turbine starts"),
                known("t_all", energy / most if most > 0.0 else float("inf"), "time", "with everything on"),
                known("t_w", time, "time", "at the mean load, losses counted"),
            ),
        )


def never_hot(case: Case) -> Iterable[Measure]:
    """Hold the heat into a vessel at its threshold against what it loses there."""
    for vessel in all_vessels(case):
        if not vessel.turbines:
            continue
        starts = vessel.threshold
        heat = vessel.chillers_mean(starts, 0) + vessel.others(starts)
        loss = vessel.loss(starts)
        cold = rest(vessel, 0)
        yield Measure(
            subject=(vessel.tag, strongest(vessel)),
            value=heat,
            limit=loss,
            quantity="power",
            bound="at least",
            strict=True,
            text=f"At {degrees(starts)}, where the first turbine starts, {vessel.tag} gets {watts(heat)} and "
            f"loses {watts(loss)}.",
            numbers=(
                known("Phi_in", heat, "power", "into the vessel at the threshold"),
                known("UA", vessel.view.number("loss_conductance"), "conductance", "of the vessel"),
                known("T_thr", starts, "temperature"),
                known("T_amb", vessel.surroundings, "temperature"),
                known("T_eq", cold.temperature, "temperature", "without turbines"),
            ),
        )


def too_few_turbines(case: Case) -> Iterable[Measure]:
    """Hold what all turbines take at the hottest allowed against all heat at once."""
    for vessel in all_vessels(case):
        if not vessel.turbines:
            continue
        hottest, tag = hottest_allowed(vessel, case.margin("material"))
        if hottest >= HOTTEST or hottest <= 0.0:
            continue
        now = min(hottest, rest(vessel, vessel.count).temperature)
        heat = vessel.chillers_full(now) + vessel.others(now, peak=True)
        taken = vessel.taken(hottest, vessel.count)
        yield Measure(
            subject=(strongest(vessel), vessel.tag),
            value=taken,
            limit=heat,
            quantity="power",
            bound="at least",
            text=f"With everything on at once, {vessel.tag} gets {watts(heat)}; at the {degrees(hottest)} "
            f"that {tag} stands with its margin, its turbines take {watts(taken)}.",
            numbers=(
                known("N", vessel.count, "count", "turbines"),
                known("T_max", hottest, "temperature", f"allowed, by {tag}"),
                known("Phi_t", taken, "power", "taken by all turbines at T_max"),
                known("Phi_in", heat, "power", "every chiller and source on, at the vessel's rest"),
            ),
        )


def one_turbine_less(case: Case) -> Iterable[Measure]:
    """Hold the vessel with one turbine lost and everything on against the limit of its metal."""
    for vessel in all_vessels(case):
        hottest, tag = hottest_allowed(vessel, case.margin("material_in_a_fault"))
        if not vessel.turbines or hottest >= HOTTEST:
            continue
        left = vessel.count - 1
        found = rest(vessel, left, chillers="full", own_loss=False, trips=True)
        now = rest(vessel, left)
        yield Measure(
            subject=(strongest(vessel), vessel.tag),
            value=found.temperature,
            limit=hottest,
            quantity="temperature",
            bound="at most",
            text=f"With {_one_of(vessel.count)} lost and everything on, {vessel.tag} comes to "
            f"{degrees(found.temperature)}; {tag} stands {degrees(hottest)} in a fault.",
            numbers=(
                *in_the_balance(vessel, left, found),
                known("T_mean", now.temperature, "temperature", "at the mean load, losses counted"),
                known("T_max", hottest, "temperature", f"allowed in a fault, by {tag}"),
            ),
        )


def _one_of(count: int) -> str:
    return "its only turbine" if count == 1 else f"one of {count} turbines"


def all_blocked(case: Case) -> Iterable[Measure]:
    """Hold the time from blocked turbines to relief, or to the metal's limit, against a person's time."""
    for vessel in all_vessels(case):
        hottest, tag = hottest_allowed(vessel, 0.0)
        if hottest >= HOTTEST or not vessel.turbines:
            continue
        now = rest(vessel, vessel.count)
        begin = min(max(now.temperature, vessel.surroundings), hottest)
        time, heat = _time_to(vessel, begin, hottest)
        does = "is relieved" if hottest == vessel.relief else f"reaches the {degrees(hottest)} of {tag}"
        when = f"{does} after {lasting(time)}" if time < 1e9 else f"never reaches {degrees(hottest)}"
        yield Measure(
            subject=(vessel.tag, strongest(vessel)),
            value=time,
            limit=case.margin("time_to_act"),
            quantity="time",
            bound="at least",
            text=f"With all turbines blocked at {degrees(begin)} and everything on, {vessel.tag} {when}.",
            numbers=(
                known("T_0", begin, "temperature", "vessel at rest before"),
                known("T_1", hottest, "temperature", "relief or limit"),
                known("dU", vessel.stored(begin, hottest), "energy", "stored between them"),
                known("Phi_in", heat, "power", "at the start, everything on"),
                known("t", time, "time"),
            ),
        )


def _time_to(vessel: Vessel, begin: float, end: float) -> tuple[float, float]:
    """Return the time from one temperature to another with no turbine [s], and the heat at first [W].

    What a high switch of the vessel stops is off above its set point.
    """
    steps = 40
    width = (end - begin) / steps
    time, first = 0.0, 0.0
    for k in range(steps):
        at = begin + (k + 0.5) * width
        stopped = vessel.stopped_at(at)
        heat = vessel.chillers_full(at, stopped) + vessel.others(at, peak=True, without=stopped)
        first = first or heat
        net = heat - vessel.loss(at)
        if net <= 0.0:
            return float("inf"), first
        time += vessel.stored(at - 0.5 * width, at + 0.5 * width) / net
    return time, first


def threshold_near_limit(case: Case) -> Iterable[Measure]:
    """Hold the distance from the threshold to relief and to the metal's limit against its margin."""
    for vessel in all_vessels(case):
        hottest, tag = hottest_allowed(vessel, 0.0)
        if not vessel.turbines or hottest >= HOTTEST:
            continue
        starts = vessel.threshold
        yield Measure(
            subject=(strongest(vessel), tag),
            value=hottest - starts,
            limit=case.margin("threshold_to_limit"),
            quantity="temperature difference",
            bound="at least",
            text=f"The first turbine starts at {degrees(starts)}, and {tag} stands {degrees(hottest)}.",
            numbers=(
                known("T_thr", starts, "temperature"),
                known("T_lim", hottest, "temperature", f"of {tag}"),
            ),
        )


def unstopped_source(case: Case) -> Iterable[Measure]:
    """Hold how hot a source could make the vessel by itself against the limit of its metal."""
    for vessel in all_vessels(case):
        hottest, tag = hottest_allowed(vessel, 0.0)
        if hottest >= HOTTEST:
            continue
        for source in vessel.sources:
            reached = _alone(vessel, source)
            trips = [trip for trip in vessel.trips if source.tag in trip.stops]
            by = f" {trips[0].tag} shuts it off at {degrees(trips[0].setting)}." if trips else ""
            if trips:
                reached = min(reached, trips[0].setting)
            yield Measure(
                subject=(source.tag, vessel.tag),
                value=reached,
                limit=hottest,
                quantity="temperature",
                bound="at most",
                text=f"{source.tag} alone could bring {vessel.tag} to {degrees(reached)}; {tag} stands "
                f"{degrees(hottest)}.{by}",
                numbers=(
                    known("T_src", reached, "temperature", "vessel that the source alone heats"),
                    known("T_lim", hottest, "temperature", f"of {tag}"),
                ),
            )


def _alone(vessel: Vessel, source: Source) -> float:
    """Return the temperature to which a source alone brings a vessel [K]."""

    def surplus(temperature: float) -> float:
        return source.heat(temperature, peak=True) - vessel.loss(temperature)

    if surplus(vessel.surroundings) <= 0.0:
        return vessel.surroundings
    reached = root(surplus, vessel.surroundings)
    return float("inf") if reached is None else reached


def source_as_sink(case: Case) -> Iterable[Measure]:
    """Hold the heat of each source at the vessel's rest against none."""
    for vessel in all_vessels(case):
        found = rest(vessel, vessel.count)
        if found.temperature >= HOTTEST:
            continue
        for source in vessel.sources:
            heat = source.heat(found.temperature)
            yield Measure(
                subject=(source.tag, vessel.tag),
                value=heat,
                limit=0.0,
                quantity="power",
                bound="at least",
                text=f"At the {degrees(found.temperature)} at which {vessel.tag} rests, {source.tag} gives "
                f"{watts(heat)}.",
                numbers=(
                    known("T_eq", found.temperature, "temperature", "vessel at rest"),
                    known("Phi_src", heat, "power", "of the source at T_eq"),
                ),
            )


BALANCE = "closed form: balance of the vessel"

CRITERIA = (
    Criterion(
        code="BW-F49",
        title="Vessel slow to warm up",
        severity="W",
        method="closed form",
        judge=slow_to_warm,
        formula="t_w = sum of dE / (Phi_in - UA (T - T_amb)) from T_0 to T_thr is longer than allowed",
        consequence="The turbines come late, and a battery must carry the plant until then.",
        remedy="Charge less water, insulate the vessel, or add heat for the start.",
        lesson="A kettle that is twice as full takes twice as long to boil.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F50",
        title="Turbines never start",
        severity="C",
        method="closed form",
        judge=never_hot,
        formula="Phi_in(T_thr) <= UA (T_thr - T_amb)",
        consequence="The vessel loses all its heat through its walls: no power, and no sink.",
        remedy="Insulate the vessel, bring more heat to it, or take turbines that start cooler.",
        lesson="A vessel that leaks as much as it gets stops warming, however long you wait.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F51",
        title="Turbines take less than comes in",
        severity="C",
        method="closed form",
        judge=too_few_turbines,
        formula="sum Phi_t(T_max) < Phi_in with every chiller and every source on",
        consequence="When everything runs at once the vessel climbs to the limit of its metal.",
        remedy="Add a turbine, a dump valve to a sink, or better metal.",
        lesson="Size turbines for the moment when every chiller runs, not for the average day.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F52",
        title="One turbine lost is too much",
        severity="C",
        method="contingency",
        judge=one_turbine_less,
        formula="T_eq(N - 1, everything on) > T_lim - margin in a fault",
        consequence="Losing one machine overheats the vessel and what stands in it.",
        remedy="Add a turbine, better metal, or a high switch that stops heat sources in time.",
        lesson="Take one machine away on paper before it takes itself away.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F53",
        title="Little time with all turbines blocked",
        severity="S",
        method="contingency",
        judge=all_blocked,
        formula="t = integral of dU / Phi_in from T_0 to relief or limit is shorter than a person needs",
        consequence="Before anyone has understood what happens, the vessel relieves or fails.",
        remedy="Stop sources and chillers by a high switch on the vessel before it relieves.",
        lesson="Heat keeps coming after the way out is shut: know how many minutes that gives you.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F64",
        title="Turbine threshold near the limit",
        severity="C",
        method="closed form",
        judge=threshold_near_limit,
        formula="T_lim - T_thr < margin, T_lim the first of relief and the metal's limit",
        consequence="Ordinary swings of the vessel trip it, relieve it or harm its metal.",
        remedy="Take better metal or a higher relief setting, or turbines that start cooler.",
        lesson="Between where work begins and where harm begins there must be room to swing.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F67",
        title="Heat source hotter than the metal stands, with nothing to stop it",
        severity="S",
        method="contingency",
        judge=unstopped_source,
        formula="T_src > T_lim, T_src where the source alone brings the vessel before a switch shuts it off",
        consequence="With the turbines standing it heats the vessel beyond its limit, and nothing ends it.",
        remedy="Let a high switch on the vessel shut the source off, failing shut.",
        lesson="Rock cannot be switched off; the way from it to the vessel can.",
        source=BALANCE,
    ),
    Criterion(
        code="BW-F68",
        title="Heat source colder than the vessel",
        severity="W",
        method="closed form",
        judge=source_as_sink,
        formula="Phi_src(T_eq) < 0",
        consequence="The source cools the vessel instead of heating it.",
        remedy="Cut it off where it would take heat, or let the vessel rest cooler.",
        lesson="Heat does not ask what a pipe is called; it goes from warm to cold.",
        source=BALANCE,
    ),
)
