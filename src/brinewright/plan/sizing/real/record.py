"""Every decision of a design under real laws, with its numbers and what the others would have been."""

import math
from dataclasses import replace

from brinewright.plan.sizing.real.design import RealDesign
from brinewright.plan.sizing.real.piping import sizes
from brinewright.plan.sizing.real.search import Searched, priorities
from brinewright.plan.sizing.real.work_out import Worker
from brinewright.plan.sizing.record import BALANCE, BRIEF, PRACTICE, Alternative, Decision, Figure

CARNOT = "closed form: Carnot performance times the second-law efficiency of the rulebook"
STEAM = "IAPWS R6-95(2018) tables"
FITS = "tables made from published fits of secondary coolants"
PIPES = "Darcy-Weisbach with Churchill 1977"
NEVER = {
    "L1": "machines in a string gain by series working, {saving:.1%} of the power here, but each needs the "
    "whole flow and its own bypass",
    "L2": "a ring of several passes needs a fixed drop and a junction with ranks; under pressures its tee "
    "would mix warm into cold",
    "L6": "two decisions in series need a fixed drop and a junction with ranks; under pressures its tee "
    "would mix warm into cold",
}
"""Why a layout makes no sense for machines that hold their own leaving temperature."""


def decisions_of(worker: Worker, design: RealDesign, found: Searched) -> tuple[Decision, ...]:
    """Return all decisions of a design, in the order in which they are made."""
    return (
        _load(design),
        _coolant(worker, design, found),
        _layout(worker, design, found),
        _pipes(design),
        _chillers(design, found),
        _sink(worker, design),
        _turbines(design),
        _vessel(design),
        _materials(worker, design),
        _tanks(design),
        _power(worker, design),
    )


def _load(design: RealDesign) -> Decision:
    consumers = sum(load.peak for load in design.loads)
    figures = [
        *(
            Figure(
                f"Phi({load.consumer.tag})",
                load.peak,
                "W",
                f"held at {load.held - 273.15:.1f} degC, worst hour",
                "gains + G_wall (T_out - T) + moisture",
                BRIEF,
            )
            for load in design.loads
        ),
        Figure("Phi_pump", design.house.shaft, "W", "heat of the pump", "dp q_V / eta"),
        Figure("Phi_loop", design.load, "W", "with pump, pipes and tank", "sum Phi + Phi_pump + gains"),
        Figure("T_s", design.supply, "K", "supply", "min over consumers of T - Phi / (eps q c)"),
        Figure("T_r", design.returned, "K", "return", "T_s + Phi / (q c)"),
        Figure("q", design.house.flow, "kg/s", "flow", "Phi_loop / (c (T_r - T_s))"),
    ]
    coldest = min(design.loads, key=lambda load: load.warmest_supply(design.house.coolant.heat_capacity))
    limit = coldest.warmest_supply(design.house.coolant.heat_capacity)
    why = (
        f"pump, pipes and tank add {design.load / consumers - 1.0:.1%}; {coldest.consumer.tag} sets the "
        f"supply, which may be {limit - 273.15:.1f} degC at most"
    )
    return Decision("load", f"{design.load / 1e3:.0f} kW at the worst hour", why, tuple(figures))


def _coolant(worker: Worker, design: RealDesign, found: Searched) -> Decision:
    coolant = design.house.coolant
    figures = (
        Figure("T_freeze", coolant.freezes, "K", "freezes at", source=FITS),
        Figure(
            "T_wall",
            coolant.freezes + design.freeze_margin,
            "K",
            "coldest wall of the evaporators",
            "T_leaving - approach",
        ),
        Figure("c", coolant.heat_capacity, "J/(kg K)", "heat capacity at the working mean", source=FITS),
        Figure("rho", coolant.density, "kg/m3", "density", source=FITS),
        Figure("mu", coolant.viscosity, "Pa s", "viscosity", source=FITS),
        Figure(
            "P_pump", design.house.electric, "W", "electric power of the pump", "dp q_V / (eta eta_m)", PIPES
        ),
    )
    others = []
    for liquid in worker.rules.liquids:
        if liquid.name == coolant.liquid.name:
            continue
        others.append(
            _other(worker, design, found, liquid.name, lambda c, name=liquid.name: c.liquid == name)
        )
    why = f"its coldest wall stays {design.freeze_margin:.1f} K above freezing"
    return Decision("liquid", coolant.liquid.name, why, figures, tuple(others))


def _other(worker, design, found, name, is_it) -> Alternative:  # type: ignore[no-untyped-def]
    """Return another choice and by how much it lost, in what matters first."""
    rivals = [made for made in found.designs if is_it(made.choice)]
    if rivals:
        own, theirs = design.measures(), rivals[0].measures()
        for aim in priorities(worker.brief):
            if theirs[aim] > own[aim]:
                return Alternative(name, True, f"works, but is behind in {aim}", theirs[aim] - own[aim], aim)
        return Alternative(name, True, "works as well in everything that is measured", 0.0, "")
    refusals = [refusal for choice, refusal in found.refusals if is_it(choice)]
    if refusals:
        near = min(refusals, key=lambda refusal: abs(refusal.amount))
        return Alternative(name, False, near.text, abs(near.amount), near.need)
    return Alternative(name, False, "the brief does not allow it", aim="the brief")


def _layout(worker: Worker, design: RealDesign, found: Searched) -> Decision:
    words = {
        "L3": "a bank in the loop, each machine holding its own leaving temperature, a layered tank after it",
        "L4": "a tank bath, chillers and consumers each with their own pump",
        "L5": "two circuits that meet in a layered tank",
    }
    saving = _series(design)
    others = []
    for code in ("L1", "L2", "L3", "L4", "L5", "L6"):
        if code == design.choice.layout:
            continue
        if code in NEVER:
            others.append(Alternative(code, False, NEVER[code].format(saving=saving), aim="laws"))
        else:
            others.append(_other(worker, design, found, code, lambda c, code=code: c.layout == code))
    figures = (
        Figure(
            "swing", design.measures()["steadiest supply"], "difference", "of the supply", source=PRACTICE
        ),
        Figure(
            "saving",
            saving,
            "1",
            "power that two machines in series would save",
            "1 - P_series / P_one",
            CARNOT,
        ),
    )
    return Decision("layout", design.choice.layout, words[design.choice.layout], figures, tuple(others))


def _series(design: RealDesign) -> float:
    """Return the share of power that two machines in series save over one, [-]."""
    lift, hot = design.lift, design.vessel_temperature
    middle = 0.5 * (design.supply + design.returned)
    upstream = type(lift)(lift.item, middle)
    together = 0.5 / upstream.performance(hot) + 0.5 / lift.performance(hot)
    return 1.0 - together * lift.performance(hot)


def _pipes(design: RealDesign) -> Decision:
    house = design.house
    others = tuple(
        Alternative(
            f"DN {size.nominal}",
            True,
            f"{size.velocity:.2f} m/s and {size.gradient:.0f} Pa/m",
            size.gradient - house.main.gradient,
            "pressure loss",
        )
        for size in sizes(house.flow, house.coolant)
        if size.nominal != house.main.nominal and 0.4 < size.bore / house.main.bore < 1.7
    )
    figures = (
        Figure("v", house.main.velocity, "m/s", "velocity in the main", "q_V / A", PIPES),
        Figure("R", house.main.gradient, "Pa/m", "loss of straight pipe", "f rho v2 / (2 D)", PIPES),
        Figure(
            "dp",
            house.pressure,
            "Pa",
            "of the pump",
            "pipes + 40 % fittings + evaporator + consumer + valves",
        ),
        Figure("P", house.electric, "W", "electric power of the pump", "dp q_V / (eta eta_m)"),
    )
    chosen = f"DN {house.main.nominal}, pump {house.pressure / 1e3:.0f} kPa at {house.flow:.1f} kg/s"
    return Decision("pipes and pump", chosen, "the smallest size within velocity and loss", figures, others)


def _chillers(design: RealDesign, found: Searched) -> Decision:
    lift, hot = design.lift, design.vessel_temperature
    figures = (
        Figure("Phi_N", design.load * 1.1, "W", "capacity asked for", "1.1 Phi_loop", PRACTICE),
        Figure("Phi_1", design.unit, "W", "each of the working ones, here", "Phi_N / n"),
        Figure(
            "Phi_ref", design.nominal, "W", "what that is at its reference point", "Phi_1 / drift(T_e, T_h)"
        ),
        Figure("COP", lift.performance(hot), "1", "lift to the vessel", "eta_II T_e / (T_h - T_e)", CARNOT),
        Figure("P_c", design.chillers_power, "W", "electric at the worst hour", "Phi / (COP eta_m)", CARNOT),
        Figure("Phi_h", design.rejected, "W", "into the vessel", "Phi (1 + 1/COP)", CARNOT),
    )
    spare = design.chillers - design.choice.working
    others = []
    for working in sorted(
        {choice.working for choice, _ in found.refusals} | {d.choice.working for d in found.designs}
    ):
        if working == design.choice.working:
            continue
        rivals = [made for made in found.designs if made.choice.working == working]
        if rivals:
            more = rivals[0].machines - design.machines
            others.append(
                Alternative(f"{working} working", True, f"{more:+d} machines", more, "fewest machines")
            )
            continue
        near = [
            refusal
            for choice, refusal in found.refusals
            if replace(choice, working=0, turbines=0) == replace(design.choice, working=0, turbines=0)
            and choice.working == working
        ]
        if near:
            others.append(
                Alternative(f"{working} working", False, near[0].text, near[0].amount, near[0].need)
            )
    why = f"{design.choice.working} carry the load with 10 % to spare, {spare} may be lost"
    return Decision("chillers", f"{design.chillers}", why, figures, tuple(others))


def _sink(worker: Worker, design: RealDesign) -> Decision:
    if not design.ways:
        return Decision("final sink", "none", "there are no turbines", ())
    emissivity = 0.85
    others = tuple(
        Alternative(
            f"{way.letter}: {way.name}",
            True,
            f"chillers {way.chillers / 1e3:.0f} kW, turbines {way.turbines / 1e3:.0f} kW, other heat "
            f"{way.other_heat / 1e3:.0f} kW, {way.to_sink / 1e3:.0f} kW to the sink "
            f"({way.area(emissivity):.0f} m2 of radiators under a sky of 0 K), "
            f"imported {way.imported / 1e3:.0f} kW",
            way.imported,
            "power from outside",
        )
        for way in design.ways
    )
    figures = (
        Figure("Phi_cond", design.condensed, "W", "heat of the condensers", "q (h_1 - w - h_c)", STEAM),
        Figure("T_in", design.cooling[0], "K", "liquid before the condensers"),
        Figure("T_out", design.cooling[1], "K", "liquid after them"),
        Figure("UA", design.condenser, "W/K", "of each condenser", "NTU q c, eps = 1 - exp(-NTU)"),
        Figure("n_r", float(design.radiators), "1", "radiators", "eps sigma A (T4 - T_sky4) = G (T_l - T)"),
        Figure("T_sky", worker.place.sky, "K", "warmest sky", source=BRIEF),
    )
    share = design.choice.rock
    used = f"{share:.0%} of the other heat is used" if worker.rocks else "there is no other heat"
    why = (
        f"every joule ends in {design.radiators} radiators; {used}. A plant in which the chillers lift into "
        "steam pays for the lift twice: B and D show what plain chillers would need, where the place has them"
    )
    return Decision("final sink", f"{design.radiators} radiators", why, figures, others)


def _turbines(design: RealDesign) -> Decision:
    turbine, hot = design.turbine, design.vessel_temperature
    if turbine is None:
        return Decision("turbines", "0", "the place has none", ())
    figures = (
        Figure("T", hot, "K", "vessel, where the governor holds its pressure", "T_sat(p_held)", STEAM),
        Figure("Phi_in", design.rejected + design.rock_heat - design.leak, "W", "heat for the turbines"),
        Figure("q_st", design.steam, "kg/s", "steam", "Phi_in / (h_g - h_c)", STEAM),
        Figure(
            "q_max",
            turbine.swallowed(hot),
            "kg/s",
            "one swallows",
            "Stodola's ellipse",
            "Stodola 1927; Cooke 1985",
        ),
        Figure("P_t", design.turbines_power, "W", "electric", "q w eta_m eta_g", STEAM),
        Figure("x_2", design.exit_dryness, "1", "dryness of the exhaust"),
        Figure("T(N-1)", design.hottest, "K", "vessel with one less, sources limiting themselves"),
    )
    why = f"they swallow the heat of chillers and other sources at {hot - 273.15:.0f} degC"
    return Decision("turbines", str(design.choice.turbines), why, figures)


def _vessel(design: RealDesign) -> Decision:
    low, high = design.window
    flow, area = design.relief_valve
    figures = (
        Figure("M", design.charge.water, "kg", "water"),
        Figure(
            "M_min",
            low,
            "kg",
            "condensers covered, steam and returning condensate counted",
            "rho_f V_c + rho_g (V - V_c) + q tau",
        ),
        Figure("M_max", high, "kg", "never full of liquid before the relief opens", "0.9 rho_f(T_relief) V"),
        Figure("t_w", design.warm_up, "s", "warm-up from the surroundings", "integral of dU / Phi(T)"),
        Figure("t_r", design.time_to_relief, "s", "to the relief with all steam blocked", "dU / Phi_in"),
        Figure("q_r", flow, "kg/s", "the relief must let out", "Phi_max / h_fg(1.1 p)"),
        Figure(
            "A_r",
            area,
            "m2",
            "orifice",
            "API 520-1 for dry saturated steam",
            "API 520-1, from memory, verify",
        ),
    )
    inside = low <= design.charge.water <= high
    why = "the charge lies in its window" if inside else "the charge must be brought into its window"
    return Decision("vessel", f"{design.charge.volume:.0f} m3, {design.charge.water:.0f} kg", why, figures)


def _materials(worker: Worker, design: RealDesign) -> Decision:
    fault = design.hottest if worker.brief.survive.turbines else design.vessel_temperature
    figures = tuple(
        Figure(
            f"T_lim({name})",
            worker.rules.material(material).limit,
            "K",
            f"{name} of {material}: {design.vessel_temperature - 273.15:.0f} degC steady, "
            f"{min(fault, 1e4) - 273.15:.0f} degC in a fault",
            "T <= T_lim - 15 K, in a fault - 5 K",
            PRACTICE,
        )
        for name, material in design.metals.items()
    )
    chosen = ", ".join(f"{name} of {material}" for name, material in design.metals.items())
    return Decision("materials", chosen, "the least scarce of each that stands the heat", figures)


def _tanks(design: RealDesign) -> Decision:
    figures = [
        Figure(f"V({name})", volume, "m3", f"asked for by {name}")
        for name, volume in design.tank_needs.items()
    ]
    figures += [
        Figure("V_loop", design.hold_up, "m3", "hold-up of the loop without its tank"),
        Figure("1.1 V_loop", 1.1 * design.hold_up, "m3", "free volume for draining it", source=PRACTICE),
        Figure(
            "V_e",
            design.expansion,
            "m3",
            "expansion vessel, were the loop closed",
            "(V_exp + V_res) (p_e + 1) / (p_e - p_0)",
            "EN 12828, from memory, verify",
        ),
    ]
    if math.isfinite(design.starts):
        figures.append(Figure("Z", design.starts * 3600.0, "1/h", "starts of a chiller at the worst"))
    biggest = max(design.tank_needs, key=lambda name: design.tank_needs[name])
    return Decision("tanks", f"{design.tanks['buffer']:.1f} m3", f"{biggest} asks for most", tuple(figures))


def _power(worker: Worker, design: RealDesign) -> Decision:
    figures = (
        Figure("P_c", design.chillers_power, "W", "chillers at the worst hour", source=BALANCE),
        Figure("P_aux", design.auxiliaries, "W", "pumps and controls"),
        Figure("P_t", design.turbines_power, "W", "turbines"),
        Figure(
            "P_grid",
            design.grid,
            "W",
            "from outside while every working chiller is on",
            "P_all + P_aux - P_t",
        ),
        Figure("P_hand", worker.brief.at_hand.power, "W", "at hand", source=BRIEF),
        Figure("E_b", design.battery, "J", "for pumps and controls without any power", "P_aux t", BRIEF),
    )
    why = "counted while every working chiller is on, not on the mean; pumps and controls on their own feeder"
    return Decision("power", f"{design.grid / 1e3:.0f} kW from outside", why, figures)
