"""How much water a vessel holds: enough to cover its chillers, little enough to leave room for steam."""

import math
from collections.abc import Iterable

from brinewright.checks.numbers import degrees, known, lasting
from brinewright.checks.real_machines import Chiller
from brinewright.checks.steam import all_vessels
from brinewright.checks.vessels import Vessel
from brinewright.laws import fixed_drop
from brinewright.laws import vessel as vessel_laws
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView

WATER = 1000.0
"""Density at which a declared vessel's level is counted [kg/m3]."""
NEAR_DRY = 10.0
"""Least distance of dry-out above the working temperature; common practice, no source [K]."""


def share_below(height: float, inner_height: float, lying: bool) -> float:
    """Return the share of a vessel's volume below a height [-].

    Example
    -------
    >>> share_below(0.6, 2.0, lying=False), round(share_below(0.5, 2.0, lying=True), 4)
    (0.3, 0.1955)
    """
    part = min(max(height / inner_height, 0.0), 1.0)
    if not lying:
        return part
    angle = 2.0 * math.acos(1.0 - 2.0 * part)
    return (angle - math.sin(angle)) / (2.0 * math.pi)


def height_of(share: float, inner_height: float, lying: bool) -> float:
    """Return how high a share of a vessel's volume stands [m].

    Example
    -------
    >>> round(height_of(0.1955, 2.0, lying=True), 3)
    0.5
    """
    if not lying or share <= 0.0 or share >= 1.0:
        return min(max(share, 0.0), 1.0) * inner_height
    low, high = 0.0, inner_height
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if share_below(middle, inner_height, lying=True) < share else (low, middle)
    return high


def _liquid_share(vessel: Vessel, temperature: float) -> float:
    """Return the share of a vessel's volume that is liquid at a temperature [-]."""
    view = vessel.view
    mass, volume = view.number("water_mass"), view.number("volume")
    if not vessel.is_real:
        return mass / (WATER * volume)
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import saturation_line

    _, liquid, vapour, *_ = saturation_line(water_tables(), temperature)
    dryness = vessel_laws.mean_dryness(volume, mass, liquid, vapour)
    return min(max((1.0 - dryness) * mass * liquid / volume, 0.0), 1.0)


def _is_lying(vessel: Vessel) -> bool:
    return vessel.view.word("shape") == "lying"


def dry_start(case: Case) -> Iterable[Measure]:
    """Hold the liquid at the start against the height of each chiller in it."""
    for vessel in all_vessels(case):
        inner = vessel.view.number("inner_height")
        share = _liquid_share(vessel, vessel.view.start("temperature"))
        level = height_of(share, inner, _is_lying(vessel))
        for view in vessel.chillers:
            begin = view.begins_at("temperature")
            cold = vessel.surroundings if begin is None else begin
            limit = view.limit("metal_limit")
            heat = _heat_of_one(case, view, cold)
            capacity = view.number("metal_mass") * view.metal_heat_capacity("metal_heat_capacity")
            time = math.inf
            if limit > cold and heat > 0.0:
                bare = view.number("bare_conductance")
                time = fixed_drop.dry_time(heat, capacity, bare, cold, vessel.surroundings, limit)
            yield Measure(
                subject=(view.tag, vessel.tag),
                value=level,
                limit=view.height,
                quantity="length",
                bound="at least",
                text=f"{vessel.tag} stands {level:.3g} m high at the start, {view.tag} at "
                f"{view.height:.3g} m; dry, it would go from {degrees(cold)} to the {degrees(limit)} of its "
                f"metal in {lasting(time)}.",
                numbers=(
                    known("C", capacity, "heat capacity", "of the metal of one unit"),
                    known("T_0", cold, "temperature", "cold"),
                    known("T_lim", limit, "temperature", "of its metal"),
                    known("Phi_h", heat, "power", "of one unit at full load"),
                    known("t_over", time, "time", "until its metal is too hot, dry"),
                ),
            )


def _heat_of_one(case: Case, view: PartView, cold: float) -> float:
    if view.declares("drop"):
        duty = view.number("capacity") * view.heat_capacity * view.number("drop")
        return duty + view.number("power_share") * view.number("power") + view.number("self_heat")
    return Chiller(case, view).rejects_full(cold) / view.count


def under_charged(case: Case) -> Iterable[Measure]:
    """Hold the charge against what covers the chillers, fills the steam space and is on its way."""
    for vessel in all_vessels(case):
        view = vessel.view
        top = max((chiller.height for chiller in vessel.chillers), default=0.0)
        volume = view.number("volume")
        cover = volume * share_below(top, view.number("inner_height"), _is_lying(vessel))
        seen = case.seen(vessel.tag, "temperature")
        working = seen.mean if seen else view.start("temperature")
        mass = view.number("water_mass")
        if vessel.is_real:
            least, delay = _least_charge(case, vessel, cover, working)
        else:
            least, delay = WATER * cover, 0.0
        yield Measure(
            subject=(vessel.tag,),
            value=mass,
            limit=least,
            quantity="mass",
            bound="at least",
            text=f"{vessel.tag} is charged with {mass:.4g} kg; {least:.4g} kg cover its chillers, fill its "
            "steam space and are on their way back.",
            numbers=(
                known("V_cover", cover, "volume", "below the top of the chillers"),
                known("tau", delay, "time", "that condensate is on its way"),
                known("T", working, "temperature", "mean of the shared run"),
                known("M_min", least, "mass"),
            ),
        )
        if vessel.is_real:
            yield _dry_out(vessel, working)


def _least_charge(case: Case, vessel: Vessel, cover: float, working: float) -> tuple[float, float]:
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import saturation_line

    _, liquid, vapour, *_ = saturation_line(water_tables(), working)
    seen = case.seen(vessel.tag, "steam out")
    delay = max((view.number("hotwell_delay") for view in vessel.turbines), default=0.0)
    steam = seen.max if seen else 0.0
    volume = vessel.view.number("volume")
    least, _ = vessel_laws.charge_window(
        volume, cover, 1.0 / liquid, 1.0 / vapour, steam, delay, 1.0 / liquid
    )
    return float(least), delay


def _dry_out(vessel: Vessel, working: float) -> Measure:
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import dry_out_temperature

    specific = vessel.view.number("volume") / vessel.view.number("water_mass")
    dry = float(dry_out_temperature(water_tables(), specific))
    return Measure(
        subject=(vessel.tag,),
        value=dry,
        limit=working + NEAR_DRY,
        quantity="temperature",
        bound="at least",
        text=f"The last water of {vessel.tag} boils away at {degrees(dry)}; it works at {degrees(working)}.",
        numbers=(
            known("v", specific, "number", "volume by mass [m3/kg]"),
            known("T_dry", dry, "temperature"),
            known("T", working, "temperature", "mean of the shared run"),
        ),
    )


def over_charged(case: Case) -> Iterable[Measure]:
    """Hold level and charge against what leaves room for steam, up to relief."""
    for vessel in all_vessels(case):
        view = vessel.view
        seen = case.seen(vessel.tag, "level")
        if seen is not None:
            highest = view.number("highest_level")
            yield Measure(
                subject=(vessel.tag,),
                value=seen.max,
                limit=highest,
                quantity="ratio",
                bound="at most",
                text=f"The water of {vessel.tag} rises to {seen.max:.0%} of its height; above {highest:.0%} "
                "steam carries it over.",
                numbers=(known("h", seen.max, "ratio", "highest level of the shared run"),),
            )
        if not vessel.is_real or vessel.relief == math.inf:
            continue
        from brinewright.fluids import water_tables
        from brinewright.fluids.saturation import saturation_line

        liquid = 1.0 / saturation_line(water_tables(), vessel.relief)[1]
        most = vessel_laws.charge_window(view.number("volume"), 0.0, liquid, 0.0, 0.0, 0.0, liquid)[1]
        mass = view.number("water_mass")
        yield Measure(
            subject=(vessel.tag,),
            value=mass,
            limit=most,
            quantity="mass",
            bound="at most",
            text=f"{vessel.tag} is charged with {mass:.4g} kg; with more than {most:.4g} kg hardly any room "
            f"for steam is left when it is relieved at {degrees(vessel.relief)}.",
            numbers=(
                known("rho_f", float(liquid), "density", "of water at relief"),
                known("V", view.number("volume"), "volume"),
                known("M_max", float(most), "mass"),
            ),
        )


def leaks_into_cooled(case: Case) -> Iterable[Measure]:
    """Hold the loss of a vessel in a cooled space against the load."""
    for vessel in all_vessels(case):
        room = case.views.get(vessel.view.inside)
        if room is None or room not in case.playing("consumer"):
            continue
        hot, cold = case.seen(vessel.tag, "temperature"), case.seen(room.tag, "temperature")
        load = sum(seen.mean for view in case.playing("cooler") if (seen := case.seen(view.tag, "cooling")))
        if hot is None or cold is None or load <= 0.0:
            continue
        loss = vessel.view.number("loss_conductance") * (hot.mean - cold.mean)
        yield Measure(
            subject=(vessel.tag, room.tag),
            value=loss,
            limit=case.margin("heat_leak") * load,
            quantity="power",
            bound="at most",
            text=f"{vessel.tag} stands in {room.tag} and gives it {loss / 1e3:.3g} kW, of a load of "
            f"{load / 1e3:.4g} kW.",
            numbers=(
                known("UA", vessel.view.number("loss_conductance"), "conductance"),
                known("T_ve", hot.mean, "temperature", "of the vessel, mean"),
                known("T_zn", cold.mean, "temperature", "of the space, mean"),
                known("Phi_loop", load, "power", "taken by chillers, mean"),
            ),
        )


CRITERIA = (
    Criterion(
        code="BW-F31",
        title="Chiller starts dry",
        severity="C",
        method="closed form",
        judge=dry_start,
        formula="level at the start < height of the chiller; t_over = C (T_lim - T_0) / Phi_h",
        consequence="Nothing takes the chiller's heat, and it overheats before there is any steam.",
        remedy="Fill the vessel first; permit the chiller only above a level, and trip it on its own metal.",
        lesson="A kettle that is switched on empty does not boil: it burns.",
        source="closed form: first-order lump",
    ),
    Criterion(
        code="BW-F47",
        title="Too little water in the vessel",
        severity="C",
        method="closed form",
        judge=under_charged,
        formula="M < rho_f V_cover + rho_g (V - V_cover) + q tau, or T_dry < T + 10 K",
        consequence="It boils dry: the steam superheats, and nothing covers the chillers.",
        remedy="Charge more water, sit the chillers lower, and stop heat on a low level.",
        lesson="Some of the water is always away, as steam and on its way back; count it before you fill.",
        source="closed form: mass balance; IAPWS-95 for water",
    ),
    Criterion(
        code="BW-F48",
        title="Too much water in the vessel",
        severity="S",
        method="closed form",
        judge=over_charged,
        formula="level > highest level, or M > 0.9 rho_f(T_relief) V",
        consequence="Water goes over into the turbines, or fills the vessel and bursts it.",
        remedy="Charge less, or take a larger vessel; stop on a high level.",
        lesson="Water grows as it warms, and a full vessel has nowhere to let it.",
        source="closed form: mass balance; the 0.9 is common practice, no source",
    ),
    Criterion(
        code="BW-F66",
        title="Vessel warms a cooled space",
        severity="W",
        method="run",
        judge=leaks_into_cooled,
        formula="UA (T_ve - T_zn) > share of the load",
        consequence="The loop cools its own exhaust.",
        remedy="Insulate the vessel, or move it out of the space.",
        lesson="Put the stove outside the larder.",
        source="closed form: conductance by difference",
    ),
)
