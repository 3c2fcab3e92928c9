"""Whether metal stays below its limit: the vessel and what stands in it, and the casings of turbines."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from brinewright.checks.equilibrium import rest
from brinewright.checks.loads import shell_conductance
from brinewright.checks.numbers import degrees, known, watts
from brinewright.checks.steam import all_vessels
from brinewright.checks.vessels import Vessel
from brinewright.laws import threshold
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView

WARMED = 0.25
"""Part of the shared run after which what was cold at the start has warmed [-]."""


@dataclass(frozen=True)
class Casing:
    """The casing of one turbine at rest."""

    temperature: float
    """[K]"""
    heat: float
    """That it must give off [W]."""
    numbers: tuple[Number, ...]
    where: str
    """Where its heat goes, in words."""


def casing(case: Case, vessel: Vessel, view: PartView) -> Casing | None:
    """Return the casing of a declared turbine of a vessel at rest, everything at its mean.

    T = (Phi_case + J T_l + H T_h) / (J + H): J into the jacket's liquid, H into the hall or the shell

    Parameters
    ----------
    case : the loop under judgement
    vessel : that the turbine draws from
    view : the turbine, under a declared law
    """
    found = rest(vessel, vessel.count)
    if found.duty <= 0.0 or found.temperature == float("inf"):
        return None
    latent = vessel.view.number("latent_heat") if vessel.view.declares("latent_heat") else 0.0
    taken = threshold.heat_taken(
        view.number("steam_flow"),
        vessel.view.number("water_heat_capacity"),
        found.temperature,
        view.number("condensate_temperature"),
        latent,
    )
    power = threshold.shaft_power(taken, view.number("efficiency"), view.number("highest_power"))
    base = {"heat taken": taken, "power": power, "what is left": taken - power}[view.word("casing_share_of")]
    running = threshold.casing_heat(base, view.number("casing_share"), view.number("casing_heat"))
    heat = running * found.duty
    hall = shell_conductance(case, view)
    jacket = view.number("jacket_conductance") if view.connected("in") and view.connected("out") else 0.0
    seen = case.seen(view.tag, "outlet temperature") if jacket > 0.0 else None
    liquid = seen.mean if seen else vessel.surroundings
    if jacket + hall <= 0.0:
        temperature = float("inf") if heat > 0.0 else vessel.surroundings
    else:
        temperature = (heat + jacket * liquid + hall * vessel.surroundings) / (jacket + hall)
    shells = [other.tag for other in case.parts if view.tag in other.refers("around")]
    where = f"the shell of {shells[0]}" if shells else "the open hall"
    numbers = (
        known("Phi_run", running, "power", "of one casing while the turbine runs"),
        known("u", found.duty, "ratio", "share of the time that it runs"),
        known("J", jacket, "conductance", "into the jacket's liquid"),
        known("T_l", liquid, "temperature", "of that liquid"),
        known("H", hall, "conductance", f"into {where}"),
        known("T_h", vessel.surroundings, "temperature", "around it"),
    )
    return Casing(temperature, heat, numbers, f"its jacket and {where}" if jacket > 0.0 else where)


def hot_casings(case: Case) -> Iterable[Measure]:
    """Hold each casing at rest against the limit of its metal less its margin."""
    margin = case.margin("material")
    for vessel in all_vessels(case):
        for view in vessel.turbines:
            limit = view.limit("casing_limit")
            if limit <= 0.0:
                continue
            if vessel.is_real:
                yield from _as_seen(case, view, "metal temperature", limit - margin, "casing")
                continue
            found = casing(case, vessel, view)
            if found is None:
                continue
            yield Measure(
                subject=(view.tag,),
                value=found.temperature,
                limit=limit - margin,
                quantity="temperature",
                bound="at most",
                text=f"Each casing of {view.tag} gives {watts(found.heat)} to {found.where} and comes to "
                f"{degrees(found.temperature)}; its metal stands {degrees(limit)}.",
                numbers=(*found.numbers, known("T_lim", limit, "temperature", "of its metal")),
            )


def _as_seen(case: Case, view: PartView, quantity: str, limit: float, what: str) -> Iterator[Measure]:
    times, values = case.trace(view.tag, quantity)
    warm = values[times >= WARMED * times[-1]]
    hottest = float(warm.max())
    yield Measure(
        subject=(view.tag,),
        value=hottest,
        limit=limit,
        quantity="temperature",
        bound="at most",
        text=f"The {what} of {view.tag} gets {degrees(hottest)} hot once it has warmed.",
        numbers=(known("T_max", hottest, "temperature", "of the shared run, its first quarter left out"),),
    )


def forgotten_casings(case: Case) -> Iterable[Measure]:
    """Hold the chillers against the load with and without the heat that casings give to the loop."""
    for vessel in all_vessels(case):
        declared = vessel.declared
        if declared is None or declared.jacket_share == 0.0:
            continue
        result = declared.closed_form()
        capacity = declared.chillers * result.chiller_duty
        without = declared.plant.load
        yield Measure(
            subject=(*declared.chiller_tags, *declared.turbine_tags),
            value=capacity if without <= capacity else result.loop_load,
            limit=result.loop_load,
            quantity="power",
            bound="at least",
            text=f"Chillers take {watts(capacity)}; the load is {watts(without)}, and "
            f"{watts(result.loop_load)} with the casings that the loop cools.",
            numbers=(
                known("Phi_L", without, "power", "of the consumers, pump heat counted"),
                known("Phi_case", result.casing_heat, "power", "of all casings"),
                known("g", result.reject_ratio, "ratio", "heat into the vessel by heat taken from the loop"),
                known("Phi_loop", result.loop_load, "power"),
                known("Phi_ch", capacity, "power", "of all chillers at full flow"),
            ),
        )


def hot_in_steady_running(case: Case) -> Iterable[Measure]:
    """Hold the vessel's metal, with everything on at once, against its limit less its margin."""
    margin = case.margin("material")
    for vessel in all_vessels(case):
        found = rest(vessel, vessel.count, chillers="full", own_loss=False)
        mean = rest(vessel, vessel.count)
        for limit, tag in _each_limit(vessel):
            yield Measure(
                subject=(tag, vessel.tag) if tag != vessel.tag else (tag,),
                value=found.temperature,
                limit=limit - margin,
                quantity="temperature",
                bound="at most",
                text=f"With everything on at once, {vessel.tag} comes to {degrees(found.temperature)} "
                f"({degrees(mean.temperature)} at the mean load); {tag} stands {degrees(limit)}.",
                numbers=(
                    known("N", vessel.count, "count", "turbines"),
                    known("Phi_in", found.heat, "power", "every chiller and source on"),
                    known("T_peak", found.temperature, "temperature", "vessel with everything on"),
                    known("T_eq", mean.temperature, "temperature", "vessel at the mean load"),
                    known("T_lim", limit, "temperature", f"of {tag}"),
                ),
            )


def _each_limit(vessel: Vessel) -> Sequence[tuple[float, str]]:
    """Return the limit of each part at the vessel's temperature, without what only meets its steam."""
    inside = {vessel.tag, *(view.tag for view in vessel.chillers)}
    return [(limit, tag) for limit, tag in vessel.limits if tag in inside]


def hot_in_the_run(case: Case) -> Iterable[Measure]:
    """Hold the hottest that any metal got in the shared run against its limit less the margin of a fault."""
    margin = case.margin("material_in_a_fault")
    for view in case.parts:
        for name in ("metal_limit", "casing_limit", "shell_limit"):
            if not view.declares(name) or view.limit(name) <= 0.0:
                continue
            quantity = "shell temperature" if name == "shell_limit" else "metal temperature"
            seen = case.seen(view.tag, quantity)
            if seen is None:
                continue
            limit = view.limit(name)
            yield Measure(
                subject=(view.tag,),
                value=seen.max,
                limit=limit - margin,
                quantity="temperature",
                bound="at most",
                text=f"The metal of {view.tag} gets {degrees(seen.max)} hot within the day; it stands "
                f"{degrees(limit)}.",
                numbers=(
                    known("T_max", seen.max, "temperature", "of the shared run, start counted"),
                    known("T_lim", limit, "temperature", "of its metal"),
                ),
            )


CRITERIA = (
    Criterion(
        code="BW-F72",
        title="Casing heat not carried away",
        severity="C",
        method="closed form",
        judge=hot_casings,
        formula="T_case > T_lim - margin",
        consequence="The casing overheats, and the turbine is lost.",
        remedy="Lead coolant through a jacket, take a gas that carries more, or load it less.",
        lesson="A machine at rest in the open stays cool; the same machine at work may need more than air.",
        source="closed form: balance of the casing",
    ),
    Criterion(
        code="BW-F74",
        title="Casing heat missing from the load",
        severity="W",
        method="closed form",
        judge=forgotten_casings,
        world="stylised",
        formula="Phi_L <= N Phi_1 < Phi_loop",
        consequence="Chillers that carry the consumers alone do not carry what the casings add.",
        remedy="Add a chiller, or cool the casings by something else than the loop.",
        lesson="Cool a turbine with the liquid it was built to get rid of, and the load comes round again.",
        source="closed form: sum of a geometric series",
    ),
    Criterion(
        code="BW-F82",
        title="Metal too hot in steady running",
        severity="C",
        method="closed form",
        judge=hot_in_steady_running,
        formula="T_peak > T_lim - margin",
        consequence="The metal softens, and what it holds leaks or falls.",
        remedy="Take the next better material, another turbine, or less heat into the vessel.",
        lesson="Metal does not feel the mean: it gives way at the peak.",
        source="closed form: balance of the vessel",
    ),
    Criterion(
        code="BW-F83",
        title="Metal too hot within the day",
        severity="C",
        method="run",
        judge=hot_in_the_run,
        formula="T_max > T_lim - margin in a fault",
        consequence="One hot hour at the start or at the peak is enough to harm it.",
        remedy="Start it slower, stop the heat earlier, or take better material.",
        lesson="A start, a peak and a pause are where metal is lost, not the long day between.",
        source="run",
    ),
)
