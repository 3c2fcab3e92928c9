"""The decisions on the vessel's side: turbines, materials, casings, the vessel itself."""

import math
from collections.abc import Iterable

from brinewright.model.rulebook import Material
from brinewright.plan.sizing.design import Design
from brinewright.plan.sizing.judge import Judge
from brinewright.plan.sizing.record import LAW, PRACTICE, Alternative, Decision, Figure
from brinewright.plan.sizing.steam import Cooled, casings


def turbines_decision(judge: Judge, design: Design) -> Decision:
    """Return the number of turbines, sized by heat."""
    choice, steam = design.choice, judge.steam(design.choice)
    others = []
    lost = judge.setting.brief.survive.turbines
    figures = [
        Figure(
            "Phi_all",
            judge.all_on(choice, design.bank, design.flow),
            "W",
            "into the vessel, every chiller at work",
            "N_c (q c Delta + kappa P)",
        ),
        Figure(
            "T_max",
            design.hottest,
            "K",
            "vessel then, every source at its most",
            "Phi + Phi_sources(T) = UA (T - T_amb) + N Phi_t(T)",
        ),
    ]
    if lost:
        figures.append(
            Figure(
                "T_max(N-1)", design.hottest_in_a_fault, "K", f"the same with {lost} turbine(s) out of work"
            )
        )
    figures += [
        Figure("T_eq", design.mean.vessel, "K", "vessel at the mean heat"),
        Figure(
            "u",
            design.mean.duty,
            "1",
            "share of the time that turbines run",
            "Phi / (N Phi_t) at the threshold",
        ),
    ]
    if choice.turbine is None or not choice.turbines:
        return Decision("turbines", "none", "the vessel rests below its limits without", tuple(figures))
    for number in range(1, choice.turbines + 2):
        if number == choice.turbines:
            continue
        hottest, _ = judge.hottest(choice, design.bank, design.flow, number, design.peak.returned)
        fault, _ = judge.hottest(
            choice, design.bank, design.flow, max(number - lost, 0), design.peak.returned
        )
        others.append(_other_turbines(judge, design, number, hottest, fault if lost else hottest))
    figures.append(
        Figure(
            "Phi_t",
            steam.taken(design.mean.vessel),
            "W",
            "heat that one takes while it runs",
            "q_s (c_w (T - T_ret) + h_fg)",
            LAW,
        )
    )
    vessel = design.metals["vessel"]
    why = f"sized by heat at the limit of {vessel}, not by electricity"
    if lost:
        left, needed = _power_left(judge, design, lost), design.mean.chillers_power + design.auxiliaries
        figures.append(
            Figure(
                "P(N-1)", left, "W", f"power at most with {lost} out of work", "(N - lost) P_t + P_outside"
            )
        )
        if left < needed:
            why += (
                f"; with {lost} out of work there are at most {left / 1e3:.0f} kW of the "
                f"{needed / 1e3:.0f} kW that the loop draws: "
                "no metal fails, but chillers stop when the battery is empty"
            )
    chosen = f"{choice.turbines} of {choice.turbine.use}"
    return Decision("turbines", chosen, why, tuple(figures), tuple(others))


def _power_left(judge: Judge, design: Design, lost: int) -> float:
    """Return the power that is left with turbines out of work, the rest running all the time [W].

    It is taken at the temperature at which the vessel then rests at its hottest: the most there can be.
    """
    steam, left = judge.steam(design.choice), max(design.choice.turbines - lost, 0)
    return left * steam.power(steam.taken(design.hottest_in_a_fault)) + judge.outside


def _other_turbines(judge: Judge, design: Design, number: int, hottest: float, fault: float) -> Alternative:
    limit = judge.setting.rules.material(design.metals["vessel"]).limit
    over = max(
        hottest - limit + judge.setting.margin("material"),
        fault - limit + judge.setting.margin("material_in_a_fault"),
    )
    name = f"{number} turbine{'s' if number != 1 else ''}"
    if over > 0.0:
        said = (
            f"{fault - 273.15:.0f} degC in a fault" if math.isfinite(fault) else "no rest without a turbine"
        )
        text = f"the vessel would reach {hottest - 273.15:.0f} degC, {said}: {over:.0f} K too hot for it"
        if not math.isfinite(over):
            text = f"with one lost the vessel would find {said}"
        return Alternative(name, False, text, over, "material limit")
    by = number - design.choice.turbines
    text = f"{'one machine more' if by > 0 else 'legal by heat'}, {hottest - 273.15:.0f} degC at most"
    if by < 0:
        text += "; other parts or the power stand in the way"
    return Alternative(name, by > 0, text, float(by), "fewest machines")


def materials_decision(judge: Judge, design: Design) -> Decision:
    """Return the material of each part."""
    figures, others = [], []
    steady, fault = judge.setting.margin("material"), judge.setting.margin("material_in_a_fault")
    for part, (hottest, worst, limit) in design.metal_limits.items():
        figures += [
            Figure(f"T({part})", hottest, "K", "at most in running"),
            Figure(f"T({part}, fault)", worst, "K", "at most in a fault"),
            Figure(f"limit({part})", limit, "K", f"of {design.metals[part]}", source=LAW),
        ]
        others += list(_other_metals(judge, design, part, (hottest, worst), (steady, fault)))
    valves = judge.setting.stock.first("three-way valve", body="diverting")
    if valves is not None:
        known = judge.setting.stock.materials(valves)
        if known:
            figures.append(
                Figure(
                    "limit(valves)",
                    known[0].limit,
                    "K",
                    f"of {known[0].name}, in which valves can be had",
                    source=LAW,
                )
            )
    figures.append(Figure("cost", design.mass, "kg", "mass times scarcity, all parts", "sum of m s"))
    mix = ", ".join(f"{part} of {name}" for part, name in design.metals.items())
    why = (
        f"the cheapest mix that stays {steady:.0f} K below its limits in running "
        f"and {fault:.0f} K in a fault, and is at hand"
    )
    return Decision("materials", mix, why, tuple(figures), tuple(others))


def _other_metals(
    judge: Judge, design: Design, part: str, heat: tuple[float, float], margins: tuple[float, float]
) -> Iterable[Alternative]:
    item = {
        "chillers": design.choice.chiller,
        "vessel": design.choice.vessel,
        "turbines": design.choice.turbine,
        "enclosures": judge.enclosure,
    }[part]
    if item is None:
        return
    chosen = judge.setting.rules.material(design.metals[part])
    for material in judge.setting.rules.materials:
        if material.name == chosen.name:
            continue
        yield _other_metal(judge, item.entry.materials, part, material, chosen, heat, margins)


def _other_metal(
    judge: Judge,
    made_in: tuple[str, ...],
    part: str,
    material: Material,
    chosen: Material,
    heat: tuple[float, float],
    margins: tuple[float, float],
) -> Alternative:
    name = f"{part} of {material.name}"
    if made_in and material.name not in made_in:
        return Alternative(name, False, "it can't be had in that", aim="availability")
    if judge.setting.brief.at_hand.mass(material.name) <= 0.0:
        return Alternative(name, False, "none is at hand", aim="availability")
    over = max(heat[0] - material.limit + margins[0], heat[1] - material.limit + margins[1])
    if over > 0.0:
        text = f"{over:.0f} K too hot for its {material.limit - 273.15:.0f} degC"
        return Alternative(name, False, text, over, "material limit")
    by = material.scarcity - chosen.scarcity
    text = (
        f"{material.scarcity / chosen.scarcity:.3g} times as scarce"
        if by > 0.0
        else "less scarce, but not enough of it is at hand for all parts"
    )
    return Alternative(name, True, text, by, "least material")


def casings_decision(judge: Judge, design: Design) -> Decision:
    """Return how casings are cooled."""
    choice, steam = design.choice, judge.steam(design.choice)
    if not choice.turbines or choice.turbine is None:
        return Decision("casings", "none", "there are no turbines")
    heat = choice.turbines * steam.casing(steam.taken(design.hottest))
    limit = judge.setting.rules.material(design.metals["turbines"]).limit
    allowed = limit - judge.setting.margin("material")
    carried = design.flow * choice.liquid.heat_capacity
    ways = [Cooled(), Cooled(jacket=True)] if choice.turbine.number("jacket_conductance", 0.0) else [Cooled()]
    if judge.enclosure is not None:
        ways += [
            Cooled(gas=gas.name, enclosures=count)
            for gas in judge.setting.gases
            for count in sorted({1, choice.turbines})
        ]
    others = []
    for way in ways:
        if way == choice.cooled:
            continue
        factor = judge.setting.rules.gas(way.gas).factor if way.gas else 0.0
        found = casings(
            steam, way, judge.enclosure, factor, choice.turbines, heat, design.peak.returned, carried
        )
        over = found.temperature - allowed
        shells = f", {way.enclosures} enclosure{'s' if way.enclosures != 1 else ''}" if way.enclosures else ""
        text = f"{found.temperature - 273.15:.0f} degC"
        if over > 0.0:
            text += f", {over:.0f} K above what {design.metals['turbines']} stands with its margin"
        else:
            text += f", {found.to_loop / 1e3:.0f} kW back to the loop; legal, but see what matters first"
        others.append(Alternative(way.words + shells, over <= 0.0, text, max(over, 0.0), "material limit"))
    _, chosen = judge.hottest(choice, design.bank, design.flow, choice.turbines, design.peak.returned)
    figures = (
        Figure(
            "Phi_case", heat, "W", "into all casings with every chiller at work", "phi Phi_t + Phi_fix", LAW
        ),
        Figure(
            "T_case", chosen.temperature, "K", "casings then", "(Phi + G_j' T_in + G_h T_amb) / (G_j' + G_h)"
        ),
        Figure("T_allowed", allowed, "K", f"limit of {design.metals['turbines']} less its margin"),
        Figure("Phi_back", chosen.to_loop, "W", "of that back to the loop"),
    )
    why = "; ".join(
        [f"casings stay at {chosen.temperature - 273.15:.0f} degC"]
        + (["nothing comes back to the loop"] if not choice.cooled.jacket else [])
    )
    return Decision("casings", choice.cooled.words, why, figures, tuple(others))


def vessel_decision(judge: Judge, design: Design) -> Decision:
    """Return the vessel, its charge and its warm-up."""
    choice = design.choice
    vessel = choice.vessel
    charge, capacity = vessel.number("water_mass"), judge.heat_capacity(design)
    figures = [
        Figure("M", charge, "kg", "water and steam", source=LAW),
        Figure("C", capacity, "J/K", "water, vessel and chillers", "M c_w + C_m"),
    ]
    why = "its water covers the chillers"
    if choice.turbine is not None and choice.turbines:
        rise = choice.turbine.number("threshold") - judge.setting.ambient
        energy = capacity * rise
        time, start = judge.from_cold(design)
        rests = judge.warms_by_sources(choice)
        all_on = judge.all_on(choice, design.bank, design.flow)
        covers = 0.3 / vessel.number("inner_height") * vessel.number("volume") * 1000.0
        back = choice.turbines * choice.turbine.number("steam_flow") * 60.0
        figures += [
            Figure(
                "M_min",
                covers + back,
                "kg",
                "least charge: chillers covered, a minute of condensate on its way",
                "rho V_cover + N q_s tau",
            ),
            Figure(
                "M_max",
                0.9 * vessel.number("volume") * 900.0,
                "kg",
                "most charge: nine tenths full when hot",
                "0.9 rho_f V",
                PRACTICE,
            ),
            Figure("E_w", energy, "J", "heat from cold to the threshold", "C (T_thr - T_amb)"),
            Figure(
                "t_w", energy / all_on, "s", "warm-up by the chillers alone, all at work", "E_w / Phi_all"
            ),
            Figure(
                "t_w,mean",
                time,
                "s",
                "warm-up by the sources alone" if rests else "warm-up at the mean load",
                "sum of C dT / (Phi_in - UA (T - T_amb))",
            ),
            Figure(
                "E_start",
                start,
                "J",
                "electric energy before the first turbine runs, import taken off",
                "(P_aux - P_outside) t_w,mean" if rests else "(P_ch + P_aux - P_outside) t_w,mean",
            ),
        ]
        reach = "can" if design.battery * judge.gives_back >= start else "can't"
        why += f"; a full battery and power from outside {reach} bring it from cold to its threshold"
        if rests:
            why += ", if the chillers are kept stopped by hand until then"
    chosen = f"{vessel.use} of {design.metals['vessel']}, {charge:.0f} kg"
    return Decision("steam vessel", chosen, why, tuple(figures))
